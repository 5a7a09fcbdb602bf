"""Sightings that fit no place of their landmark: found, rejected, the rest refitted."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from sixwright.numerics.bundle import Problem, Solved, frame_of, softened, solve
from sixwright.numerics.cameras import Cameras, Integers, project
from sixwright.numerics.rotations import Floats
from sixwright.numerics.sightings import Booleans, Noise
from sixwright.numerics.spread import Fitted, fit

BOUNDS = (20.0, 8.0, 4.0, 3.0, 3.0)  # standard deviations: everything pulls, then less and less
# What a rejected sighting costs, as a squared distance: one right sighting in 160,000 is beyond.
PRICE = 24.0
FAR_MM, FAR_PRICE = 0.5, 6.0  # own choice: how a place far from the sculpt counts, in a choice only
# Two sightings have one check between them: neither is believed where they contradict each other,
# or where no place within some 2 mm of the sculpt (12 mm at full size) explains both.
PAIR_PRICE, PAIR_NEAR_MM, PAIR_NEAR_PRICE = 9.0, 0.75, 14.0
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
                     problem.priors.points_sd_mm, bool(seen.contour[rows].any()))  # fmt: skip
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
    contour: bool

    def far(self, point: Floats) -> float:
        """How unlikely a place is, seen from the sculpt: only to choose between explanations."""
        off = float(((point - self.believed) ** 2).sum())
        return FAR_PRICE * float(np.log1p(off / FAR_MM**2))

    def cost(self, mask: Booleans) -> tuple[float, float, float]:
        """Least squared distance of some of the sightings from one place.

        With it how far that place is from the sculpt, and the squared distance with the belief's.
        """
        chosen: Integers = np.flatnonzero(mask)
        point, cameras = self.start.copy(), self.cameras.only(chosen)
        whitener, places = self.whitener[chosen], self.place_px[chosen]
        pull = self.believed_sd**-2.0
        best = far = both = float("inf")
        for _ in range(STEPS):
            shown = project(cameras, np.tile(point, (len(chosen), 1)))
            if not (shown.depth > 0).all():
                break
            off = np.einsum("nij,nj->ni", whitener, places - shown.place_px)
            found = float((off**2).sum())
            near = found + pull * float(((self.believed - point) ** 2).sum())
            if near < both:
                best, far, both = found, self.far(point), near
            by_point = whitener @ shown.by_point
            system = np.einsum("nki,nkj->ij", by_point, by_point) + pull * np.eye(3)
            side = np.einsum("nki,nk->i", by_point, off) + pull * (self.believed - point)
            point = point + np.linalg.solve(system, side)
        return best, far, both


def _sorted_rays(rays: _Rays) -> tuple[Booleans, bool]:
    """Which of a landmark's sightings to keep, and whether that is in doubt."""
    count = len(rays.place_px)
    everything = np.ones(count, bool)
    whole, far, _ = rays.cost(everything)
    if (
        count == 2 and not rays.contour
    ):  # nothing else can tell which of two is wrong: neither is believed
        near = replace(rays, believed_sd=PAIR_NEAR_MM)
        contradict = whole > PAIR_PRICE or near.cost(everything)[2] > PAIR_NEAR_PRICE
        return everything ^ contradict, contradict
    if whole <= PRICE:
        return everything, False
    if count == 2:
        return ~everything, True
    trials = [(whole + far, 0, everything)]
    for rank, out in enumerate(_dropped(count), start=1):
        mask = everything.copy()
        mask[list(out)] = False
        cost, far, _ = rays.cost(mask)
        trials.append((cost + far + PRICE * len(out), rank, mask))
    trials.sort(key=lambda trial: trial[:2])
    rivals = [mask for score, _, mask in trials[1:] if score - trials[0][0] < RIVAL]
    # Another explanation counts where it keeps what the chosen one drops.
    return trials[0][2], any((mask & ~trials[0][2]).any() for mask in rivals)


def _dropped(count: int) -> Iterator[tuple[int, ...]]:
    """Sets of sightings that may be wrong together: as many as can be tried in no time."""
    most = min(count - 2, 3 if count <= 8 else 2 if count <= 16 else 1)
    for size in range(1, most + 1):
        yield from combinations(range(count), size)
