"""Landmarks judged by what the stills alone say of each: no belief about the sculpt is used.

Good stills: one-sided chances, false discoveries held over the head. Poor ones: regions in all
directions, and the head's worst landmark by the maximum statistic.
"""

from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtri, stdtrit

from sixwright.kernel.intervals import Interval, Limit, Verdict, judge
from sixwright.numerics.lengths import chance_longer, length_at, lengths, normals
from sixwright.numerics.multiple_tests import (
    LEVEL,
    MaxStatistic,
    chance_beyond,
    chance_of_distance,
    false_discoveries,
    max_statistic,
    region_squared,
)
from sixwright.numerics.regions import least_squared_distance, reach
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.alignment.gauge import Gauge
from sixwright.topics.likeness.model import LandmarkAnswer, Matrix, Vector

DRAWS = 1000  # and their opposites
NOTICED = (0.975, 0.9)  # two-sided 95 %, and 9 times in 10
NEVER_MM = 2.0  # a direction as unsure as that is decided by belief alone
LEAST_KEPT = 0.1  # a landmark of whose move an alignment leaves less decides the frame by itself
CHANCE = 1 - LEVEL
ALONE = np.ones(1)


@dataclass(frozen=True, slots=True)
class ErrorModel:
    """The arithmetic of a round's landmarks, row by row of its gauge.

    Attributes
    ----------
    gauge, marks
        The person laid on the round, and each of its landmarks, nothing judged.
    freedom
        Degrees of freedom of the noise.
    drawn
        (n, 3): standard normal moves.
    """

    gauge: Gauge
    marks: list[LandmarkAnswer]
    freedom: float
    drawn: Floats

    def own(self, i: int) -> Floats:
        """(3, 3): covariance of one correction."""
        block: Floats = self.gauge.covariance[3 * i : 3 * i + 3, 3 * i : 3 * i + 3]
        return block

    def decided(self, i: int) -> tuple[Floats, Floats]:
        """Directions that the stills decide (3, k), and those that are blind (3, 3 - k)."""
        sizes, axes = np.linalg.eigh(self.own(i))
        blind = np.sqrt(np.maximum(sizes, 0)) > self.marks[i].tolerance_mm / 2
        if self.gauge.sightings[i] == 0:
            blind[:] = True
        return axes[:, ~blind], axes[:, blind]

    def seen(self, i: int) -> tuple[Floats, Floats]:
        """How far off a landmark is in the directions decided (k,), and its covariance."""
        axes = self.decided(i)[0]
        off = self.gauge.correction[i] - np.array(self.marks[i].meant_mm)
        return axes.T @ off, axes.T @ self.own(i) @ axes

    def looseness(self) -> float:
        """The middle landmark's largest spread, over what is allowed; 0 where none is seen."""
        shares = [
            np.sqrt(max(float(np.linalg.eigvalsh(self.own(i))[-1]), 0.0)) / mark.tolerance_mm
            for i, mark in enumerate(self.marks)
            if self.gauge.sightings[i] > 0
        ]
        return float(np.median(shares)) if shares else 0.0

    def are_poor(self) -> bool:
        """Whether the middle landmark's largest spread is above what is allowed."""
        return self.looseness() > 1


def error_model(gauge: Gauge, marks: list[LandmarkAnswer], freedom: float, seed: int) -> ErrorModel:
    """The table of a round, each landmark with what was seen of it."""
    bare = ErrorModel(gauge, marks, freedom, normals(seed, "likeness", DRAWS))
    return replace(bare, marks=[_told(bare, i) for i in range(len(marks))])


def _told(table: ErrorModel, i: int) -> LandmarkAnswer:
    """One landmark with its correction and what is blind."""
    mark, count = table.marks[i], int(table.gauge.sightings[i])
    if count == 0:
        return mark
    own, blind = table.own(i), table.decided(i)[1]
    kept = np.diag(table.gauge.kept)[3 * i : 3 * i + 3]
    x, y, z = (smallest_mm(float(own[a, a]), table.freedom, float(kept[a])) for a in range(3))
    return replace(
        mark,
        sightings=count,
        correction_mm=vector(table.gauge.correction[i]),
        covariance_mm2=matrix(own),
        blind=tuple(vector(direction) for direction in blind.T),
        smallest_mm=(x, y, z),
        gauge_weight=float(table.gauge.weights[i]),
        reason="blind" if blind.shape[1] else "",
    )


