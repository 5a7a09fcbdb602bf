"""The whole line judged at once: every topic's answer and findings, worst first."""

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from typing import Any, NamedTuple

from sixwright.kernel.errors import CallError, StoppedError
from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import WORST_FIRST, Verdict, worst
from sixwright.kernel.sentences import Name, Sentence
from sixwright.kernel.topic import Tools, Topic
from sixwright.project.choices import Choice, open_choices
from sixwright.project.model import Project
from sixwright.workflows.acceptances import acceptances, with_acceptance
from sixwright.workflows.faults import fault, resting_on_fault, stopped, under_way
from sixwright.workflows.reviewed import Answered, Given, Judged, Review
from sixwright.workflows.topics import BY_ID, JOINED, Joined

PLAIN = Tools()


class _Request(NamedTuple):
    """A line to judge on a day: `only` some topics or all; their answers alone, or judged too."""

    project: Project
    today: date
    tools: Tools
    only: Sequence[str] = ()
    answers_alone: bool = False


def review(
    project: Project,
    *,
    today: date,
    before: Review | None = None,
    only: Sequence[str] = (),
    tools: Tools = PLAIN,
) -> Review:
    """Judge a line: every topic, or those of `only`.

    Parameters
    ----------
    project
        The line.
    today
        The day on which quotes are read.
    before
        An earlier review of it, or of the same line with other values: an answer is taken over
        where, and only where, its inputs are equal.
    only
        Ids of topics; empty for all that the line has something of.
    tools
        What answers may use beside their inputs.

    Raises
    ------
    CallError
        If `only` names a topic that is not built.
    """
    unknown = [topic for topic in only if topic not in BY_ID]
    if unknown:
        raise CallError(f"topic must be one of {', '.join(BY_ID)}; received {', '.join(unknown)}.")
    known = before.answered if before is not None else Answered({})
    answered = _answered(_Request(project, today, tools, only), known)
    asked = [topic for topic in answered.judged if not only or topic in only]
    return _gather(project, today, answered, asked)


def _answered(request: _Request, before: Answered) -> Answered:
    """Every topic that is wanted, each after what it rests on; one loop for all of them."""
    wanted = with_needs(request.only)
    judged: dict[str, Judged[Any, Any]] = {}
    for joined in JOINED:
        if joined.topic.id in wanted:
            found = _judge(joined, request, Answered(dict(judged)), before)
            if found is not None:
                judged[joined.topic.id] = found
    return Answered(judged)


def _judge(
    joined: Joined[Any, Any], request: _Request, so_far: Answered, before: Answered
) -> Judged[Any, Any] | None:
    """One topic; None where the line has nothing of it. A fault of ours is a finding of its own."""
    topic, project, tools = joined.topic, request.project, request.tools
    faulty = [need for need in topic.needs
              if need in so_far.judged and so_far.judged[need].answer is None]  # fmt: skip
    if faulty:
        return Judged(None, None, (resting_on_fault(topic, project.id, BY_ID[faulty[0]]),))
    inputs = None
    try:
        inputs_on = partial(_inputs_on, request, so_far)
        inputs = joined.join(Given(project, request.today, so_far, inputs_on))
        if not request.only and topic.is_empty(inputs):
            return None
        earlier = before.judged.get(topic.id)
        if earlier is not None and earlier.answer is not None and earlier.inputs == inputs:
            return replace(earlier, pending=False, stopped=False)
        answer = _answer(topic, inputs, tools)
        if answer is not None:
            return _judged(topic, inputs, answer, alone=request.answers_alone)
    except Exception as error:  # noqa: BLE001  one topic's fault must not take the others away
        if isinstance(error, StoppedError):
            found = _stopped(topic, project.id, before.judged.get(topic.id))
        else:
            found = Judged(inputs, None, (fault(topic, project.id, error),))
        return found
    else:
        return _pending(topic, project.id, earlier)


def _judged(
    topic: Topic[Any, Any], inputs: object, answer: object, *, alone: bool
) -> Judged[Any, Any]:
    """The answer with what is found of it and what could be saved; or the answer alone."""
    if alone:
        return Judged(inputs, answer, ())
    found = topic.findings(inputs, answer)
    return Judged(inputs, answer, found, chances=topic.chances(inputs, answer))


def _answer(topic: Topic[Any, Any], inputs: object, tools: Tools) -> object:
    """The answer; None where it is worked out in the background and not known yet."""
    if topic.is_slow and tools.later is not None:
        plain = replace(tools, later=None)
        return tools.later(topic.id, inputs, partial(topic.answer, inputs, plain))
    return topic.answer(inputs, tools)


