"""Cameras and points together, by least squares: a damped Gauss-Newton with points eliminated.

Levels of this package: `numerics.rotations` and `numerics.cameras` are formulas on arrays;
`sightings` weighs what was seen; this module solves; `spread` says how sure the solution is;
`outliers` finds sightings that do not fit; `resection` finds where to start. Axis letters: n
sightings, k stills, p points.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from sixwright.numerics.cameras import (
    NEAREST,
    UNKNOWNS,
    Cameras,
    Integers,
    belief_cost,
    belief_terms,
    places_px,
    project,
)
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.solve.sightings import Noise, Sightings, whitened

MOST_STEPS = 60
SETTLED = 1e-7  # fall of the cost, over the cost, at which solving ends
RIDGE = 1e-12  # of a scaled system: what nothing decides must not stop the rest


@dataclass(frozen=True, slots=True)
class Priors:
    """What is believed of the cameras before any sighting.

    Attributes
    ----------
    mean, sd
        (k, 10), as `cameras.believed`; an infinite spread says nothing.
    lens
        (k,): row of the lens that each still shares; stills of one camera share log f.
    lens_mean, lens_sd
        (lenses,): what lens data say of log f.
    points, points_sd_mm
        (p, 3) and mm: a very loose belief that keeps the algebra solvable.
    """

    mean: Floats
    sd: Floats
    lens: Integers
    lens_mean: Floats
    lens_sd: Floats
    points: Floats
    points_sd_mm: float


@dataclass(frozen=True, slots=True)
class BundleProblem:
    """Sightings and beliefs."""

    sightings: Sightings
    priors: Priors
    noise: Noise

    def columns(self) -> Integers:
        """(k, 10): where each unknown of each still stands among the cameras' unknowns."""
        stills = len(self.priors.lens)
        own = np.arange(stills * (UNKNOWNS - 1)).reshape(stills, UNKNOWNS - 1)
        shared = stills * (UNKNOWNS - 1) + self.priors.lens
        return np.column_stack([own, shared])

    def size(self) -> int:
        """How many unknowns the cameras have."""
        return len(self.priors.lens) * (UNKNOWNS - 1) + len(self.priors.lens_mean)


@dataclass(frozen=True, slots=True)
class Normal:
    """Normal equations in blocks.

    Attributes
    ----------
    cameras, points, cross
        (c, c), (p, 3, 3) and (c, p, 3).
    camera_side, point_side
        (c,) and (p, 3): minus the gradient.
    """

    cameras: Floats
    points: Floats
    cross: Floats
    camera_side: Floats
    point_side: Floats


@dataclass(frozen=True, slots=True)
class Solved:
    """Where cameras and points were found.

    Attributes
    ----------
    cameras, points
        The estimate.
    cost
        Sum of squares of whitened residuals and beliefs.
    squared
        (n,): squared whitened residual of each sighting.
    settled
        Whether the last step no longer lowered the cost.
    """

    cameras: Cameras
    points: Floats
    cost: float
    squared: Floats
    settled: bool


Softening = Callable[[Floats], Floats]


def no_softening(squared: Floats) -> Floats:
    """Plain least squares: every sighting weighs one."""
    return np.ones_like(squared)


def softened(bound: float) -> Softening:
    """Weights that leave sightings beyond some `bound` standard deviations almost no pull.

    Parameters
    ----------
    bound
        In standard deviations, above 0.

    Raises
    ------
    ZeroDivisionError
        If the bound is zero.

    Source
    ------
    Geman and McClure's function; any redescending one would do, for what is found wrong is
    rejected afterwards and the rest refitted by plain least squares.
    """
    return lambda squared: 1 / (1 + squared / bound**2) ** 2


