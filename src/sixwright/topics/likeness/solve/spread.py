"""How sure a solved bundle is: joint covariance, leverage, and the noise that it shows."""

from dataclasses import dataclass, replace

import numpy as np

from sixwright.numerics.cameras import project
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.solve.bundle import (
    RIDGE,
    BundleProblem,
    Solved,
    frame_of,
    normal_equations,
    solve,
)
from sixwright.topics.likeness.solve.sightings import Noise, whitened

# Belief that the stated spreads are right; own choice, so that a still with few sightings, or few
# stills, cannot talk the noise down to nothing: the logarithm of a variance factor is normal with
# variance 2 / BELIEF. At a factor of e it pulls as that many rows of sightings would.
BELIEF = 2.0
STILL_BELIEF = 24.0
PASSES = 24
LEAST_FACTOR, MOST_FACTOR = 0.02, 400.0


@dataclass(frozen=True, slots=True)
class Spread:
    """Covariance of a solution under the noise that its problem states.

    Attributes
    ----------
    cameras
        (c, c), by the columns of the problem.
    points
        (3p, 3p), mm², x y z of each point in turn, before any alignment.
    cross
        (c, 3p).
    leverage
        (n, 2, 2): share of each sighting's whitened rows that the fit uses up.
    """

    cameras: Floats
    points: Floats
    cross: Floats
    leverage: Floats


def spread_of(problem: BundleProblem, solved: Solved) -> Spread:
    """Joint covariance of cameras and points at a solution.

    Parameters
    ----------
    problem, solved
        The problem and its plain least-squares solution.

    Raises
    ------
    numpy.linalg.LinAlgError
        If nothing, not even a belief, decides some unknown.

    Source
    ------
    hartley-zisserman, 5.2 and A6: inverse of the normal matrix, by blocks.
    """
    frame = frame_of(problem, solved.cameras, solved.points)
    normal = normal_equations(problem, solved.cameras, solved.points, frame)
    inverse = np.linalg.inv(normal.points)
    size, count = len(normal.cameras), len(inverse)
    carried = np.einsum("cpi,pij->cpj", normal.cross, inverse).reshape(size, -1)
    reduced = normal.cameras - carried @ normal.cross.reshape(size, -1).T
    scale = 1 / np.sqrt(np.diag(normal.cameras))
    scaled = scale[:, None] * reduced * scale + RIDGE * np.eye(size)
    cameras = scale[:, None] * np.linalg.inv(scaled) * scale
    cross = -cameras @ carried
    points = -carried.T @ cross
    blocks = points.reshape(count, 3, count, 3)
    blocks[range(count), :, range(count), :] += inverse
    bare = Spread(cameras, (points + points.T) / 2, cross, np.zeros((0, 2, 2)))
    return replace(bare, leverage=predicted(problem, solved, bare, frame.whitener))


def predicted(problem: BundleProblem, solved: Solved, spread: Spread, whitener: Floats) -> Floats:
    """(n, 2, 2): covariance of where the solution shows each sighting of a problem, whitened.

    Parameters
    ----------
    problem
        Its n sightings need not be those that were solved; its cameras and points must be.
    solved, spread
        A solution, and how sure it is.
    whitener
        (n, 2, 2), of the sightings.

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    hartley-zisserman, 5.2: first-order propagation; of solved sightings, their leverage.
    """
    seen = problem.sightings
    size, count = len(spread.cameras), len(solved.points)
    shown = project(solved.cameras.only(seen.still), solved.points[seen.point])
    by_camera, by_point = whitener @ shown.by_camera, whitener @ shown.by_point
    at = problem.columns()[seen.still]
    own = spread.points.reshape(count, 3, count, 3)[seen.point, :, seen.point, :]
    mixed = spread.cross.reshape(size, count, 3)[at, seen.point[:, None]]
    half = by_camera @ mixed @ by_point.transpose(0, 2, 1)
    covariance: Floats = (
        by_camera @ spread.cameras[at[:, :, None], at[:, None, :]] @ by_camera.transpose(0, 2, 1)
        + half
        + half.transpose(0, 2, 1)
        + by_point @ own @ by_point.transpose(0, 2, 1)
    )
    return covariance


@dataclass(frozen=True, slots=True)
class Fitted:
    """A solution with the noise that it was found to have.

    Attributes
    ----------
    problem
        With the noise as estimated.
    solved, spread
        Under that noise.
    freedom
        Degrees of freedom that are left for the noise, beliefs about it included.
    """

    problem: BundleProblem
    solved: Solved
    spread: Spread
    freedom: float


