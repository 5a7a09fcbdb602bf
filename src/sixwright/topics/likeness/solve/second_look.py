"""A second look at stills of which much was found wrong: where the others say they were taken."""

from dataclasses import replace

import numpy as np

from sixwright.numerics.cameras import Cameras, Integers, places_px
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.solve.bundle import BundleProblem, frame_of, solve
from sixwright.topics.likeness.solve.outliers import FINE, PRICE, ScreenedFit, sort_out
from sixwright.topics.likeness.solve.resection import CameraPrior, StillPoints, resections

# A still is looked at again where so many of its sightings, and that share, were found wrong.
LEAST_WRONG, WRONG_SHARE = 1, 0.1
MOST_LOOKS = 3
FEW = 14  # sightings of a still that shows little
SILENT = 1e6  # variance factor that removes a still: its sightings weigh nothing
# How far, mm at 1:6, a place may be off that 0, 1, 2, 3 or more other sightings decide.
SLACK_MM = np.array([3.0, 1.0, 0.2, 0.1])
CONTOUR_SLACK_MM = 0.5
FITS = 4.0  # standard deviations within which a sighting fits a camera


def looked_again(problem: BundleProblem, found: ScreenedFit) -> ScreenedFit:
    """The solution, or a better one from where the other stills say that a still was taken.

    Wrong sightings can turn the camera of a still that shows little, a profile say, so far that
    right ones look wrong. The person's places are known from the others by then: against them the
    camera is found anew, each sighting left out in turn, and all is sorted out from there.

    Parameters
    ----------
    problem
        All sightings.
    found
        What was sorted out of them.

    Returns
    -------
    The likeliest solution; the one given where none is likelier.

    Raises
    ------
    numpy.linalg.LinAlgError
        As in `sort_out`.

    Source
    ------
    Own choice: as several starts, of the one still that may have been started wrong.
    """
    stills = problem.sightings.still
    wrong = np.bincount(stills[~found.kept], minlength=len(problem.priors.lens))
    share = wrong / np.maximum(np.bincount(stills, minlength=len(wrong)), 1)
    doubted = np.flatnonzero((wrong >= LEAST_WRONG) & (share >= WRONG_SHARE))
    for k in doubted[np.argsort(-share[doubted], kind="stable")][:MOST_LOOKS]:
        cameras, points = _by_others(found, int(k))
        camera = _camera(problem, found, int(k), cameras, points)
        if camera is None:
            continue
        trial = sort_out(problem, _with(cameras, int(k), camera), points, FINE)
        if _unlikely(trial) < _unlikely(found):
            found = trial
    return found


def _unlikely(found: ScreenedFit) -> float:
    """Minus twice the log likelihood, but for a constant; a sighting rejected has its price."""
    fitted = found.fitted
    frame = frame_of(fitted.problem, fitted.solved.cameras, fitted.solved.points)
    spread = -2 * np.linalg.slogdet(frame.whitener)[1]
    rejected = int((~found.kept).sum())
    return float(fitted.solved.squared.sum() + spread.sum() + rejected * (PRICE + spread.mean()))


def _by_others(found: ScreenedFit, k: int) -> tuple[Cameras, Floats]:
    """Cameras and places as all stills but one decide them."""
    part, solved = found.fitted.problem, found.fitted.solved
    factor = np.where(part.sightings.still == k, SILENT, 1.0)
    noise = replace(part.noise, pixel=part.noise.pixel * factor)
    silent = solve(replace(part, noise=noise), solved.cameras, solved.points)
    return silent.cameras, silent.points


def _slack(problem: BundleProblem, found: ScreenedFit, k: int) -> Floats:
    """(n,): how far the place of each of a still's sightings may be off, by the others."""
    seen = problem.sightings
    others = found.kept & (seen.still != k)
    count = np.bincount(seen.point[others], minlength=len(problem.priors.points))
    mine = seen.still == k
    known = SLACK_MM[np.minimum(count[seen.point[mine]], len(SLACK_MM) - 1)]
    slack: Floats = np.where(seen.contour[mine], np.maximum(known, CONTOUR_SLACK_MM), known)
    return slack


def _camera(
    problem: BundleProblem, found: ScreenedFit, k: int, cameras: Cameras, points: Floats
) -> Cameras | None:
    """The camera that most of a still's sightings fit; None where just those kept fit it."""
    mine = problem.sightings.still == k
    seen, kept, slack = problem.sightings.only(mine), found.kept[mine], _slack(problem, found, k)
    shown = StillPoints(seen.place_px, 1.0, seen.sd_px, points[seen.point], seen.outward, slack)
    belief = CameraPrior(problem.priors.mean[k], problem.priors.sd[k])
    count, most, best = len(seen), 0, cameras.only([k])
    for out in range(-1, count if count <= FEW else 0):  # all sightings, then all but each
        part = np.flatnonzero(np.arange(count) != out)
        camera = resections(_of(shown, part), belief, cameras.anchor)[0].camera
        place, _ = places_px(camera.only([0] * count), shown.points)
        spread = np.hypot(shown.sd_px, np.exp(camera.log_scale[0]) * slack)
        fits = np.linalg.norm(place - shown.place_px, axis=1) < FITS * spread
        if out < 0 and (fits == kept).all():
            return None
        if fits.sum() > most:
            best, most = camera, int(fits.sum())
    return best


def _of(seen: StillPoints, rows: Integers) -> StillPoints:
    return StillPoints(
        seen.place_px[rows],
        seen.width_px,
        seen.sd_px[rows],
        seen.points[rows],
        seen.outward[rows],
        seen.slack_mm[rows],
    )


def _with(cameras: Cameras, k: int, camera: Cameras) -> Cameras:
    """The cameras with one of them exchanged."""
    return replace(
        cameras,
        **{
            name: _exchanged(getattr(cameras, name), k, getattr(camera, name)[0])
            for name in Cameras.__slots__
            if name != "anchor"
        },
    )


def _exchanged(rows: Floats, k: int, row: Floats) -> Floats:
    rows = rows.copy()
    rows[k] = row
    return rows
