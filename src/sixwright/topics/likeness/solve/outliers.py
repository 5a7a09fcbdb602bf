"""Sightings that fit no place of their landmark: found, rejected, the rest refitted."""

from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from sixwright.numerics.cameras import NEAREST, Cameras, places_px, project
from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import similarity
from sixwright.topics.likeness.solve.bundle import (
    RIDGE,
    BundleProblem,
    Solved,
    frame_of,
    softened,
    solve,
)
from sixwright.topics.likeness.solve.sightings import Booleans, Noise
from sixwright.topics.likeness.solve.spread import Fitted, fit, predicted

BOUNDS = (20.0, 8.0, 4.0, 3.0, 3.0)  # standard deviations: everything pulls, then less and less
FINE = BOUNDS[2:]  # from a start that is nearly right
# What a rejected sighting costs, as a squared distance: one right sighting in 160,000 is beyond.
PRICE = 24.0
# An outlier is hard to detect along an outline, where a right sighting may lie far off: the
# threshold is lower there. By chance one right sighting in 90 is beyond it; of 850 right ones in
# 100 scenes 5 were rejected.
CONTOUR_PRICE = 9.0
FAR_MM, FAR_PRICE = 0.5, 6.0  # own choice: how a place far from the sculpt counts, in a choice only
# Two sightings have one check between them: neither is believed where they contradict each other,
# or where no place within some 2 mm of the sculpt (12 mm at full size) explains both.
PAIR_PRICE, PAIR_NEAR_MM, PAIR_NEAR_PRICE, CONTOUR_NEAR_PRICE = 9.0, 0.75, 14.0, 6.0
RIVAL = 6.0  # two ways to make a landmark fit that differ by less are not told apart
LAID_BY, LEAST_LAID, LAYINGS = 3, 5, 12  # sightings, places and passes that lay the sculpt on
SIEVES = 6
BACK_BY, BACK_SHARE = 3, 0.4  # sightings that decide a landmark, and share of a still rejected
STEPS = 4
RAYLEIGH_MEDIAN = 2 * np.log(2)


@dataclass(frozen=True, slots=True)
class ScreenedFit:
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


def sort_out(
    problem: BundleProblem, cameras: Cameras, points: Floats, bounds: tuple[float, ...] = BOUNDS
) -> ScreenedFit:
    """Find wrong sightings robustly, reject them, refit the rest by plain least squares.

    Parameters
    ----------
    problem
        All sightings.
    cameras, points
        A start, by resection.
    bounds
        Of the sieves, in standard deviations, one or more.

    Raises
    ------
    numpy.linalg.LinAlgError
        As in `solve`.

    Source
    ------
    Own choice: a robust loss alone leaves a third of a wrong sighting's pull. Rejection is the
    truncated sum of squares, landmark by landmark, with the cameras as they stand.
    """
    solved = _sieved(problem, cameras, points, bounds)
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
        part = BundleProblem(
            problem.sightings.only(kept),
            problem.priors,
            noise.only(kept),
        )
        fitted = fit(part, state, passes=4)
        state = fitted.solved
        noise = _spread_noise(problem, fitted, kept)
    if fitted is None:
        fitted = fit(problem, state)
    fitted = fit(fitted.problem, fitted.solved)
    back = _readmitted(replace(problem, noise=_spread_noise(problem, fitted, kept)), fitted, kept)
    if back.any():
        kept = kept | back
        noise = _spread_noise(problem, fitted, kept & ~back)
        part = BundleProblem(problem.sightings.only(kept), problem.priors, noise.only(kept))
        fitted = fit(part, fitted.solved)
        noise = _spread_noise(problem, fitted, kept)
        contested = _kept(replace(problem, noise=noise), fitted.solved)[1]
        rejected = np.bincount(problem.sightings.point[~kept], minlength=len(contested))
        contested = contested & (rejected > 0)
    return ScreenedFit(fitted, kept, contested)