def fit(problem: BundleProblem, start: Solved, *, passes: int = PASSES) -> Fitted:
    """Plain least squares, with the noise estimated from what it leaves over.

    Parameters
    ----------
    problem
        Sightings thought right, beliefs, first guess of the noise.
    start
        A solution to start from.
    passes
        Rounds of solving and estimating, 1 or more.

    Raises
    ------
    numpy.linalg.LinAlgError
        As in `spread_of`.

    Source
    ------
    Restricted maximum likelihood for variance components (patterson-thompson-1971), with a
    weak belief in the stated spreads. One factor for the definitions, one for the pixels of each
    still, drawn towards a common one.
    """
    solved = start
    for turn in range(passes):
        solved = solve(problem, solved.cameras, solved.points, most_steps=20)
        spread = spread_of(problem, solved)
        if turn == passes - 1:
            break
        noise = _noise(problem, solved, spread)
        change = _change(problem.noise, noise)
        problem = BundleProblem(problem.sightings, problem.priors, noise)
        if turn > 1 and change < 0.003:
            solved = solve(problem, solved.cameras, solved.points, most_steps=20)
            spread = spread_of(problem, solved)
            break
    left = float(np.trace(np.eye(2) - spread.leverage, axis1=1, axis2=2).sum())
    return Fitted(problem, solved, spread, max(left, 0.0) + 2 * BELIEF)


def _change(old: Noise, new: Noise) -> float:
    """The largest relative change of a factor."""
    shared = [new.definition / old.definition, new.contour / old.contour]
    return float(np.abs(np.log(np.append(new.pixel / old.pixel, shared))).max())


def _noise(problem: BundleProblem, solved: Solved, spread: Spread) -> Noise:
    """One step of restricted maximum likelihood for the noise factors."""
    seen, noise = problem.sightings, problem.noise
    shown = project(solved.cameras.only(seen.still), solved.points[seen.point])
    weight = whitened(seen, solved.cameras, shown, noise)
    residual = np.einsum("nij,nj->ni", weight.whitener, seen.place_px - shown.place_px)
    left, parts = np.eye(2) - spread.leverage, weight.parts
    found = np.einsum("ni,knij,nj->kn", residual, parts, residual)
    expected = np.maximum(np.einsum("nij,knji->kn", left, parts), 0.0)
    mixed = np.einsum("nab,knbc,ncd,lnda->kl", left, parts, left, parts, optimize=True)
    mixed *= (expected.sum(axis=1) / np.maximum(mixed.sum(axis=1), 1e-12))[:, None]
    pixel_now = float(noise.pixel.mean())
    now = np.array([pixel_now, noise.definition, noise.contour])
    pixel, definition, contour = _factors(mixed, found.sum(axis=1), now)
    ratio = noise.pixel / pixel_now  # of each still to the common factor
    stills, moved = len(problem.priors.lens), pixel / pixel_now
    found_k = np.bincount(seen.still, found[0] * ratio, stills)
    expected_k = np.bincount(seen.still, expected[0], stills)
    by_still = (found_k + STILL_BELIEF * moved) / (expected_k + STILL_BELIEF) / moved
    factor = np.clip(pixel * by_still[seen.still], LEAST_FACTOR, MOST_FACTOR)
    return Noise(factor, definition, contour)


def _factors(mixed: Floats, found: Floats, now: Floats) -> tuple[float, float, float]:
    """Factors that explain what was left over, with a weak belief in those stated."""
    away = np.log(now)
    system = mixed + BELIEF * np.diag(1 + np.maximum(away, 0.0))
    side = found + BELIEF * (1 - np.minimum(away, 0.0))
    least = LEAST_FACTOR / now
    change, low = np.zeros(3), np.zeros(3, bool)
    for _ in range(3):
        free = ~low
        change[low] = least[low]
        rest = side[free] - system[np.ix_(free, low)] @ change[low]
        change[free] = np.linalg.solve(system[np.ix_(free, free)], rest)
        if (change >= least).all():
            break
        low |= change < least
    change = np.maximum(change, least)
    # Half a step in the logarithm: with two nearly equal shares a whole one overshoots.
    pixel, definition, contour = np.clip(now * np.sqrt(change), LEAST_FACTOR, MOST_FACTOR)
    return float(pixel), float(definition), float(contour)