def _pending(
    topic: Topic[Any, Any], line: str, earlier: Judged[Any, Any] | None
) -> Judged[Any, Any]:
    """A topic that is being worked out: its last answer, or the word that there is none yet."""
    if earlier is not None and earlier.answer is not None:
        return replace(earlier, pending=True, stopped=False)
    return Judged(None, None, (under_way(topic, line),), pending=True)


def _stopped(
    topic: Topic[Any, Any], line: str, earlier: Judged[Any, Any] | None
) -> Judged[Any, Any]:
    """A topic whose working out was stopped: its last answer, or the word that there is none."""
    if earlier is not None and earlier.answer is not None:
        return replace(earlier, pending=False, stopped=True)
    return Judged(None, None, (stopped(topic, line),), stopped=True)


def _inputs_on(request: _Request, before: Answered, project: Project, topic: str) -> Any:
    """The inputs of a topic on a line with changes; what it needs is answered without findings."""
    joined = next(each for each in JOINED if each.topic.id == topic)
    changed = request._replace(project=project, only=joined.topic.needs, answers_alone=True)
    needs = _answered(changed, before) if joined.topic.needs else Answered({})
    return joined.join(Given(project, request.today, needs, partial(_inputs_on, request, needs)))


def with_needs(only: Sequence[str]) -> frozenset[str]:
    """The topics asked for and all that they rest on; all topics where none is named.

    Parameters
    ----------
    only
        Ids of topics.

    Raises
    ------
    KeyError
        If one is not built.
    """
    wanted: set[str] = set()

    def add(topic: str) -> None:
        if topic not in wanted:
            wanted.add(topic)
            asked = BY_ID[topic]
            for need in BY_ID if asked.takes_all else asked.needs:
                add(need)

    for topic in only or BY_ID:
        add(topic)
    return frozenset(wanted)


def _gather(project: Project, today: date, answered: Answered, asked: Sequence[str]) -> Review:
    findings = tuple(f for topic in asked for f in answered.judged[topic].findings)
    accepted = acceptances(project)
    open_ = tuple(open_choices(project.choices).values())
    judged = tuple(
        with_acceptance(_left_to_choice(finding, open_), accepted)
        for finding in worst_first(findings)
    )
    verdicts = {
        topic: worst([finding.verdict for finding in judged if finding.topic == topic])
        for topic in asked
    }
    counted = Counter(finding.verdict for finding in judged)
    standing = {finding.id for finding in judged if finding.accepted}
    return Review(
        project=project,
        today=today,
        answered=answered,
        findings=judged,
        verdicts=verdicts,
        verdict=worst(list(verdicts.values())),
        counts={verdict: counted[verdict] for verdict in Verdict},
        lapsed={
            id_: acceptance
            for id_, acceptance in accepted.items()
            if id_ not in standing and id_.partition(".")[0] in asked
        },
        chances=tuple(c for topic in asked for c in answered.judged[topic].chances),
    )


def _left_to_choice(finding: Finding, open_: Sequence[Choice]) -> Finding:
    """A finding whose fix would write a cell that a choice is open about leaves it to that."""
    fix = finding.fix
    if fix is None:
        return finding
    cells = {(fix.table, fix.id, column) for column, _ in fix.cells}
    for choice in open_:
        changes = [change for way in choice.alternatives for change in way.changes]
        if any((each.table, each.id, each.column) in cells for each in changes):
            question = Name(choice.question.rstrip("?"))
            remedy = Sentence("Settle the open choice: {question}?", {"question": question})
            return replace(finding, fix=None, remedy=remedy)
    return finding


def worst_first(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Findings by verdict, by what is at stake, by weight, and by id: always in the same order."""

    def key(finding: Finding) -> tuple[int, int, float, str]:
        worst_ = WORST_FIRST.index(finding.verdict)
        return worst_, finding.judged_by.stakes, -finding.weight, finding.id

    return tuple(sorted(findings, key=key))


def tried(
    stands: Review, project: Project, *, tools: Tools = PLAIN, but: Collection[str] = ()
) -> Review:
    """The review of a line with some changes: the topics that the first one has, save some."""
    only = tuple(topic for topic in stands.answered.judged if topic not in but)
    return review(project, today=stands.today, before=stands, only=only, tools=tools)
