"""The whole line judged at once: every topic's answer and findings, worst first."""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from sixwright.kernel.currency import decimal_text
from sixwright.kernel.errors import CallError
from sixwright.kernel.findings import Accepted, Finding
from sixwright.kernel.intervals import WORST_FIRST, Verdict, worst
from sixwright.kernel.protocols import Memo, no_memo
from sixwright.kernel.sentences import Name, Sentence
from sixwright.project.choices import Choice, open_choices
from sixwright.project.model import Project
from sixwright.project.records import Row
from sixwright.topics.lineup import checks as lineup_checks
from sixwright.topics.lineup import compute as lineup_compute
from sixwright.topics.lineup.model import Answer as LineupAnswer
from sixwright.topics.money import checks as money_checks
from sixwright.topics.money import compute as money_compute
from sixwright.workflows import choose_checks, joins
from sixwright.workflows.choose import Choosing
from sixwright.workflows.outcome import Judge, Outcome
from sixwright.workflows.topics import BY_ID, CHOICES, LIKENESS, TOPICS

# Raised whenever the same heads and stills would be answered otherwise.
LIKENESS_VERSION = 6


@dataclass(frozen=True, slots=True)
class Review:
    """Everything that was computed of a line on one day.

    Attributes
    ----------
    answers
        Topic id to that topic's `Answer`; with `only`, also the topics that those rest on.
    findings
        Of the topics asked for, worst verdict first, then the largest weight.
    verdicts, verdict
        The worst of each topic asked for, and of all.
    counts
        How many findings have each verdict; every verdict is a key.
    lapsed
        Finding id to an acceptance that no longer stands, because the value moved or the
        finding is gone.
    """

    project: Project
    today: date
    answers: Mapping[str, object]
    findings: tuple[Finding, ...]
    verdicts: Mapping[str, Verdict]
    verdict: Verdict
    counts: Mapping[Verdict, int]
    lapsed: Mapping[str, Accepted] = field(default_factory=dict)


_Judged = tuple[object, tuple[Finding, ...]]


def _lineup(project: Project, _answers: Mapping[str, object], _today: date) -> _Judged:
    inputs = joins.lineup_inputs(project)
    answer = lineup_compute.answer(inputs)
    return answer, lineup_checks.findings(inputs, answer)


def _money(project: Project, answers: Mapping[str, object], today: date) -> _Judged:
    boxes = answers["lineup"]
    if not isinstance(boxes, LineupAnswer):
        raise CallError("money must be asked after lineup.")
    inputs = joins.money_inputs(project, boxes, today)
    answer = money_compute.answer(inputs)
    return answer, money_checks.findings(inputs, answer)


def _likeness(memo: Memo) -> Judge:
    """Judges likeness; what was solved before is remembered, because it takes seconds."""

    def judge(project: Project, _answers: Mapping[str, object], _today: date) -> _Judged:
        from sixwright.topics.likeness import checks
        from sixwright.topics.likeness.model import Answer

        inputs = joins.likeness_inputs(project)

        def solve() -> Answer:
            from sixwright.topics.likeness import compute

            return compute.answer(inputs)

        answer = memo(LIKENESS, LIKENESS_VERSION, inputs, Answer, solve)
        return answer, checks.findings(inputs, answer)

    return judge


def _judges(memo: Memo) -> Mapping[str, Judge]:
    """Topic id to what judges it, each after what it rests on."""
    return {"lineup": _lineup, LIKENESS: _likeness(memo), "money": _money}


def review(
    project: Project, *, today: date, only: Sequence[str] = (), memo: Memo = no_memo
) -> Review:
    """Judge a line: every topic, or those of `only`.

    Parameters
    ----------
    project
        The line as it stands.
    today
        The day on which quotes are read.
    only
        Ids of topics; empty for all that are built.
    memo
        Remembers what takes long.

    Raises
    ------
    CallError
        If `only` names a topic that is not built.

    Source
    ------
    Own choice: docs/decisions/0001-verdicts.md.
    """
    unknown = [topic for topic in only if topic not in BY_ID]
    if unknown:
        raise CallError(f"topic must be one of {', '.join(BY_ID)}; received {', '.join(unknown)}.")
    asked, judges = _asked(project, only), _judges(memo)
    answers: dict[str, object] = {}
    found: dict[str, tuple[Finding, ...]] = {}
    for topic in _with_needs(asked):
        if topic != CHOICES:
            answers[topic], found[topic] = judges[topic](project, answers, today)
    if not only or CHOICES in only:
        answers[CHOICES], found[CHOICES] = _choices(project, answers, found, today, judges)
    findings = tuple(finding for topic in asked for finding in found[topic])
    return _gather(project, today, answers, asked, findings)