def _readmitted(problem: BundleProblem, fitted: Fitted, kept: Booleans) -> Booleans:
    """(n,): which rejected sightings the others predict after all, cameras being unsure too.

    Only of landmarks that three others or more decide, and of stills of which little was rejected:
    what says little contradicts little.
    """
    seen, solved = problem.sightings, fitted.solved
    frame = frame_of(problem, solved.cameras, solved.points)
    place, _ = places_px(solved.cameras.only(seen.still), solved.points[seen.point])
    off = np.einsum("nij,nj->ni", frame.whitener, seen.place_px - place)
    spread = np.eye(2) + predicted(problem, solved, fitted.spread, frame.whitener)
    squared = np.einsum("ni,ni->n", off, np.linalg.solve(spread, off[:, :, None])[:, :, 0])
    others = np.bincount(seen.point[kept], minlength=len(solved.points))[seen.point]
    share = np.bincount(seen.still, ~kept) / np.maximum(np.bincount(seen.still), 1)
    able = (others >= BACK_BY) & (share[seen.still] <= BACK_SHARE)
    price = np.where(seen.contour, CONTOUR_PRICE, PRICE)
    back: Booleans = ~kept & able & (squared <= price)
    return back


def _sieved(
    problem: BundleProblem, cameras: Cameras, points: Floats, bounds: tuple[float, ...]
) -> tuple[Solved, Noise]:
    """A robust solution by ever finer sieves, and the noise as the middle of it shows it."""
    noise = problem.noise
    state = Solved(cameras, points, 0.0, np.zeros(len(problem.sightings)), settled=False)
    for bound in bounds:
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


def _spread_noise(problem: BundleProblem, fitted: Fitted, kept: Booleans) -> Noise:
    """The noise of all sightings, from that of the sightings kept: a still's is its own."""
    stills = problem.sightings.still
    of_kept = fitted.problem.noise.pixel
    total = np.bincount(stills[kept], of_kept, stills.max() + 1)
    count = np.bincount(stills[kept], minlength=stills.max() + 1)
    mean = float(of_kept.mean()) if len(of_kept) else 1.0
    by_still = np.where(count > 0, total / np.maximum(count, 1), mean)
    return replace(fitted.problem.noise, pixel=by_still[stills])


def _kept(problem: BundleProblem, state: Solved) -> tuple[Booleans, Booleans]:
    """Which sightings fit, and which landmarks cannot be sorted out, the cameras held."""
    seen = problem.sightings
    frame = frame_of(problem, state.cameras, state.points)
    believed = _laid(problem, state.points)
    kept = np.ones(len(seen), bool)
    contested = np.zeros(len(state.points), bool)
    order = np.argsort(seen.point, kind="stable")
    for rows in np.split(order, np.flatnonzero(np.diff(seen.point[order])) + 1):
        if len(rows) < 2:
            continue
        point = int(seen.point[rows[0]])
        rays = _Rays(seen.place_px[rows], state.cameras.only(seen.still[rows]),
                     frame.whitener[rows], state.points[point], believed[point],
                     problem.priors.points_sd_mm, bool(seen.contour[rows].any()))  # fmt: skip
        mask, unsure = _sorted_rays(rays)
        kept[rows[~mask]] = False
        contested[point] = unsure
    return kept, contested


def _laid(problem: BundleProblem, points: Floats) -> Floats:
    """(p, 3): the sculpt's places laid on the person's, whose frame and size have drifted.

    Robustly, by the places sighted most often, so that those that are wrong do not pull.
    """
    sculpt = problem.priors.points
    counts = np.bincount(problem.sightings.point, minlength=len(points))
    able = (counts >= LAID_BY).astype(float)
    if able.sum() < LEAST_LAID:
        return sculpt
    weights = able
    for _ in range(LAYINGS):
        laid = similarity(sculpt, points, weights).of(sculpt)
        off = np.linalg.norm(laid - points, axis=1)
        bound = 2.5 * float(np.median(off[able > 0])) + 1e-6
        weights = able / (1 + (off / bound) ** 2) ** 2
    return laid


