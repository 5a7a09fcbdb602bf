"""Days that yield work: where a piece of work that starts on a day is done.

Days are numbered from 0. Work is counted in ticks, so that a third of a day three times is a day.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

import numpy as np

from sixwright.kernel.errors import InputError

NEVER = 28_000  # a day that never comes; 16 bits hold it with every lag added or taken off
MOST_DAYS = 24_000  # 65 years
_MOST_TICKS = 1_000  # in a day; a finer share is taken to the nearest tick
_TINY = 1e-9  # days: what rounding may add to a duration


@dataclass(frozen=True, slots=True, eq=False)
class Calendar:
    """What each day yields, made ready to look up.

    Attributes
    ----------
    per_day
        Ticks of a full day of work.
    before
        Ticks of all days before this one, shape (days + 2,).
    reached
        First day by whose end so many ticks are done, shape (ticks + 2,); `NEVER` after the last.
    start
        First day from this one on that yields anything, shape (days + 2,); `NEVER` after the last.
    """

    per_day: int
    before: np.ndarray
    reached: np.ndarray
    start: np.ndarray

    def ticks(self, days: np.ndarray) -> np.ndarray:
        """Ticks that durations in days take, rounded up: shape as given, 0 for 0 days."""
        wanted = np.ceil(np.asarray(days, dtype=float) * self.per_day - _TINY * self.per_day)
        return np.clip(wanted, 0, len(self.reached)).astype(np.int32)

    def finish(self, start: np.ndarray, ticks: np.ndarray) -> np.ndarray:
        """Last day of work that starts on a day, or the day before it where it takes none.

        Parameters
        ----------
        start
            Days, 0 or more, `NEVER` included.
        ticks
            Work, of the same shape or one that broadcasts.

        Returns
        -------
        ndarray
            Days; `NEVER` where the calendar ends first.
        """
        done = np.take(self.before, start, mode="clip")
        done += ticks
        day = np.take(self.reached, done, mode="clip")
        none = ticks == 0
        if none.any():
            day = np.where(none & (start < NEVER), start - 1, day).astype(np.int16)
        return day

    def starts_within(self, spans: Sequence[tuple[int, int]]) -> np.ndarray:
        """First day from each on that yields anything and lies in one of the spans.

        Parameters
        ----------
        spans
            First and last day of each.

        Returns
        -------
        ndarray
            As `start`.
        """
        days = len(self.start) - 2
        inside = np.zeros(days, dtype=bool)
        for first, last in spans:
            inside[max(first, 0) : max(last + 1, 0)] = True
        return _next_where(inside & (np.diff(self.before[: days + 1]) > 0))


def calendar(yields: Sequence[Fraction | float]) -> Calendar:
    """The calendar of days that yield so much each.

    Parameters
    ----------
    yields
        Of each day, 0 or more (1 is a full day), at most `MOST_DAYS` of them.

    Raises
    ------
    InputError
        If there are none or too many, or one is below 0.
    """
    if not 0 < len(yields) <= MOST_DAYS:
        raise InputError(f"yields must be of 1 to {MOST_DAYS} days; received {len(yields)}.")
    kinds = {each: Fraction(each) for each in set(yields)}
    if min(kinds.values()) < 0:
        raise InputError(f"yields must be 0 or more; received {float(min(kinds.values()))!r}.")
    exact = lcm(*(kind.denominator for kind in kinds.values()))
    per_day = min(exact, _MOST_TICKS)
    whole = {each: round(kind * per_day) for each, kind in kinds.items()}
    made = np.array([whole[each] for each in yields], dtype=np.int64)
    total = int(made.sum())
    before = np.concatenate([[0], np.cumsum(made), [total + 1]]).astype(np.int32)
    reached = np.full(total + 2, NEVER, dtype=np.int16)
    if total:
        reached[: total + 1] = np.searchsorted(before[1:-1], np.arange(total + 1))
    return Calendar(per_day, before, reached, _next_where(made > 0))


def every_day(days: int) -> Calendar:
    """The calendar on which each of so many days yields one.

    Raises
    ------
    InputError
        As `calendar`.
    """
    return calendar([Fraction(1)] * days)


def _next_where(usable: np.ndarray) -> np.ndarray:
    """First usable day from each on; two more entries at the end, where there is none."""
    days = np.where(usable, np.arange(len(usable)), NEVER)
    following = np.minimum.accumulate(days[::-1])[::-1]
    return np.concatenate([following, [NEVER, NEVER]]).astype(np.int16)