def _asked(project: Project, only: Sequence[str]) -> list[str]:
    """The topics to be judged; what a line has nothing of is judged only where it is asked for."""
    absent = set()
    if not project.choices:
        absent.add(CHOICES)
    if not (project.sculpts or project.stills):
        absent.add(LIKENESS)
    return [topic.id for topic in TOPICS if (topic.id in only if only else topic.id not in absent)]


def _choices(
    project: Project,
    answers: Mapping[str, object],
    found: Mapping[str, tuple[Finding, ...]],
    today: date,
    judges: Mapping[str, Judge],
) -> _Judged:
    """Choices are tried on the whole line, so they come after all that was answered."""
    findings = tuple(finding for topic in found.values() for finding in topic)
    choosing = Choosing(Outcome(project, dict(answers), findings), today, judges)
    return choosing, choose_checks.findings(choosing)


def _gather(
    project: Project,
    today: date,
    answers: Mapping[str, object],
    asked: Sequence[str],
    findings: tuple[Finding, ...],
) -> Review:
    accepted = _acceptances(project)
    open_ = tuple(open_choices(project.choices).values())
    judged = tuple(
        _with_acceptance(_left_to_choice(finding, open_), accepted)
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
        answers=answers,
        findings=judged,
        verdicts=verdicts,
        verdict=worst(list(verdicts.values())),
        counts={verdict: counted[verdict] for verdict in Verdict},
        lapsed={
            id_: acceptance
            for id_, acceptance in accepted.items()
            if id_ not in standing and id_.partition(".")[0] in asked
        },
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


def _with_needs(asked: Sequence[str]) -> list[str]:
    """The topics asked for and all that they rest on, each after what it rests on."""
    order: list[str] = []

    def visit(topic: str) -> None:
        for need in BY_ID[topic].needs:
            visit(need)
        if topic not in order:
            order.append(topic)

    for topic in asked:
        visit(topic)
    return order


def worst_first(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Findings by verdict, then by weight, then by id, so that the order is always the same."""
    return tuple(sorted(findings, key=lambda f: (WORST_FIRST.index(f.verdict), -f.weight, f.id)))


def value_text(finding: Finding) -> str:
    """What is recorded of a finding when it is accepted; empty where nothing was measured."""
    if finding.measured is None:
        return ""
    return decimal_text(Fraction(finding.measured.value))


def _acceptances(project: Project) -> dict[str, Accepted]:
    rows: Mapping[str, Row] = project.records.get("accepted", {})
    return {
        row.cells.get("finding", row.id): Accepted(
            by=row.cells.get("by", ""),
            date=row.cells.get("date", ""),
            reason=row.cells.get("reason", ""),
            value=row.cells.get("value", ""),
        )
        for row in rows.values()
    }


def _with_acceptance(finding: Finding, accepted: Mapping[str, Accepted]) -> Finding:
    acceptance = accepted.get(finding.id)
    if acceptance is None or finding.verdict is Verdict.HOLDS:
        return finding
    return replace(finding, accepted=acceptance) if stands(acceptance, finding) else finding


def stands(acceptance: Accepted, finding: Finding) -> bool:
    """Whether the value is still the one that was accepted, to the places that were recorded."""
    text = acceptance.value.strip()
    if finding.measured is None or not text:
        return finding.measured is None and not text
    try:
        recorded = Decimal(text)
    except InvalidOperation:
        return False
    exponent = recorded.as_tuple().exponent
    if not isinstance(exponent, int):
        return False
    places = max(0, -exponent)
    return decimal_text(Fraction(finding.measured.value), places) == decimal_text(
        Fraction(recorded), places
    )