def solve(
    problem: BundleProblem,
    cameras: Cameras,
    points: Floats,
    *,
    soften: Softening = no_softening,
    most_steps: int = MOST_STEPS,
) -> Solved:
    """The cameras and points that explain the sightings best, from a start.

    Parameters
    ----------
    problem
        Sightings of k stills and p points, beliefs, noise.
    cameras, points
        The start: k cameras, (p, 3) mm, every sighted point before its camera.
    soften
        Weight of a sighting by its squared whitened residual; frozen within a step.
    most_steps
        Steps tried, 1 or more.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a belief has a spread of zero.

    Source
    ------
    triggs-1999 (bundle adjustment, sections 4 and 6): Levenberg-Marquardt with the Schur
    complement of the points. Whitening follows the cameras from step to step.
    """
    cameras = _shared(problem, cameras)
    damping, settled = 1e-4, False
    frame = Frame.at(problem, cameras, points, soften)
    for _ in range(most_steps):
        normal = normal_equations(problem, cameras, points, frame)
        while True:
            with np.errstate(all="ignore"):  # too long a step costs infinity
                step, moves = _step(normal, damping)
                trial = cameras.stepped(step[problem.columns()])
                trial_points = points + moves
            cost = frame.cost(problem, trial, trial_points)
            if np.isfinite(cost) and cost <= frame.now:
                break
            damping *= 8
            if damping > 1e9:
                return _finished(problem, cameras, points, settled=True)
        fall = frame.now - cost
        settled = fall <= SETTLED * (1 + cost)
        cameras, points = trial, trial_points
        damping = max(damping / 5, 1e-12)
        if settled:
            break
        frame = Frame.at(problem, cameras, points, soften)
    return _finished(problem, cameras, points, settled=settled)


def _shared(problem: BundleProblem, cameras: Cameras) -> Cameras:
    """The cameras with one focal length a lens: the mean of what its stills start from."""
    lens = problem.priors.lens
    total = np.bincount(lens, cameras.log_focal)
    return replace(cameras, log_focal=(total / np.maximum(np.bincount(lens), 1))[lens])


@dataclass(frozen=True, slots=True)
class Frame:
    """Weights that stay while one step is looked for, and the cost under them."""

    whitener: Floats
    soft: Floats
    now: float

    @classmethod
    def at(
        cls, problem: BundleProblem, cameras: Cameras, points: Floats, soften: Softening
    ) -> "Frame":
        """The weights at an estimate."""
        seen = problem.sightings
        shown = project(cameras.only(seen.still), points[seen.point])
        whitener = whitened(seen, cameras, shown, problem.noise).whitener
        residual = np.einsum("nij,nj->ni", whitener, shown.place_px - seen.place_px)
        soft = soften((residual**2).sum(axis=1))
        frame = cls(whitener, soft, 0.0)
        return replace(frame, now=frame.cost(problem, cameras, points))

    def cost(self, problem: BundleProblem, cameras: Cameras, points: Floats) -> float:
        """Weighted sum of squares; infinite where a point is not before its camera."""
        with np.errstate(all="ignore"):  # a step may be tried that leads beyond all numbers
            total = self._cost(problem, cameras, points)
        return total if np.isfinite(total) else float("inf")

    def _cost(self, problem: BundleProblem, cameras: Cameras, points: Floats) -> float:
        seen = problem.sightings
        place, depth = places_px(cameras.only(seen.still), points[seen.point])
        if not (depth > NEAREST).all():
            return float("inf")
        residual = np.einsum("nij,nj->ni", self.whitener, place - seen.place_px)
        beliefs = _belief_cost(problem.priors, cameras, points)
        return float(self.soft @ (residual**2).sum(axis=1)) + beliefs


def _belief_cost(priors: Priors, cameras: Cameras, points: Floats) -> float:
    lenses = (_log_focal(priors, cameras) - priors.lens_mean) / priors.lens_sd
    loose = (points - priors.points) / priors.points_sd_mm
    own = belief_cost(cameras, priors.mean, priors.sd).sum()
    return float(own + (lenses**2).sum() + (loose**2).sum())


def _log_focal(priors: Priors, cameras: Cameras) -> Floats:
    """(lenses,): log f of each lens."""
    found = np.zeros(len(priors.lens_mean))
    found[priors.lens] = cameras.log_focal
    return found


