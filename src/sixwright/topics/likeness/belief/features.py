"""How each feature of a head is off as a whole: the move and the size its landmarks share."""

from dataclasses import dataclass

import numpy as np

from sixwright.kernel.intervals import Interval, Verdict
from sixwright.line.likeness import Key
from sixwright.numerics.lengths import chance_longer, lengths
from sixwright.numerics.multiple_tests import LEVEL
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.belief.chances import RIGHT, few, interval_of
from sixwright.topics.likeness.belief.flat_prior import ErrorModel, matrix, vector
from sixwright.topics.likeness.belief.shapes import Shapes
from sixwright.topics.likeness.features import rows_of
from sixwright.topics.likeness.model import Feature, LandmarkAnswer, Vector

# Features whose size is told; of two places of an ear it is no size.
SIZED = frozenset({"nose", "left eye", "right eye", "mouth", "jaw"})
LEAST_MM = 0.1  # landmarks that lie nearer to each other have no size
WHOLE = 0.5  # chance of the shared move being more than allowed, from which it is asked for
NOT_JUDGED = frozenset({"misfit", "flipped", "bent", "few-stills"})


@dataclass(frozen=True, slots=True)
class _Part:
    """A feature's landmarks: rows of the round's table, and their places round their middle."""

    rows: list[int]
    arms: Floats  # (l, 3), mm

    @property
    def half_mm(self) -> float:
        """How far its landmarks lie from its middle, root mean square."""
        return float(np.sqrt((self.arms**2).sum(axis=1).mean()))


def features_of(
    table: ErrorModel, marks: list[LandmarkAnswer], shapes: Shapes
) -> tuple[Feature, ...]:
    """Every feature with two landmarks or more that something is believed of, worst first.

    Parameters
    ----------
    table, marks
        A round's landmarks, judged.
    shapes
        The belief of the same landmarks, in the same frame.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    Least squares of a shift and a resizing over the feature's landmarks, each alike; linear in
    the landmarks, so that the belief of them is the belief of it.
    """
    found = []
    for name, known in rows_of(tuple(mark.key for mark in marks)).items():
        rows = [i for i in known if marks[i].chance_off is not None]
        if len(rows) >= 2:
            places = table.gauge.sculpt_mm[rows]
            part = _Part(rows, places - places.mean(axis=0))
            found.append(_feature(name, part, table, marks, shapes))
    return tuple(sorted(found, key=lambda f: -f.excess_mm))


def _feature(
    name: str, part: _Part, table: ErrorModel, marks: list[LandmarkAnswer], shapes: Shapes
) -> Feature:
    mine = [marks[i] for i in part.rows]
    allowed = min(mark.tolerance_mm for mark in mine)
    drawn = few(table.drawn)
    shared = shapes.through(_mean_of(part, shapes.mean.shape[1]))
    long = lengths(shared.mean, shared.covariance, drawn)
    chance = chance_longer(long, shared.weights, allowed)
    size, chance_size = None, 0.0
    if name in SIZED and part.half_mm > LEAST_MM:
        scale = shapes.through(_scale_of(part, shapes.mean.shape[1]))
        size = _size(scale)
        sized = Shapes(scale.weights, scale.mean * part.half_mm, scale.covariance * part.half_mm**2)
        chance_size = chance_longer(
            lengths(sized.mean, sized.covariance, drawn), sized.weights, allowed
        )
    asked = [mark for mark in mine if mark.ask_mm is not None]
    shared_by = len(asked) >= max(2, len(mine) / 2)  # else a place or two of it are off alone
    whole, resized = chance > WHOLE and shared_by, chance_size > WHOLE and shared_by
    return Feature(
        name=name,
        landmarks=tuple(mark.key for mark in mine),
        move_mm=vector(shared.middle()) if whole else None,
        covariance_mm2=matrix(_spread(shared)),
        distance_mm=interval_of(long, shared.weights),
        size=size,
        half_mm=part.half_mm,
        resized=resized,
        chance_off=max(chance, chance_size),
        excess_mm=sum(mark.excess_mm or 0.0 for mark in mine),
        verdict=_verdict(
            max(chance, chance_size) if whole or resized else min(chance, WHOLE),
            mine,
            poor=table.are_poor(),
        ),
        left=_left(part, mine, shared if whole else None, size if resized else None),
    )


def _mean_of(part: _Part, columns: int) -> Floats:
    """(3, columns): the move that a feature's landmarks share."""
    found = np.zeros((3, columns))
    for i in part.rows:
        found[:, 3 * i : 3 * i + 3] = np.eye(3) / len(part.rows)
    return found


def _scale_of(part: _Part, columns: int) -> Floats:
    """(1, columns): the growth that a feature's landmarks share, a share of its size."""
    found = np.zeros((1, columns))
    total = float((part.arms**2).sum())
    for i, arm in zip(part.rows, part.arms, strict=True):
        found[0, 3 * i : 3 * i + 3] = arm / total
    return found


def _size(scale: Shapes) -> Interval:
    """Size that the person's feature has, the sculpt's being 1."""
    spread = float(np.sqrt(_spread(scale)[0, 0]))
    value = 1 + float(scale.middle()[0])
    return Interval(value, value - 1.96 * spread, value + 1.96 * spread, LEVEL)


def _spread(shapes: Shapes) -> Floats:
    """Covariance of the whole mixture."""
    away = shapes.mean - shapes.middle()
    between = np.einsum("b,bi,bj->ij", shapes.weights, away, away)
    spread: Floats = between + np.tensordot(shapes.weights, shapes.covariance, axes=1)
    return spread


def _verdict(chance: float, mine: list[LandmarkAnswer], *, poor: bool) -> Verdict:
    """It holds only where each of its landmarks does, and on poor stills not at all."""
    if poor or any(mark.reason in NOT_JUDGED for mark in mine):
        return Verdict.UNCHECKED
    if chance >= LEVEL:
        return Verdict.FAILS
    right = chance < RIGHT and all(mark.verdict is Verdict.HOLDS for mark in mine)
    return Verdict.HOLDS if right else Verdict.DOUBTFUL


def _left(
    part: _Part,
    mine: list[LandmarkAnswer],
    shared: Shapes | None,
    size: Interval | None,
) -> tuple[tuple[Key, Vector], ...]:
    """What is asked of single landmarks after the feature has moved as a whole."""
    found = []
    for arm, mark in zip(part.arms, mine, strict=True):
        if mark.ask_mm is None:
            continue
        left = np.array(mark.ask_mm)
        if shared is not None:
            left = left - shared.middle()
        if size is not None:
            left = left - (float(size.value) - 1) * arm
        if float(np.linalg.norm(left)) > mark.tolerance_mm / 2 or (shared is None and size is None):
            found.append((mark.key, vector(left)))
    return tuple(found)
