"""Findings that a producer lives with, and when that lapses.

What was accepted is a verdict and an interval. It stands while the verdict is the same and the
value lies within that interval; a measurement that moves in its last digit leaves it standing.
"""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from math import isinf

from sixwright.kernel.currency import decimal_text
from sixwright.kernel.findings import Accepted, Finding
from sixwright.kernel.intervals import Real, Verdict
from sixwright.project.model import Project
from sixwright.project.records import Record

TABLE = "accepted"


def acceptances(project: Project) -> dict[str, Accepted]:
    """Finding id to who accepted it, as accepted.csv has it."""
    rows: Mapping[str, Record] = project.records.get(TABLE, {})
    return {row.cells.get("finding", row.id): _accepted(row.cells) for row in rows.values()}


def _accepted(cells: Mapping[str, str]) -> Accepted:
    names = ("by", "date", "reason", "value", "verdict", "low", "high")
    return Accepted(*(cells.get(name, "").strip() for name in names))


def with_acceptance(finding: Finding, accepted: Mapping[str, Accepted]) -> Finding:
    """The finding with its acceptance, where it has one that stands."""
    acceptance = accepted.get(finding.id)
    if acceptance is None or finding.verdict is Verdict.HOLDS:
        return finding
    return replace(finding, accepted=acceptance) if stands(acceptance, finding) else finding


def stands(acceptance: Accepted, finding: Finding) -> bool:
    """Whether what was accepted is still so.

    One of the older form, which kept the value alone, stands while the value is the same to the
    places that were recorded.
    """
    if acceptance.verdict and acceptance.verdict != finding.verdict:
        return False
    if finding.measured is None or not acceptance.value:
        return finding.measured is None and not acceptance.value
    if not acceptance.verdict:
        return _is_same(acceptance.value, finding.measured.value)
    low, high = _number(acceptance.low), _number(acceptance.high)
    if low is None or high is None:
        return _is_same(acceptance.value, finding.measured.value)
    # The ends were written down to six places, so the value is held to as many.
    value = Fraction(decimal_text(Fraction(finding.measured.value)))
    return low <= value <= high


def recorded(finding: Finding) -> dict[str, str]:
    """What is written down of a finding when it is accepted: its verdict, value and interval."""
    cells = {"verdict": str(finding.verdict), "value": "", "low": "", "high": ""}
    if finding.measured is not None:
        measured = finding.measured
        ends = (measured.value, measured.low, measured.high)
        cells |= dict(zip(("value", "low", "high"), map(_text, ends), strict=True))
    return cells


def _text(value: Real) -> str:
    """An end as it is written down; of one that is not known, nothing."""
    return "" if isinf(value) else decimal_text(Fraction(value))


def _number(text: str) -> Fraction | None:
    try:
        found = Decimal(text)
    except InvalidOperation:
        return None
    return Fraction(found) if found.is_finite() else None


def _is_same(text: str, value: Real) -> bool:
    then = _number(text)
    if then is None:
        return False
    exponent = Decimal(text).as_tuple().exponent
    places = max(0, -exponent) if isinstance(exponent, int) else 0
    return decimal_text(Fraction(value), places) == decimal_text(then, places)