def normal_equations(
    problem: BundleProblem, cameras: Cameras, points: Floats, frame: Frame
) -> Normal:
    """The blocks of the normal equations at an estimate.

    Parameters
    ----------
    problem, cameras, points
        As in `solve`.
    frame
        The weights.

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    triggs-1999, section 6.
    """
    seen, columns, size = problem.sightings, problem.columns(), problem.size()
    shown = project(cameras.only(seen.still), points[seen.point])
    scaled = frame.whitener * np.sqrt(frame.soft)[:, None, None]
    residual = np.einsum("nij,nj->ni", scaled, seen.place_px - shown.place_px)
    by_camera, by_point = scaled @ shown.by_camera, scaled @ shown.by_point
    at = columns[seen.still]
    count = len(points)
    system = np.zeros((size, size))
    np.add.at(system, (at[:, :, None], at[:, None, :]), by_camera.transpose(0, 2, 1) @ by_camera)
    blocks = np.zeros((count, 3, 3))
    np.add.at(blocks, seen.point, by_point.transpose(0, 2, 1) @ by_point)
    cross = np.zeros((size, count, 3))
    np.add.at(cross, (at, seen.point[:, None]), by_camera.transpose(0, 2, 1) @ by_point)
    side = np.zeros(size)
    np.add.at(side, at, np.einsum("nij,ni->nj", by_camera, residual))
    point_side = np.zeros((count, 3))
    np.add.at(point_side, seen.point, np.einsum("nij,ni->nj", by_point, residual))
    return _with_beliefs(
        problem.priors, cameras, points, Normal(system, blocks, cross, side, point_side), columns
    )


def _with_beliefs(
    priors: Priors, cameras: Cameras, points: Floats, normal: Normal, columns: Integers
) -> Normal:
    """Add the beliefs to the normal equations, in place."""
    system, side = belief_terms(cameras, priors.mean, priors.sd)
    np.add.at(normal.cameras, (columns[:, :, None], columns[:, None, :]), system)
    np.add.at(normal.camera_side, columns, side)
    pull = priors.lens_sd**-2.0
    lenses = np.arange(len(normal.cameras) - len(pull), len(normal.cameras))
    normal.cameras[lenses, lenses] += pull
    normal.camera_side[lenses] += pull * (priors.lens_mean - _log_focal(priors, cameras))
    loose = priors.points_sd_mm**-2.0
    normal.points[:, range(3), range(3)] += loose
    normal.point_side[...] += loose * (priors.points - points)
    return normal


def _step(normal: Normal, damping: float) -> tuple[Floats, Floats]:
    """The damped step: cameras first, points after."""
    blocks = normal.points.copy()
    blocks[:, range(3), range(3)] *= 1 + damping
    inverse = np.linalg.inv(blocks)
    carried = np.einsum("cpi,pij->cpj", normal.cross, inverse)
    flat = carried.reshape(len(carried), -1)
    reduced = normal.cameras - flat @ normal.cross.reshape(len(carried), -1).T
    diagonal = np.diag(normal.cameras)
    reduced[range(len(reduced)), range(len(reduced))] += damping * diagonal
    scale = 1 / np.sqrt(np.maximum(diagonal, 1e-300))
    side = normal.camera_side - flat @ normal.point_side.ravel()
    scaled = scale[:, None] * reduced * scale + RIDGE * np.eye(len(scale))
    step = scale * np.linalg.solve(scaled, scale * side)
    remaining = normal.point_side - np.einsum("cpi,c->pi", normal.cross, step)
    return step, np.einsum("pij,pj->pi", inverse, remaining)


def frame_of(problem: BundleProblem, cameras: Cameras, points: Floats) -> Frame:
    """The weights of plain least squares at an estimate."""
    return Frame.at(problem, cameras, points, no_softening)


def _finished(problem: BundleProblem, cameras: Cameras, points: Floats, *, settled: bool) -> Solved:
    frame = Frame.at(problem, cameras, points, no_softening)
    seen = problem.sightings
    place, _ = places_px(cameras.only(seen.still), points[seen.point])
    residual = np.einsum("nij,nj->ni", frame.whitener, place - seen.place_px)
    return Solved(cameras, points, frame.now, (residual**2).sum(axis=1), settled)
