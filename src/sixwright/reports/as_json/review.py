"""`check --json`: the review as data, in the form that outside programs rely on."""

from collections.abc import Iterable, Mapping
from datetime import date
from fractions import Fraction
from math import isinf

from sixwright.kernel.currency import decimal_text
from sixwright.kernel.errors import Problem
from sixwright.kernel.findings import Chance, Finding
from sixwright.kernel.intervals import Interval, Real, Verdict
from sixwright.kernel.units import Sort
from sixwright.project.model import Project
from sixwright.project.tables import BY_NAME
from sixwright.reports.as_json.choices import choices_json
from sixwright.reports.wording.words import say
from sixwright.workflows.choices_topic import CHOICES
from sixwright.workflows.fill_first import Lack, fill_first
from sixwright.workflows.reviewed import Review
from sixwright.workflows.topics import BY_ID

FORMAT = 1
Json = dict[str, object]


def check_json(review: Review, *, version: str, inputs: Mapping[str, str]) -> Json:
    """A review as plain values for `json.dumps`.

    Parameters
    ----------
    review
        What was judged.
    version
        Of sixwright.
    inputs
        File of the folder, relative, to the SHA-256 of its bytes.
    """
    project = review.project
    return {
        "format": FORMAT,
        "version": version,
        "line": project.id,
        "seed": project.seed,
        "today": review.today.isoformat(),
        "inputs": dict(inputs),
        "verdict": str(review.verdict),
        "counts": {str(verdict): count for verdict, count in review.counts.items()},
        "errors": [],
        "findings": [finding_json(finding, project) for finding in review.findings],
        "chances": [chance_json(chance, project) for chance in review.chances],
        "fill_in": [lack_json(lack) for lack in fill_first(_lacking(review))],
        "answers": {topic: _answer(review, topic) for topic in review.verdicts},
    }


def _answer(review: Review, topic: str) -> object:
    """A topic's answer as data; null where it could not be answered."""
    asked = BY_ID[topic]
    answer = review.get(asked)
    if answer is None:
        return None
    # The comparison of options is worked out for those who ask, of the whole review.
    return choices_json(review) if topic == CHOICES.id else asked.as_json(answer)


def errors_json(problems: Iterable[Problem], *, version: str, today: date) -> Json:
    """The same form for a folder that cannot be read: its errors, and no verdict."""
    return {
        "format": FORMAT,
        "version": version,
        "line": None,
        "seed": None,
        "today": today.isoformat(),
        "inputs": {},
        "verdict": None,
        "counts": {str(verdict): 0 for verdict in Verdict},
        "errors": [problem_json(problem) for problem in problems],
        "findings": [],
        "chances": [],
        "fill_in": [],
        "answers": {},
    }


def problem_json(problem: Problem) -> Json:
    """One error of a folder; null for what does not apply to it."""
    return {
        "file": problem.file,
        "row": problem.row,
        "column": problem.column,
        "key": problem.key,
        "expected": problem.expected,
        "found": problem.found,
        "suggestion": problem.suggestion,
    }


def finding_json(finding: Finding, project: Project) -> Json:
    """One finding, worded as everywhere; money as decimal text in the line's currency."""
    is_money = finding.unit.sort is Sort.MONEY
    limit, accepted = finding.limit, finding.accepted
    return {
        "id": finding.id,
        "rule": finding.rule,
        "topic": finding.topic,
        "verdict": str(finding.verdict),
        "subject": {"kind": finding.subject.kind, "id": finding.subject.id},
        "measured": _interval(finding.measured, is_money=is_money),
        "limit": limit and {"op": limit.op, "value": _number(limit.value, is_money=is_money)},
        "unit": finding.unit.name,
        "missing": list(finding.missing),
        "message": say(finding.message, project.locale),
        "remedy": finding.remedy and say(finding.remedy, project.locale),
        "source": finding.source.title,
        "doubt": finding.doubt and finding.doubt.id,
        "accepted": accepted
        and {
            "by": accepted.by,
            "date": accepted.date,
            "reason": accepted.reason,
            "verdict": accepted.verdict,
            "value": accepted.value,
            "low": accepted.low,
            "high": accepted.high,
        },
    }


def _lacking(review: Review) -> Iterable[Finding]:
    """The findings whose missing cells are to be filled in: what holds needs nothing."""
    return (f for f in review.findings if f.verdict is not Verdict.HOLDS and f.accepted is None
            and f.topic != CHOICES.id)  # fmt: skip


def lack_json(lack: Lack) -> Json:
    """A missing cell, with the findings that it decides alone and all that rest on it."""
    return {
        "cell": lack.place,
        "table": lack.table,
        "id": lack.id,
        "column": lack.column,
        "file": BY_NAME[lack.table].file,
        "decides": list(lack.decides),
        "rests": list(lack.rests),
    }


def chance_json(chance: Chance, project: Project) -> Json:
    """One chance, worded as everywhere; money as decimal text in the line's currency."""
    return {
        "id": chance.id,
        "topic": chance.topic,
        "subject": {"kind": chance.subject.kind, "id": chance.subject.id},
        "saving": _interval(chance.saving, is_money=chance.unit.sort is Sort.MONEY),
        "unit": chance.unit.name,
        "message": say(chance.message, project.locale),
        "remedy": chance.remedy and say(chance.remedy, project.locale),
    }


def _interval(measured: Interval | None, *, is_money: bool) -> Json | None:
    if measured is None:
        return None
    return {
        "value": _number(measured.value, is_money=is_money),
        "low": _number(measured.low, is_money=is_money),
        "high": _number(measured.high, is_money=is_money),
        "level": measured.level,
    }


def _number(value: Real, *, is_money: bool) -> str | int | float | None:
    """A value; null for an end of an interval that is not known."""
    if isinf(value):
        return None
    if is_money:
        return decimal_text(Fraction(value))
    if isinstance(value, Fraction):
        return value.numerator if value.denominator == 1 else float(value)
    return value
