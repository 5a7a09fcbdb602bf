"""What is believed of each landmark: its chance of being off by more than allowed; what to ask."""

from dataclasses import replace

import numpy as np

from sixwright.kernel.intervals import Interval, Limit, Verdict, judge
from sixwright.numerics.lengths import chance_longer, length_at, lengths
from sixwright.numerics.multiple_tests import LEVEL
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.belief.first_round import Believed
from sixwright.topics.likeness.belief.flat_prior import ErrorModel, vector
from sixwright.topics.likeness.belief.shapes import Shapes
from sixwright.topics.likeness.model import LandmarkAnswer

# A move is asked where it makes a landmark likelier right by so much, carried out to within that
# share of its length: own choices, by the closed loop (docs/decisions/0007-likeness.md).
LEAST_GAIN, CARRIED = 0.05, 0.2
# Where stills are poor or locate few landmarks, it must besides be likelier off than this, and the
# move longer than this share of what is allowed: else one landmark's fault is asked of its whole
# feature (own choice; three stills marked by hand, tests/demo/by_hand).
OFF_LOOSE, LONG_LOOSE = 0.2, 0.5
LOCATED = 2  # sightings, at least, that locate a landmark, where no direction stays open
# Chances below which a landmark holds: fitted, and wide. Own choice of the second by what it costs
# and saves on hidden truths (docs/decisions/0007-likeness.md).
RIGHT, RIGHT_WIDE = 0.03, 0.25
# Stills so poor that following them spoils more than it mends: the middle landmark's largest spread
# over what is allowed. Own choice by the closed loop (docs/likeness-table.md).
HOPELESS = 2.0
DRAWS = 300  # and their opposites, of each shape
# Reasons for which nothing is asked: what was seen may be wrong.
NOT_ASKED = frozenset({"contested", "exchanged", "two-sightings", "one-sighting", "few-stills"})


def with_beliefs(
    table: ErrorModel, marks: list[LandmarkAnswer], believed: Believed
) -> list[LandmarkAnswer]:
    """Landmarks with their chance and what is asked; judged by them too where stills are good.

    Parameters
    ----------
    table, marks
        A round's landmarks, judged by the stills alone.
    believed
        Of the same landmarks, in the same frame.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “The verdict of a landmark”.
    """
    passes, asks = not table.are_poor(), table.looseness() <= HOPELESS
    is_located = passes and _are_located(marks)
    middle = believed.fitted.middle().reshape(-1, 3)
    found = []
    for i, mark in enumerate(marks):
        if table.gauge.sightings[i] == 0:
            found.append(mark)
            continue
        long = _lengths(believed.fitted, i, table.drawn)
        chance = chance_longer(long, believed.fitted.weights, mark.tolerance_mm)
        left = left_after(believed.fitted, i, middle[i], table.drawn)
        gain = chance - chance_longer(left, believed.fitted.weights, mark.tolerance_mm)
        long_move = float(np.linalg.norm(middle[i])) > LONG_LOOSE * mark.tolerance_mm
        is_asked = gain >= LEAST_GAIN and (is_located or (chance > OFF_LOOSE and long_move))
        told = replace(
            mark,
            chance_off=chance,
            excess_mm=_excess(long, believed.fitted.weights, mark.tolerance_mm),
            ask_mm=vector(middle[i]) if asks and is_asked else None,
        )
        if passes:
            wide = _lengths(believed.wide, i, table.drawn)
            loose = chance_longer(wide, believed.wide.weights, mark.tolerance_mm)
            told = _judged(told, interval_of(long, believed.fitted.weights), loose)
        found.append(told)
    return found


def _are_located(marks: list[LandmarkAnswer]) -> bool:
    """Whether at least half of what is sighted is located in every direction."""
    sighted = [mark for mark in marks if mark.sightings]
    located = sum(mark.sightings >= LOCATED and not mark.blind for mark in sighted)
    return 2 * located >= len(sighted)


def _lengths(shapes: Shapes, i: int, drawn: Floats) -> Floats:
    rows = slice(3 * i, 3 * i + 3)
    return lengths(shapes.mean[:, rows], shapes.covariance[:, rows, rows], few(drawn))


def left_after(shapes: Shapes, i: int, move: Floats, drawn: Floats) -> Floats:
    """How far off a landmark is after a move, carried out to within `CARRIED` of its length.

    Parameters
    ----------
    shapes, i
        What is believed of all landmarks' moves, and the row of one of them.
    move
        (3,), mm.
    drawn
        (n, 3), standard normal.

    Returns
    -------
    (b, n), mm, of each shape.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    Own choice: what is missed of a move is normal, in all directions alike, and its root mean
    square length is that share of the move's.
    """
    rows = slice(3 * i, 3 * i + 3)
    missed = CARRIED**2 * float(move @ move) / 3 * np.eye(3)
    return lengths(
        shapes.mean[:, rows] - move, shapes.covariance[:, rows, rows] + missed, few(drawn)
    )


def few(drawn: Floats) -> Floats:
    """As many draws, each with its opposite, as each of many shapes needs."""
    half = len(drawn) // 2
    return np.concatenate([drawn[:DRAWS], drawn[half : half + DRAWS]])


def interval_of(long: Floats, weights: Floats) -> Interval:
    """One-sided 95 % bounds of how far off, and the middle."""
    low, value, high = (length_at(long, weights, q) for q in (1 - LEVEL, 0.5, LEVEL))
    return Interval(value, low, high, LEVEL)


def _excess(long: Floats, weights: Floats, allowed: float) -> float:
    """By how much more than allowed it is expected to be off."""
    return float(weights @ np.maximum(long - allowed, 0.0).mean(axis=1))


def _judged(mark: LandmarkAnswer, interval: Interval, loose: float) -> LandmarkAnswer:
    """The verdict by the stills and the belief together; `loose` is the chance under a wide one."""
    limit = Limit("<=", mark.tolerance_mm)
    verdict = judge(interval, limit)
    if verdict is Verdict.FAILS:
        return replace(mark, off_mm=interval, verdict=verdict, reason="")
    if mark.verdict is Verdict.FAILS:  # by the stills alone: their interval says why
        return mark
    right = (mark.chance_off or 0.0) < RIGHT and loose < RIGHT_WIDE and mark.sightings >= 2
    if verdict is Verdict.HOLDS and right:
        return replace(mark, off_mm=interval, verdict=verdict, reason="")
    if mark.blind:
        return replace(mark, off_mm=interval, verdict=Verdict.UNCHECKED, reason="blind")
    reason = "only-believed" if verdict is Verdict.HOLDS else ""
    return replace(mark, off_mm=interval, verdict=Verdict.DOUBTFUL, reason=reason)
