"""How each still was taken, and whether the others would have predicted it."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from scipy.special import fdtri, stdtrit

from sixwright.kernel.intervals import Interval
from sixwright.numerics.cameras import Integers, places_px, project
from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import Similarity
from sixwright.topics.likeness.model import Inputs, Matrix, StillAnswer
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.person.solution import spread_of_focal
from sixwright.topics.likeness.solve.bundle import BundleProblem, Priors, solve
from sixwright.topics.likeness.solve.sightings import whitened
from sixwright.topics.likeness.solve.spread import spread_of

LEVEL, SURE = 0.95, 0.999
STEPS = 12
MOST_LOG = 30.0  # a focal length beyond is not known at all


def still_answers(
    inputs: Inputs, person: str, fit: PersonFit | None, onto: Similarity | None
) -> tuple[StillAnswer, ...]:
    """Every still of a person, used or not, in the folder's order.

    Parameters
    ----------
    inputs, person
        The folder's nouns, and whose stills.
    fit
        The stills solved; None where none could be.
    onto
        From the person's frame to the round's; None leaves the cameras out.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “The method”.
    """
    counts: dict[str, int] = {}
    for row in inputs.sightings:
        if row.state == "seen" and row.place_px is not None:
            counts[row.still] = counts.get(row.still, 0) + 1
    dropped = _reasons(inputs, person, fit)
    found = {} if fit is None else _used(fit, onto)
    return tuple(
        found.get(still.id)
        or StillAnswer(
            still.id,
            used=False,
            reason=dropped.get(still.id, "sculpt"),
            sightings=counts.get(still.id, 0),
            rejected=() if fit is None else fit.rejected(still.id),
        )
        for still in inputs.stills.values()
        if still.person == person
    )


def _reasons(inputs: Inputs, person: str, fit: PersonFit | None) -> Mapping[str, str]:
    from sixwright.topics.likeness.person.arrays import cast_of

    if fit is not None:
        return fit.dropped
    cast = cast_of(inputs, person)
    return {} if cast is None else dict.fromkeys(cast.stills, "unsolved") | dict(cast.unused)


def _used(fit: PersonFit, onto: Similarity | None) -> dict[str, StillAnswer]:
    solved, freedom = fit.fitted.solved, fit.fitted.freedom
    wide = float(stdtrit(freedom, (1 + LEVEL) / 2)) * spread_of_focal(fit.fitted)
    seen = fit.fitted.problem.sightings
    place, _ = places_px(solved.cameras.only(seen.still), solved.points[seen.point])
    off = ((place - seen.place_px) ** 2).sum(axis=1)
    found = {}
    for k, id_ in enumerate(fit.stills):
        log_f = float(solved.cameras.log_focal[k])
        f, low, high = np.exp(
            np.clip([log_f, log_f - wide[k], log_f + wide[k]], -MOST_LOG, MOST_LOG)
        )
        mine = seen.still == k
        rotation, shift = _pose(fit, k, onto)
        x, y = solved.cameras.centre_px[k]
        found[id_] = StillAnswer(
            id_,
            used=True,
            reason="flipped" if fit.flipped and id_ in fit.turned else "",
            sightings=sum(row.still == id_ for row in fit.rows),
            f_px=Interval(float(f), float(low), float(high), LEVEL),
            c_px=(float(x), float(y)),
            squeeze=float(np.exp(solved.cameras.log_squeeze[k])),
            mirrored=fit.mirrored[id_],
            rotation=rotation,
            t_mm=shift,
            residual_rms_px=float(np.sqrt(off[mine].mean() / 2)) if mine.any() else None,
            rejected=fit.rejected(id_),
            flaws=fit.flaws.get(id_, ()),
        )
    return found


def _pose(
    fit: PersonFit, k: int, onto: Similarity | None
) -> tuple[Matrix | None, tuple[float, float, float] | None]:
    """R and t of a still in the frame of the round, mm at 1:6."""
    if onto is None:
        return None, None
    cameras = fit.fitted.solved.cameras
    turned = cameras.rotation[k] @ onto.rotation.T
    moved = onto.scale * cameras.translation()[k] - turned @ onto.shift
    a, b, c = ((float(r[0]), float(r[1]), float(r[2])) for r in turned)
    return (a, b, c), (float(moved[0]), float(moved[1]), float(moved[2]))


def left_out(fit: PersonFit) -> dict[str, tuple[float, float, float]]:
    """How far each still is from what the others predict: 1 where they agree; its two limits.

    Parameters
    ----------
    fit
        The stills of a person, solved.

    Returns
    -------
    Still: ratio, and its 95 % and 99.9 % limits over all stills together. A still without which
    nothing
    could be checked is absent.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    The F test of a linear model for a set of observations left out: the fall of the sum of
    squares when a still goes, over the degrees of freedom that go with it, against the noise of
    the others. The noise is one factor for all stills, or a bad one would excuse itself.
    """
    fitted = fit.fitted
    noise = replace(
        fitted.problem.noise,
        pixel=np.full(len(fitted.problem.sightings), fitted.problem.noise.pixel.mean()),
    )
    problem = replace(fitted.problem, noise=noise)
    whole = solve(problem, fitted.solved.cameras, fitted.solved.points, most_steps=STEPS)
    freedom = _freedom(problem, spread_of(problem, whole).leverage)
    found = {}
    for k, id_ in enumerate(fit.stills):
        part = _without(problem, k)
        if part is None:
            continue
        others = np.flatnonzero(np.arange(len(fit.stills)) != k)
        rest = solve(part, whole.cameras.only(others), whole.points, most_steps=STEPS)
        left = _freedom(part, spread_of(part, rest).leverage)
        gone = freedom - left
        if not (left >= 4 and gone >= 1 and rest.cost > 0):  # no number is not enough either
            continue
        squared = max(whole.cost - rest.cost, 0.0) / gone / (rest.cost / left)
        if not np.isfinite(squared):  # what the rows say is beyond numbers
            continue
        levels = (1 - (1 - level) / len(fit.stills) for level in (LEVEL, SURE))
        limits = (float(np.sqrt(fdtri(gone, left, level))) for level in levels)
        found[id_] = (float(np.sqrt(squared)), *limits)
    return {id_: (a, b, c) for id_, (a, b, c) in found.items()}


def definition_share(fit: PersonFit) -> float:
    """Share of what sightings leave open that is how landmarks are defined, not pixels.

    Parameters
    ----------
    fit
        The stills of a person, solved.

    Returns
    -------
    0 to 1, the mean over the sightings that were kept, contours included.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not positive definite: a fault of ours.

    Source
    ------
    The parts of each sighting's covariance, whitened, under the noise as it was estimated.
    """
    problem, solved = fit.fitted.problem, fit.fitted.solved
    seen = problem.sightings
    shown = project(solved.cameras.only(seen.still), solved.points[seen.point])
    parts = whitened(seen, solved.cameras, shown, problem.noise).parts
    return float(np.trace(parts[1:].sum(axis=0), axis1=1, axis2=2).mean() / 2)


def _freedom(problem: BundleProblem, leverage: Floats) -> float:
    return 2 * len(problem.sightings) - float(np.trace(leverage, axis1=1, axis2=2).sum())


def _without(problem: BundleProblem, k: int) -> BundleProblem | None:
    """The problem without one still; None where nothing would be left."""
    rows = problem.sightings.still != k
    if len(problem.priors.lens) < 2 or not rows.any():
        return None
    kept = np.flatnonzero(np.arange(len(problem.priors.lens)) != k)
    priors = problem.priors
    lenses, lens = np.unique(priors.lens[kept], return_inverse=True)
    seen = problem.sightings.only(rows)
    still: Integers = seen.still - (seen.still > k)
    return BundleProblem(
        replace(seen, still=still),
        Priors(
            priors.mean[kept],
            priors.sd[kept],
            lens.astype(np.int64),
            priors.lens_mean[lenses],
            priors.lens_sd[lenses],
            priors.points,
            priors.points_sd_mm,
        ),
        problem.noise.only(rows),
    )
