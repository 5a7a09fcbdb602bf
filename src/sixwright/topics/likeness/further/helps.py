"""What would help this head most for the time it takes: outlines, stills, or landmarks."""

from dataclasses import replace

import numpy as np

from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.alignment.gauge import Gauge
from sixwright.topics.likeness.further.model import Help, Viewpoint
from sixwright.topics.likeness.further.views import hidden_from, information, unsure
from sixwright.topics.likeness.model import LandmarkAnswer
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.sculpts import SurfaceMark
from sixwright.topics.likeness.solve.bundle import BundleProblem
from sixwright.topics.likeness.solve.sightings import edges
from sixwright.topics.likeness.solve.spread import spread_of

# Minutes of work, own choices: an outline is some ten clicks on each still; a still is looked for
# and then marked; a landmark is a click on each still and one on the sculpt.
OUTLINE_MIN, STILL_MIN, CLICK_MIN = 1.0, 6.0, 0.1
STILLS, LANDMARKS = 2, 8
LEAST_STILLS = 3  # fewer, and stills are what is lacking


def helps(
    gauge: Gauge,
    fit: PersonFit,
    marks: tuple[LandmarkAnswer, ...],
    views: tuple[Viewpoint, ...],
    surface: tuple[SurfaceMark, ...] = (),
) -> tuple[Help, ...]:
    """What each kind of further work would cut of the uncertainty, most a minute first.

    Parameters
    ----------
    gauge, fit
        The person laid on a round, and its stills, solved.
    marks
        The round's landmarks, judged.
    views
        Viewpoints for one more still, best first.
    surface
        Landmarks on the round's mesh, where there is one.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “What helps most”: the fall of the summed spreads.
    """
    stills = len(fit.stills)
    if stills < LEAST_STILLS:
        return ()
    allowed = {mark.key: mark.tolerance_mm for mark in marks}
    tolerance_mm = np.array([allowed[key] for key in gauge.keys], dtype=np.float64)

    def gain(spread: Floats) -> float:
        return max(0.0, 1 - unsure(gauge, spread, tolerance_mm)[0] / now)

    spread = _of_landmarks(gauge, fit.fitted.spread.points)
    now = unsure(gauge, spread, tolerance_mm)[0]
    found = []
    drawn = _with_outlines(fit)
    if drawn is not None:
        minutes = OUTLINE_MIN * stills
        found.append(Help("outlines", gain(_of_landmarks(gauge, drawn)), minutes))
    best = _best_stills(gauge, fit, spread, views, surface)
    if best:
        after, chosen = min(best, key=lambda pair: unsure(gauge, pair[0], tolerance_mm)[0])
        found.append(Help("stills", gain(after), STILL_MIN * STILLS, chosen))
    more = _with_landmarks(gauge, fit)
    if more is not None:
        minutes = CLICK_MIN * LANDMARKS * (stills + 1)
        found.append(Help("landmarks", gain(_of_landmarks(gauge, more)), minutes))
    return tuple(sorted(found, key=lambda help_: -help_.gain / help_.minutes))


def _of_landmarks(gauge: Gauge, points: Floats) -> Floats:
    """(3l, 3l): the rows of a joint covariance that are a round's landmarks."""
    columns = (3 * gauge.rows[:, None] + np.arange(3)).ravel()
    own: Floats = points[np.ix_(columns, columns)]
    return own


def _with_outlines(fit: PersonFit) -> Floats | None:
    """Covariance of all places, were each outline drawn; None where none is left to draw."""
    problem, solved = fit.fitted.problem, fit.fitted.solved
    seen = problem.sightings
    missing = seen.contour & ~np.isfinite(seen.across).all(axis=1)
    if not missing.any():
        return None
    across = np.where(missing[:, None], edges(seen, solved.cameras), seen.across)
    drawn = replace(problem, sightings=replace(seen, across=across))
    return spread_of(drawn, solved).points


def _best_stills(
    gauge: Gauge,
    fit: PersonFit,
    spread: Floats,
    views: tuple[Viewpoint, ...],
    surface: tuple[SurfaceMark, ...],
) -> list[tuple[Floats, tuple[Viewpoint, ...]]]:
    """Covariance with the best further still and each of the others, and the two."""
    if len(views) < STILLS:
        return []
    hidden = hidden_from(gauge, surface)
    told = [
        information(gauge, fit, at, hidden[at]) for at in ((v.yaw_deg, v.pitch_deg) for v in views)
    ]
    known = np.linalg.inv(spread + 1e-12 * np.eye(len(spread)))
    return [
        (np.asarray(np.linalg.inv(known + told[0] + second), dtype=np.float64), (views[0], view))
        for view, second in zip(views[1:], told[1:], strict=True)
        if told[0] is not None and second is not None
    ]


def _with_landmarks(gauge: Gauge, fit: PersonFit) -> Floats | None:
    """Covariance of all places, were there eight more beside those that most stills see."""
    problem, solved = fit.fitted.problem, fit.fitted.solved
    seen, points = problem.sightings, len(solved.points)
    soft = np.bincount(seen.point[seen.contour], minlength=points) > 0
    able = np.flatnonzero((gauge.sightings >= LEAST_STILLS) & ~soft[gauge.rows])
    order = able[np.argsort(-gauge.sightings[able], kind="stable")][:LANDMARKS]
    if len(order) < LANDMARKS:
        return None
    beside = gauge.rows[order]
    copied = np.flatnonzero(np.isin(seen.point, beside))
    rows = np.concatenate([np.arange(len(seen)), copied])
    at = np.full(points, -1)
    at[beside] = points + np.arange(LANDMARKS)
    both = seen.only(rows)
    both = replace(both, point=np.concatenate([seen.point, at[seen.point[copied]]]))
    start = np.concatenate([problem.priors.points, problem.priors.points[beside]])
    more = BundleProblem(both, replace(problem.priors, points=start), problem.noise.only(rows))
    places = np.concatenate([solved.points, solved.points[beside]])
    return spread_of(more, replace(solved, points=places)).points[: 3 * points, : 3 * points]
