"""A line with all its topics answered, and the same line tried another way."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields
from datetime import date

from sixwright.kernel.findings import Finding
from sixwright.project.model import Project
from sixwright.topics.lineup import checks as lineup_checks
from sixwright.topics.lineup import compute as lineup_compute
from sixwright.topics.lineup.model import Answer as Boxes
from sixwright.topics.money import checks as money_checks
from sixwright.topics.money import compute as money_compute
from sixwright.topics.money.break_even import Side
from sixwright.topics.money.line_sums import sheet
from sixwright.workflows import joins

# Judges one topic: the line, the answers it rests on, the day.
Judge = Callable[[Project, Mapping[str, object], date], tuple[object, tuple[Finding, ...]]]
# What of a line the two topics read that are always tried anew; a change of anything else makes
# the other topics be judged again.
TRIED = ("lineup", "money")
READ_BY_TRIED = frozenset(
    "looks sells parts contents orders ways prices rates money records choices".split()
)


@dataclass(frozen=True, slots=True)
class Outcome:
    """A line, what its topics answered, and what they found.

    Attributes
    ----------
    answers
        Topic id to that topic's answer.
    findings
        Of all topics but the choices themselves.
    """

    project: Project
    answers: Mapping[str, object]
    findings: tuple[Finding, ...]


def tried(
    stands: Outcome, project: Project, *, today: date, judges: Mapping[str, Judge]
) -> Outcome:
    """The outcome of a line that differs from one whose outcome is known.

    What the change does not touch is taken over; of money, rival ways and the picture of
    break-even are left out.

    Parameters
    ----------
    stands
        The line as it stands.
    project
        The same line after some changes.
    today
        The day on which quotes are read.
    judges
        Topic id to what judges it, in an order in which each follows what it rests on.

    Raises
    ------
    CallError
        If a topic is judged before what it rests on.

    Source
    ------
    docs/topics/choices.md, “Trying a way”.
    """
    answers: dict[str, object] = {}
    found: list[Finding] = []
    untouched = _same_but_for_tried(project, stands.project)
    for topic, judge in judges.items():
        if topic not in stands.answers:
            continue
        if topic == "lineup":
            answers[topic], these = _lineup(stands, project)
        elif topic == "money":
            answers[topic], these = _money(project, answers, today)
        elif untouched:
            answers[topic], these = stands.answers[topic], _of(stands, topic)
        else:
            answers[topic], these = judge(project, answers, today)
        found += these
    return Outcome(project, answers, tuple(found))


def _of(stands: Outcome, topic: str) -> tuple[Finding, ...]:
    return tuple(finding for finding in stands.findings if finding.topic == topic)


def _same_but_for_tried(one: Project, other: Project) -> bool:
    return all(
        getattr(one, field.name) == getattr(other, field.name)
        for field in fields(Project)
        if field.name not in READ_BY_TRIED
    )


def _lineup(stands: Outcome, project: Project) -> tuple[object, tuple[Finding, ...]]:
    inputs = joins.lineup_inputs(project)
    if inputs == joins.lineup_inputs(stands.project):
        return stands.answers["lineup"], _of(stands, "lineup")
    answer = lineup_compute.answer(inputs)
    return answer, lineup_checks.findings(inputs, answer)


def _money(
    project: Project, answers: Mapping[str, object], today: date
) -> tuple[object, tuple[Finding, ...]]:
    side = money_side(project, answers, today)
    answer = money_compute.brief(side.inputs, side.sheet)
    return answer, money_checks.findings(side.inputs, answer)


def money_side(project: Project, answers: Mapping[str, object], today: date) -> Side:
    """A line's money as one of two ways that are compared.

    Parameters
    ----------
    project, answers
        The line, and at least its line-up's answer.
    today
        The day on which quotes are read.

    Raises
    ------
    KeyError
        If the line-up is not answered.

    Source
    ------
    docs/topics/money.md.
    """
    boxes = answers["lineup"]
    if not isinstance(boxes, Boxes):
        raise KeyError("lineup")
    inputs = joins.money_inputs(project, boxes, today)
    return Side(inputs, sheet(inputs))
