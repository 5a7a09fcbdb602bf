"""A measured value with its interval, a limit, and the rule that makes a verdict of them."""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import inf

from sixwright.kernel.errors import InputError

Real = int | float | Fraction


class Verdict(StrEnum):
    """What the evidence shows: never that no fault was found."""

    HOLDS = "holds"
    DOUBTFUL = "doubtful"
    FAILS = "fails"
    UNCHECKED = "unchecked"


# Worst first: what needs the producer soonest.
WORST_FIRST = (Verdict.FAILS, Verdict.UNCHECKED, Verdict.DOUBTFUL, Verdict.HOLDS)


def worst(verdicts: "tuple[Verdict, ...] | list[Verdict]") -> Verdict:
    """The worst of several verdicts; `unchecked` where there are none: nothing was shown."""
    return min(verdicts, key=WORST_FIRST.index, default=Verdict.UNCHECKED)


@dataclass(frozen=True, slots=True)
class Interval:
    """A value with the interval that holds it at `level`; exact values have `low == high`.

    Where something is missing, one end may be infinite; the value is then the other end: all that
    is known of it.

    Attributes
    ----------
    value, low, high
        In the finding's unit; `low <= value <= high`.
    level
        Coverage of the interval, above 0 to 1; 1 for an exact value.
    """

    value: Real
    low: Real
    high: Real
    level: float = 0.95

    def __post_init__(self) -> None:
        if not self.low <= self.value <= self.high:
            raise InputError(
                f"interval must have low <= value <= high; received "
                f"{self.low!r}, {self.value!r}, {self.high!r}."
            )
        if not 0 < self.level <= 1:
            raise InputError(f"level must be above 0 and at most 1; received {self.level!r}.")


def at_most(value: Real) -> Interval:
    """All that is known of an amount of which a part is missing: how large it is at most."""
    return Interval(value, -inf, value)


def exact(value: Real) -> Interval:
    """An interval of no width: a count, or money that no rate made uncertain."""
    return Interval(value, value, value, 1.0)


@dataclass(frozen=True, slots=True)
class Limit:
    """What the measured value must be: `op` is one of ``<= < >= > ==``."""

    op: str
    value: Real

    def __post_init__(self) -> None:
        if self.op not in {"<=", "<", ">=", ">", "=="}:
            raise InputError(f"op must be one of <= < >= > ==; received {self.op!r}.")

    def allows(self, value: Real) -> bool:
        """Whether a single value is inside the limit."""
        match self.op:
            case "<=":
                return value <= self.value
            case "<":
                return value < self.value
            case ">=":
                return value >= self.value
            case ">":
                return value > self.value
            case _:
                return value == self.value


def judge(measured: Interval | None, limit: Limit) -> Verdict:
    """The verdict of the interval rule: the whole interval must lie on one side.

    Parameters
    ----------
    measured
        The value and its interval, or None where an input is missing.
    limit
        What it must be.

    Returns
    -------
    Verdict
        `holds` if the whole interval is inside the limit, `fails` if all of it is outside,
        `doubtful` if it straddles, `unchecked` if nothing was measured.

    Source
    ------
    Own choice: docs/decisions/0001-verdicts.md.
    """
    if measured is None:
        return Verdict.UNCHECKED
    if limit.op == "==":
        return _judge_equal(measured, limit)
    low, high = limit.allows(measured.low), limit.allows(measured.high)
    if low and high:
        return Verdict.HOLDS
    return Verdict.DOUBTFUL if low or high else Verdict.FAILS


def _judge_equal(measured: Interval, limit: Limit) -> Verdict:
    if measured.low == measured.high == limit.value:
        return Verdict.HOLDS
    inside = measured.low <= limit.value <= measured.high
    return Verdict.DOUBTFUL if inside else Verdict.FAILS