@dataclass(frozen=True, slots=True)
class _Costs:
    """What m choices of a landmark's sightings cost.

    `squared` is the least squared distance from one place; `far` how unlikely that place is, seen
    from the sculpt, and only used to choose between explanations; `near` the squared distance
    with that of the belief.
    """

    squared: Floats
    far: Floats
    near: Floats


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

    @property
    def price(self) -> float:
        """What leaving one of them out costs."""
        return CONTOUR_PRICE if self.contour else PRICE

    def costs(self, masks: Booleans) -> _Costs:
        """Each of (m, n) choices of sightings fitted by one place."""
        count, n = masks.shape
        points = np.tile(self.start, (count, 1))
        cameras = self.cameras.only(np.tile(np.arange(n), count))
        weight, pull = masks.astype(float), self.believed_sd**-2.0
        found = near = np.full(count, np.inf)
        far = np.zeros(count)
        for _ in range(STEPS):
            shown = project(cameras, np.repeat(points, n, axis=0))
            off = self.place_px - shown.place_px.reshape(count, n, 2)
            off = np.einsum("nij,mnj->mni", self.whitener, off)
            squared = ((off**2).sum(axis=2) * weight).sum(axis=1)
            behind = ((shown.depth.reshape(count, n) <= NEAREST) & masks).any(axis=1)
            away = ((self.believed - points) ** 2).sum(axis=1)
            better = ~behind & (squared + pull * away < near)
            found, near = (
                np.where(better, squared, found),
                np.where(better, squared + pull * away, near),
            )
            far = np.where(better, FAR_PRICE * np.log1p(away / FAR_MM**2), far)
            by_point = np.einsum(
                "nij,mnjk->mnik", self.whitener, shown.by_point.reshape(count, n, 2, 3)
            )
            heavy = by_point * weight[:, :, None, None]
            system = np.einsum("mnki,mnkj->mij", heavy, by_point) + pull * np.eye(3)
            side = np.einsum("mnki,mnk->mi", heavy, off) + pull * (self.believed - points)
            ridge = RIDGE * np.trace(system, axis1=1, axis2=2)
            system = system + ridge[:, None, None] * np.eye(3)
            points = points + np.linalg.solve(system, side[:, :, None])[:, :, 0]
        return _Costs(found, far, near)


def _sorted_rays(rays: _Rays) -> tuple[Booleans, bool]:
    """Which of a landmark's sightings to keep, and whether that is in doubt."""
    count = len(rays.place_px)
    everything = np.ones((1, count), bool)
    if count == 2:  # nothing else can tell which of two is wrong
        contradict = not _agree(rays, everything)
        return everything[0] ^ contradict, contradict
    if rays.costs(everything).squared[0] <= rays.price:
        return everything[0], False
    masks = _choices(count)
    costs = rays.costs(masks)
    scores = costs.squared + costs.far + rays.price * (~masks).sum(axis=1)
    best = int(scores.argmin())
    if masks[best].sum() == 2 and not _agree(rays, masks[best, None]):
        return np.zeros(count, bool), True
    rivals = masks[scores < scores[best] + RIVAL]
    # Another explanation counts where it keeps what the chosen one drops.
    return masks[best], bool((rivals & ~masks[best]).any())


def _agree(rays: _Rays, pair: Booleans) -> bool:
    """Whether two sightings, (1, n) of the rays, may be of one place near the sculpt."""
    near = replace(rays, believed_sd=PAIR_NEAR_MM).costs(pair).near[0]
    price = CONTOUR_NEAR_PRICE if rays.contour else PAIR_NEAR_PRICE
    return bool(rays.costs(pair).squared[0] <= PAIR_PRICE and near <= price)


def _choices(count: int) -> Booleans:
    """All sightings, and all but some: as many wrong together as can be tried in no time."""
    most = min(count - 2, 3 if count <= 8 else 2 if count <= 16 else 1)
    dropped = [out for size in range(most + 1) for out in combinations(range(count), size)]
    masks = np.ones((len(dropped), count), bool)
    for mask, out in zip(masks, dropped, strict=True):
        mask[list(out)] = False
    return masks
