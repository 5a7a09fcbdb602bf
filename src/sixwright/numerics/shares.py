"""Shares of a whole with their intervals: for one look, for many looks, and the difference of two.

All take counts: how many of how many. None of them corrects for who answered.
"""

from math import isfinite, lgamma, log, sqrt

from numpy import logaddexp
from scipy.special import expit, ndtri

from sixwright.kernel.errors import InputError
from sixwright.kernel.intervals import Interval

LEVEL = 0.95
FARTHEST = 700.0  # log odds; beyond it a share is no number any more


def wilson_interval(hits: int, of: int, *, level: float = LEVEL) -> Interval:
    """The share `hits / of` with Wilson's score interval, without continuity correction.

    Parameters
    ----------
    hits
        Count, 0 to `of`.
    of
        Count, 1 or more.
    level
        Coverage, above 0 and below 1.

    Raises
    ------
    InputError
        If a count or the level is out of range.

    Source
    ------
    wilson-1927; method 3 of newcombe-1998-single. Assumes independent answers of a random
    sample: a self-chosen audience is not one.
    """
    _check(hits, of, level)
    z = float(ndtri((1 + level) / 2))
    share = hits / of
    middle = share + z * z / (2 * of)
    half = z * sqrt(share * (1 - share) / of + z * z / (4 * of * of))
    whole = 1 + z * z / of
    # At none and at all, the limits are exactly 0 and 1; rounding must not move them.
    low = 0.0 if hits == 0 else (middle - half) / whole
    high = 1.0 if hits == of else (middle + half) / whole
    return Interval(share, low, high, level)


def sequence_interval(hits: int, of: int, *, level: float = LEVEL) -> Interval:
    """The share `hits / of` with limits that hold at every look at once.

    A share p stays in as long as (n + 1) P(hits of n | p) > 1 - level. Whoever looks after each
    answer, and stops when they like, still meets a wrong interval in at most 1 - level of polls.

    Parameters
    ----------
    hits
        Count, 0 to `of`.
    of
        Count, 1 or more: answers in the order in which they came.
    level
        Coverage over all looks together, above 0 and below 1.

    Raises
    ------
    InputError
        If a count or the level is out of range.

    Source
    ------
    robbins-1970, the uniform mixture of binomials. Assumes that every answer comes from the same
    audience, independent of those before it.
    """
    _check(hits, of, level)
    share = hits / of
    from scipy.optimize import brentq

    choose = lgamma(of + 1) - lgamma(hits + 1) - lgamma(of - hits + 1)
    limit = log(1 - level) - log(of + 1) - choose

    def above(odds: float) -> float:
        """Log of the likelihood over the limit, at a share given by its log odds."""
        hit, missed = -logaddexp(0.0, -odds), -logaddexp(0.0, odds)
        return float(hits * hit + (of - hits) * missed - limit)

    # The likelihood rises to the share and falls after it: one root on each side.
    top = log(hits / (of - hits)) if 0 < hits < of else FARTHEST if hits else -FARTHEST
    low = float(expit(brentq(above, -FARTHEST, top))) if hits else 0.0
    high = float(expit(brentq(above, top, FARTHEST))) if hits < of else 1.0
    return Interval(share, min(low, share), max(high, share), level)


def newcombe_difference(one: Interval, other: Interval) -> Interval:
    """The difference of two independent shares, with the interval made of their own intervals.

    Parameters
    ----------
    one, other
        Shares with Wilson's intervals, of one level.

    Raises
    ------
    InputError
        If the levels differ.

    Source
    ------
    newcombe-1998-difference, method 10: distances to the limits, squared and added. With
    intervals that hold at every look it still holds for one look only.
    """
    if one.level != other.level:
        raise InputError(
            f"levels of both shares must be equal; received {one.level!r} and {other.level!r}."
        )
    value = float(one.value) - float(other.value)
    below = sqrt(float(one.value - one.low) ** 2 + float(other.high - other.value) ** 2)
    above = sqrt(float(one.high - one.value) ** 2 + float(other.value - other.low) ** 2)
    return Interval(value, value - below, value + above, one.level)


def _check(hits: int, of: int, level: float) -> None:
    if of < 1:
        raise InputError(f"of must be 1 or more (a count); received {of!r}.")
    if not 0 <= hits <= of:
        raise InputError(f"hits must be from 0 to {of} (a count); received {hits!r}.")
    if not (isfinite(level) and 0 < level < 1):
        raise InputError(f"level must be above 0 and below 1; received {level!r}.")
