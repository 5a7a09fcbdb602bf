"""What moved between one round of a sculpt and the next, on the sculpts alone."""

from dataclasses import replace

import numpy as np

from sixwright.kernel.intervals import Interval
from sixwright.line.likeness import Round
from sixwright.numerics.similarity import similarity
from sixwright.topics.likeness.alignment.gauge import BOUND, placing_mm
from sixwright.topics.likeness.model import Inputs, LandmarkAnswer
from sixwright.topics.likeness.person.arrays import placed_on

LEAST_SHARED = 4
PASSES = 30
# Half width of a 95 % region of a length in three directions, in standard deviations.
REGION = 2.795


def moved_since(
    inputs: Inputs, one: Round, marks: tuple[LandmarkAnswer, ...]
) -> tuple[LandmarkAnswer, ...]:
    """The landmarks with how far each moved since the round before.

    Parameters
    ----------
    inputs, one
        The folder's nouns, and a round of them.
    marks
        The round's landmarks.

    Returns
    -------
    The same; `moved_mm` stays None where there is no round before, or it lacks the landmark.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a place is not finite; reading a folder refuses that first.

    Source
    ------
    Own choice: the two sculpts are laid on each other robustly, so that what was recarved does
    not move the rest; the interval is that of the two placements.
    """
    before = _before(inputs, one)
    if before is None:
        return marks
    now, then = placed_on(inputs, one.id), placed_on(inputs, before.id)
    shared = [key for key in now if key in then]
    if len(shared) < LEAST_SHARED:
        return marks
    new = np.array([now[key] for key in shared])
    old = np.array([then[key] for key in shared])
    spread = np.array(
        [np.hypot(placing_mm(inputs, one.id)[k], placing_mm(inputs, before.id)[k]) for k in shared]
    )
    weights = np.ones(len(shared))
    for _ in range(PASSES):
        off = np.linalg.norm(similarity(old, new, weights).of(old) - new, axis=1)
        bound = max(BOUND * float(np.median(off)), 2 * float(np.median(spread)), 1e-6)
        weights = 1 / (1 + (off / bound) ** 2) ** 2
    off = np.linalg.norm(similarity(old, new, weights).of(old) - new, axis=1)
    found = {
        key: Interval(float(d), max(0.0, float(d - REGION * s)), float(d + REGION * s))
        for key, d, s in zip(shared, off, spread, strict=True)
    }
    return tuple(replace(mark, moved_mm=found.get(mark.key)) for mark in marks)


def _before(inputs: Inputs, one: Round) -> Round | None:
    earlier = [
        r
        for r in inputs.rounds.values()
        if r.sculpt == one.sculpt
        and (r.number or 0) < (one.number or 0)
        and placed_on(inputs, r.id)
    ]
    return max(earlier, key=lambda r: r.number or 0, default=None)
