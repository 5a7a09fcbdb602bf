"""A topic that fails is one finding; the rest of the line goes on."""

import traceback
from pathlib import PurePath
from typing import Any

from sixwright.kernel.findings import Doubt, Evidence, Finding, Rule, Subject
from sixwright.kernel.intervals import Limit, Verdict
from sixwright.kernel.sentences import Name, Sentence
from sixwright.kernel.sources import Source
from sixwright.kernel.topic import Topic
from sixwright.kernel.units import things

FAULT, PENDING = "fault", "pending"
OURS = Source("faults", "Own choice: the manual’s limits, “A fault of ours”")
PACKAGE = "sixwright"


class FaultDoubt(Doubt):
    """Why a question has no answer."""

    FAILED = ("sixwright itself failed there", Verdict.UNCHECKED)
    RESTS = ("it rests on a question that could not be answered", Verdict.UNCHECKED)
    PENDING = ("it is still being worked out", Verdict.UNCHECKED)
    STOPPED = ("it was stopped before it was worked out", Verdict.UNCHECKED)


def fault(topic: Topic[Any, Any], line: str, error: Exception) -> Finding:
    """A question that sixwright failed to answer, with what to report.

    Parameters
    ----------
    line
        Id of the line.
    error
        What was raised.
    """
    message = Sentence(
        "“{question}” could not be answered: {kind} in {place}. Everything else is as usual.",
        {"question": Name(topic.question), "kind": type(error).__name__, "place": _place(error)},
    )
    remedy = Sentence(
        "Undo the last edit if it brought this about, and report it with the line above; it is a "
        "fault of sixwright, not of your folder."
    )
    return _finding(topic, line, FaultDoubt.FAILED, message, remedy)


def resting_on_fault(topic: Topic[Any, Any], line: str, need: Topic[Any, Any]) -> Finding:
    """A question that rests on one that could not be answered."""
    message = Sentence(
        "“{question}” rests on “{need}”, which could not be answered.",
        {"question": Name(topic.question), "need": Name(need.question)},
    )
    return _finding(topic, line, FaultDoubt.RESTS, message, None)


def under_way(topic: Topic[Any, Any], line: str) -> Finding:
    """A question that is being worked out for the first time; not a fault, and gone in seconds."""
    question = {"question": Name(topic.question)}
    message = Sentence("“{question}” is being worked out; the answer follows here.", question)
    rule = Rule(topic.id, PENDING, "Answers to come", things("answer", "answers"), OURS)
    seen = Evidence(limit=Limit("==", 0), doubt=FaultDoubt.PENDING)
    return rule.finding(Subject("line", line), seen, message)


def stopped(topic: Topic[Any, Any], line: str) -> Finding:
    """A question whose working out was stopped; its page has the button that goes on with it."""
    question = {"question": Name(topic.question)}
    message = Sentence("“{question}” was stopped before it was worked out.", question)
    remedy = Sentence("Open its page, and press “Work it out”.")
    rule = Rule(topic.id, PENDING, "Answers to come", things("answer", "answers"), OURS)
    seen = Evidence(limit=Limit("==", 0), doubt=FaultDoubt.STOPPED)
    return rule.finding(Subject("line", line), seen, message, remedy=remedy)


def _finding(
    topic: Topic[Any, Any], line: str, doubt: Doubt, message: Sentence, remedy: Sentence | None
) -> Finding:
    rule = Rule(topic.id, FAULT, "Faults", things("fault", "faults"), OURS)
    seen = Evidence(limit=Limit("==", 0), doubt=doubt)
    return rule.finding(Subject("line", line), seen, message, remedy=remedy, weight=1e12)


def _place(error: Exception) -> str:
    """Module and line of the last of our own steps: a place to report, without the machine's."""
    for step in reversed(traceback.extract_tb(error.__traceback__)):
        parts = PurePath(step.filename).parts
        if PACKAGE in parts:
            inner = parts[len(parts) - parts[::-1].index(PACKAGE) :]
            return f"{'/'.join(inner)}, line {step.lineno}"
    return "a library"
