"""Sightings that fit no place of their landmark: found, rejected, the rest refitted."""

from dataclasses import dataclass, replace

import numpy as np

from sixwright.numerics.bundle import Problem, Solved, frame_of, softened, solve
from sixwright.numerics.cameras import Cameras, Integers, project
from sixwright.numerics.rotations import Floats
from sixwright.numerics.sightings import Booleans, Noise
from sixwright.numerics.spread import Fitted, fit

BOUNDS = (40.0, 15.0, 6.0)  # standard deviations, from letting everything pull to the last sieve
# What a rejected sighting costs, as a squared distance: one right sighting in 8,000 is beyond.
PRICE = 18.0
RIVAL = 6.0  # two ways to make a landmark fit that differ by less are not told apart
SIEVES = 6
STEPS = 4
RAYLEIGH_MEDIAN = 2 * np.log(2)


@dataclass(frozen=True, slots=True)
class Sorted:
    """A solution without what was found wrong.

    Attributes
    ----------
    fitted
        The plain least-squares solution of the sightings kept.
    kept
        (n,): whether each sighting of the problem given was kept.
    contested
        (p,): whether a landmark's sightings contradict each other and it cannot be said which is
        wrong.
    """

    fitted: Fitted
    kept: Booleans
    contested: Booleans


def sort_out(problem: Problem, cameras: Cameras, points: Floats) -> Sorted:
    """Find wrong sightings robustly, reject them, refit the rest by plain least squares.

    Parameters
    ----------
    problem
        All sightings.
    cameras, points
        A start, by resection.

    Raises
    ------
    numpy.linalg.LinAlgError
        As in `solve`.

    Source
    ------
    Own choice: a robust loss alone leaves a third of a wrong sighting's pull. Rejection is the
    truncated sum of squares, landmark by landmark, with the cameras as they stand.
    """
    solved = _sieved(problem, cameras, points)
    kept = np.ones(len(problem.sightings), bool)
    noise = solved[1]
    state = solved[0]
    fitted: Fitted | None = None
    contested = np.zeros(len(points), bool)
    for turn in range(SIEVES):
        found, contested = _kept(replace(problem, noise=noise), state)
        if turn and (found == kept).all():
            break
        kept = found
        part = Problem(
            problem.sightings.only(kept),
            problem.priors,
            noise.only(kept),
        )
        fitted = fit(part, state, passes=4)
        state = fitted.solved
        noise = _spread_noise(problem, fitted, kept)
    if fitted is None:
        fitted = fit(problem, state)
    return Sorted(fit(fitted.problem, fitted.solved), kept, contested)


def _sieved(problem: Problem, cameras: Cameras, points: Floats) -> tuple[Solved, Noise]:
    """A robust solution by ever finer sieves, and the noise as the middle of it shows it."""
    noise = problem.noise
    state = Solved(cameras, points, 0.0, np.zeros(len(problem.sightings)), settled=False)
    for bound in BOUNDS:
        state = solve(
            replace(problem, noise=noise),
            state.cameras,
            state.points,
            soften=softened(bound),
            most_steps=15,
        )
        rows = 2 * len(problem.sightings)
        used = 3 * len(points) + 7 * len(cameras) - 7
        left = max(rows - used, 0.15 * rows) / rows
        factor = float(np.median(state.squared) / RAYLEIGH_MEDIAN / left)
        factor = float(np.clip(factor, 0.05, 100.0))
        noise = Noise(noise.pixel * factor, noise.definition * factor, noise.contour)
    return state, noise


def _spread_noise(problem: Problem, fitted: Fitted, kept: Booleans) -> Noise:
    """The noise of all sightings, from that of the sightings kept: a still's is its own."""
    stills = problem.sightings.still
    of_kept = fitted.problem.noise.pixel
    total = np.bincount(stills[kept], of_kept, stills.max() + 1)
    count = np.bincount(stills[kept], minlength=stills.max() + 1)
    mean = float(of_kept.mean()) if len(of_kept) else 1.0
    by_still = np.where(count > 0, total / np.maximum(count, 1), mean)
    return replace(fitted.problem.noise, pixel=by_still[stills])


def _kept(problem: Problem, state: Solved) -> tuple[Booleans, Booleans]:
    """Which sightings fit, and which landmarks cannot be sorted out, the cameras held."""
    seen = problem.sightings
    frame = frame_of(problem, state.cameras, state.points)
    kept = np.ones(len(seen), bool)
    contested = np.zeros(len(state.points), bool)
    order = np.argsort(seen.point, kind="stable")
    for rows in np.split(order, np.flatnonzero(np.diff(seen.point[order])) + 1):
        if len(rows) < 2:
            continue
        point = int(seen.point[rows[0]])
        rays = _Rays(seen.place_px[rows], state.cameras.only(seen.still[rows]),
                     frame.whitener[rows], state.points[point], problem.priors.points[point],
                     problem.priors.points_sd_mm)  # fmt: skip
        mask, unsure = _sorted_rays(rays)
        kept[rows[~mask]] = False
        contested[point] = unsure
    return kept, contested


@dataclass(frozen=True, slots=True)
class _Rays:
    """The sightings of one landmark, their cameras held."""

    place_px: Floats
    cameras: Cameras
    whitener: Floats
    start: Floats
    believed: Floats
    believed_sd: float

    def cost(self, mask: Booleans) -> float:
        """Least squared distance of some of the sightings from one place."""
        chosen: Integers = np.flatnonzero(mask)
        point, cameras = self.start.copy(), self.cameras.only(chosen)
        whitener, places = self.whitener[chosen], self.place_px[chosen]
        pull = self.believed_sd**-2.0
        best = float("inf")
        for _ in range(STEPS):
            shown = project(cameras, np.tile(point, (len(chosen), 1)))
            if not (shown.depth > 0).all():
                break
            off = np.einsum("nij,nj->ni", whitener, places - shown.place_px)
            best = min(best, float((off**2).sum()))
            by_point = whitener @ shown.by_point
            system = np.einsum("nki,nkj->ij", by_point, by_point) + pull * np.eye(3)
            side = np.einsum("nki,nk->i", by_point, off) + pull * (self.believed - point)
            point = point + np.linalg.solve(system, side)
        return best


def _sorted_rays(rays: _Rays) -> tuple[Booleans, bool]:
    """Which of a landmark's sightings to keep, and whether that is in doubt."""
    count = len(rays.place_px)
    mask = np.ones(count, bool)
    cost = rays.cost(mask)
    contested = False
    while cost > PRICE and mask.sum() > 1:
        trials = []
        for row in np.flatnonzero(mask).tolist():
            without = mask.copy()
            without[row] = False
            trials.append((rays.cost(without), row))
        trials.sort()
        least, row = trials[0]
        if cost - least < PRICE:
            break  # no single sighting explains it
        mask[row] = False
        cost = least
        contested = len(trials) > 1 and trials[1][0] - least < RIVAL
        if mask.sum() == 1:
            mask[:] = False  # two that contradict: neither is believed
            contested = True
    return mask, contested
