"""Ratings on whole levels: their mean, and whether the raters agree."""

from collections.abc import Sequence
from itertools import pairwise
from math import lcm, sqrt

import numpy as np
from scipy.special import stdtrit

from sixwright.kernel.errors import InputError
from sixwright.kernel.intervals import Interval

LEVEL = 0.95
DRAWS = 1000


def student_interval(
    counts: Sequence[int], levels: Sequence[int], *, level: float = LEVEL
) -> Interval | None:
    """The mean rating with Student's interval; None where fewer than two have rated.

    Parameters
    ----------
    counts
        (l,): how many gave each level, zero or more.
    levels
        (l,): the levels' values.
    level
        Coverage, above 0 and below 1.

    Raises
    ------
    InputError
        If counts and levels differ in number, a count is below zero, or the level is out of range.

    Source
    ------
    student-1908, with n - 1 degrees of freedom. It knows nothing of the ends of the scale: it may
    reach beyond them, and has no width where all rated alike.
    """
    if len(counts) != len(levels):
        raise InputError(f"counts must be {len(levels)}, one a level; received {len(counts)}.")
    _check(counts)
    if not 0 < level < 1:
        raise InputError(f"level must be above 0 and below 1; received {level!r}.")
    n = sum(counts)
    if n < 2:
        return None
    total = sum(count * value for count, value in zip(counts, levels, strict=True))
    # Whole numbers throughout, so that equal ratings have exactly no spread.
    squares = sum(count * value * value for count, value in zip(counts, levels, strict=True))
    variance = (n * squares - total * total) / (n * (n - 1))
    half = float(stdtrit(n - 1, (1 + level) / 2)) * sqrt(variance / n)
    mean = total / n
    return Interval(mean, mean - half, mean + half, level)


def agreement(counts: Sequence[int]) -> float | None:
    """Van der Eijk's A: 1 all on one level, 0 spread evenly, -1 half at each end; None of nobody.

    Parameters
    ----------
    counts
        (l,): how many gave each level, lowest level first, zero or more; two levels or more.

    Raises
    ------
    InputError
        If there are fewer than two levels or a count is below zero.

    Source
    ------
    vandereijk-2001. The counts are cut into layers, each with the same count on every level that
    it covers; a layer's A is weighted by its share of all. With two levels there is no triple to
    be broken: one level taken gives 1, both give 0.
    """
    if len(counts) < 2:
        raise InputError(f"counts must have two levels or more; received {len(counts)}.")
    _check(counts)
    n = sum(counts)
    if n == 0:
        return None
    # Whole numbers throughout, so that the sign is certain: a word hangs on it.
    levels, left, found = len(counts), list(counts), 0
    shared = lcm(*range(1, levels))
    while any(left):
        covered = [i for i, count in enumerate(left) if count]
        thickness = min(left[i] for i in covered)
        found += thickness * _pattern(covered, levels, shared)
        for i in covered:
            left[i] -= thickness
    return found / (n * _whole(levels, shared))


def agreement_interval(
    counts: Sequence[int], *, seed: int, draws: int = DRAWS, level: float = LEVEL
) -> Interval | None:
    """Van der Eijk's A with the spread that other raters of the same kind would make.

    Parameters
    ----------
    counts
        As in `agreement`.
    seed
        Of the draws.
    draws
        How often as many raters are drawn anew from those who rated, 100 or more.
    level
        Coverage, above 0 and below 1.

    Raises
    ------
    InputError
        If the counts cannot be used, or `draws` or `level` is out of range.

    Source
    ------
    efron-tibshirani-1993, section 13.3: percentiles of the draws. They have no width where all
    rated alike.
    """
    if draws < 100 or not 0 < level < 1:
        raise InputError(
            f"draws must be 100 or more and level between 0 and 1; received {draws!r}, {level!r}."
        )
    value = agreement(counts)
    if value is None:
        return None
    n = sum(counts)
    rng = np.random.Generator(np.random.Philox(key=seed))
    drawn = rng.multinomial(n, np.array(counts, dtype=np.float64) / n, size=draws)
    found = [agreement(row) or 0.0 for row in drawn.tolist()]
    low, high = np.quantile(found, [(1 - level) / 2, (1 + level) / 2])
    return Interval(value, float(min(low, value)), float(max(high, value)), level)


def _whole(levels: int, shared: int) -> int:
    """What `_pattern` is a part of: A of a layer of one level, whole."""
    return shared * (levels - 1) * max(levels - 2, 1)


def _pattern(covered: Sequence[int], levels: int, shared: int) -> int:
    """A of one layer times the levels that it covers, in parts of `_whole`.

    With t levels covered of k, w triples that keep the peak and b that break it, A times t is
    2 ((k - 2) w - (k - 1) b) / ((k - 2) (k - 1) (t - 1)): the triples are t (t - 1) / 2 (k - t).
    """
    taken = len(covered)
    if taken == 1:
        return _whole(levels, shared)
    if taken == levels:
        return 0
    # Triples of levels with two covered: the bare one between them breaks the peak, beside not.
    broken = 0
    for before, (one, next_) in enumerate(pairwise(covered), 1):
        broken += (next_ - one - 1) * before * (taken - before)
    kept = taken * (taken - 1) // 2 * (levels - taken) - broken
    return 2 * ((levels - 2) * kept - (levels - 1) * broken) * (shared // (taken - 1))


def _check(counts: Sequence[int]) -> None:
    if any(count < 0 for count in counts):
        raise InputError(f"counts must be zero or more; received {list(counts)!r}.")