def judged(table: ErrorModel, *, seed: int) -> list[LandmarkAnswer]:
    """Every landmark with its interval, its chance after adjustment, and its verdict.

    Parameters
    ----------
    table
        Of the round.
    seed
        Of the family's draws.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “The verdict of a landmark”.
    """
    rows = [i for i in range(len(table.marks)) if table.decided(i)[0].shape[1]]
    tested = _by_regions(table, rows, seed) if table.are_poor() else _one_sided(table, rows)
    found = list(table.marks)
    for i, (interval, chance, verdict) in zip(rows, tested, strict=True):
        mark = found[i]
        if mark.blind and verdict is not Verdict.FAILS:
            verdict = Verdict.UNCHECKED  # noqa: PLW2901  what no still decides is not judged
        reason = mark.reason
        if verdict is Verdict.DOUBTFUL and judge(interval, _limit(mark)) is Verdict.FAILS:
            reason = reason or "many"
        found[i] = replace(mark, off_mm=interval, p_adjusted=chance, verdict=verdict, reason=reason)
    return found


Tested = tuple[Interval, float, Verdict]


def _limit(mark: LandmarkAnswer) -> Limit:
    return Limit("<=", mark.tolerance_mm)


def _one_sided(table: ErrorModel, rows: list[int]) -> list[Tested]:
    """Good stills: fails by false discoveries over the head, holds by a flat chance."""
    alone = [
        chance_of_distance(*table.seen(i), table.marks[i].tolerance_mm, table.freedom) for i in rows
    ]
    adjusted = false_discoveries(np.array(alone))
    found = []
    for i, chance in zip(rows, adjusted, strict=True):
        interval, longer = _bounds(table, i)
        verdict = Verdict.HOLDS if longer < CHANCE else Verdict.DOUBTFUL
        if chance <= CHANCE:
            verdict = Verdict.FAILS
        found.append((interval, float(chance), verdict))
    return found


def _bounds(table: ErrorModel, i: int) -> tuple[Interval, float]:
    """One-sided 95 % bounds of how far off, and the flat chance of more than is allowed."""
    off, own = table.seen(i)
    one_sided = float(stdtrit(table.freedom, LEVEL))
    wider = (one_sided / float(ndtri(LEVEL))) ** 2  # the noise itself is estimated
    long = lengths(off[None], wider * own[None], table.drawn)
    low = reach(off, own, one_sided**2)[0]
    high = length_at(long, ALONE, LEVEL)
    value = float(np.linalg.norm(off))
    interval = Interval(value, min(low, value), max(high, value), LEVEL)
    return interval, chance_longer(long, ALONE, table.marks[i].tolerance_mm)


def _by_regions(table: ErrorModel, rows: list[int], seed: int) -> list[Tested]:
    """Poor stills: the whole region inside the ball, or outside over the head."""
    size = len(table.gauge.covariance)
    parts = []
    for i in rows:
        axes = table.decided(i)[0]
        part = np.zeros((size, axes.shape[1]))
        part[3 * i : 3 * i + 3] = axes
        parts.append(part)
    family = max_statistic(table.gauge.covariance, parts, freedom=table.freedom, seed=seed)
    return [_by_region(table, i, family) for i in rows]


def _by_region(table: ErrorModel, i: int, family: MaxStatistic) -> Tested:
    """How far off: from above at 95 % by itself, from below at 95 % over the head."""
    off, own = table.seen(i)
    k, freedom, tolerance_mm = len(off), table.freedom, table.marks[i].tolerance_mm
    high = reach(off, own, region_squared(k, freedom))[1]
    low = reach(off, own, region_squared(k, freedom, 1 - family.single()))[0]
    squared = least_squared_distance(off, own, tolerance_mm)
    single = float(chance_beyond(np.array([squared]), k, freedom)[0])
    value = float(np.linalg.norm(off))
    interval = Interval(value, min(low, value), max(high, value), LEVEL)
    return interval, family.adjusted(single), judge(interval, Limit("<=", tolerance_mm))


def smallest_mm(variance: float, freedom: float, kept: float = 1.0) -> float | None:
    """Least move along a direction that would be noticed 9 times in 10; None if none would.

    Parameters
    ----------
    variance
        Of the correction along it, mm², after alignment.
    freedom
        Degrees of freedom of the noise.
    kept
        Share of a landmark's own move that an alignment leaves of it; the rest it takes up.

    Raises
    ------
    ValueError
        If a parameter is not a number.

    Source
    ------
    docs/topics/likeness.md, “Smallest visible error”.
    """
    spread = float(np.sqrt(max(variance, 0.0)))
    if spread > NEVER_MM or kept < LEAST_KEPT:
        return None
    return float(sum(stdtrit(freedom, level) for level in NOTICED)) * spread / kept


def vector(row: Floats) -> Vector:
    """A row of three numbers as a value."""
    x, y, z = (float(v) for v in row)
    return x, y, z


def matrix(rows: Floats) -> Matrix:
    """Three rows of three numbers as a value."""
    a, b, c = (vector(row) for row in rows)
    return a, b, c
