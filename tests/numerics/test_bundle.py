"""The joint solution is the least-squares one, beside general solvers, and as sure as it says."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import least_squares

from numerics.scenes import head, pixels, priors, rng_of, rotation, several
from sixwright.numerics.bundle import Problem, frame_of, normal_equations, solve
from sixwright.numerics.cameras import believed, camera_of, places_px
from sixwright.numerics.propagation import propagated
from sixwright.numerics.sightings import Noise, Sightings
from sixwright.numerics.similarity import projection, similarity
from sixwright.numerics.spread import fit, spread_of


def test_without_noise_the_truth_is_left_as_it_is():
    cameras, points, problem = several(1, noise=0.0)
    solved = solve(problem, cameras, points)
    place, _ = places_px(solved.cameras.only(problem.sightings.still),
                         solved.points[problem.sightings.point])  # fmt: skip
    assert place == pytest.approx(problem.sightings.place_px, abs=1e-3)


def test_the_gradient_vanishes_at_the_solution():
    cameras, points, problem = several(2)
    moved = points + rng_of(9).normal(0, 0.3, points.shape)
    solved = solve(problem, cameras, moved, most_steps=200)
    normal = normal_equations(problem, solved.cameras, solved.points,
                              frame_of(problem, solved.cameras, solved.points))  # fmt: skip
    scale = np.sqrt(np.diag(normal.cameras))
    assert np.abs(normal.camera_side / scale).max() < 0.02
    assert solved.settled


def test_it_reaches_the_same_cost_as_a_general_solver():
    """scipy.optimize.least_squares (trf, differences), 1.17, from the same start."""
    cameras, points, problem = several(3, yaws=(-40, 0, 35), count=14)
    ours = solve(problem, cameras, points, most_steps=200)
    seen, beliefs = problem.sightings, problem.priors

    def residuals(x):
        step = np.zeros((3, 10))
        step[:, :] = x[:30].reshape(3, 10)
        now, at = cameras.stepped(step), x[30:].reshape(-1, 3)
        place, _ = places_px(now.only(seen.still), at[seen.point])
        off = (place - seen.place_px) / seen.sd_px[:, None]
        belief = (believed(now) - beliefs.mean) / beliefs.sd
        return np.concatenate([off.ravel(), belief.ravel(),
                               ((at - beliefs.points) / beliefs.points_sd_mm).ravel()])  # fmt: skip

    start = np.concatenate([np.zeros(30), points.ravel()])
    theirs = least_squares(residuals, start, x_scale="jac", xtol=1e-12, ftol=1e-12, gtol=1e-12)
    assert ours.cost == pytest.approx(2 * theirs.cost, rel=1e-5)


def test_the_residual_law_of_a_pose():
    """RMS of residuals = s sqrt(1 - d/N): 10 points, d = 6: 0.8367 (H&Z result 5.2; facts, C)."""
    squared = []
    for seed in range(250):
        rng = rng_of(seed)
        points, normals = head(rng, 10)
        turn = rotation(rng, 20, 5, 3)
        shift, focal = np.array([1.0, 2.0, 300.0]), 6000.0
        centre = np.array([700.0, 500.0])
        camera = camera_of(points.mean(axis=0), turn, shift, focal_px=focal, centre_px=centre)
        place = pixels(points, turn, shift, focal, centre) + rng.normal(0, 1.0, (10, 2))
        seen = Sightings(np.zeros(10, np.int64), np.arange(10), place, np.ones(10),
                         np.zeros((10, 3, 3)), np.zeros(10, bool), normals,
                         np.full((10, 2), np.nan), 1.0)  # fmt: skip
        held = replace(priors(camera, points), points_sd_mm=1e-6, lens_mean=np.log([focal]),
                       lens_sd=np.array([1e-7]))  # fmt: skip
        held.sd[:, 8], held.sd[:, 9] = 1e-8, np.inf
        solved = solve(Problem(seen, held, Noise(np.ones(10))), camera, points, most_steps=100)
        squared.append(solved.squared.sum() / 20)
    assert np.sqrt(np.mean(squared)) == pytest.approx(0.8367, abs=0.03)


def test_spreads_are_what_repeated_noise_scatters():
    """After aligning, for the gauge is free: the scatter of 120 runs against the stated spread."""
    cameras, points, problem = several(5, noise=0.0)
    seen = replace(problem.sightings, sd_px=np.ones(len(problem.sightings)))
    truth = cameras.log_focal - cameras.log_scale
    problem.priors.sd[:, 9] = 0.2  # beliefs scatter as well, else their share would be missing
    problem.priors.mean[:, 9] = truth
    stated = replace(problem, sightings=seen)
    kept = projection(points, np.ones(len(points)))
    spread = propagated(kept, spread_of(stated, solve(stated, cameras, points)).points)
    rng, found = rng_of(77), []
    for _ in range(120):
        noisy = seen.moved(seen.place_px + rng.normal(0, 1.0, seen.place_px.shape))
        mean = stated.priors.mean.copy()
        mean[:, 9] = truth + rng.normal(0, 0.2, len(truth))
        drawn = replace(stated, sightings=noisy, priors=replace(stated.priors, mean=mean))
        solved = solve(drawn, cameras, points, most_steps=8)
        found.append(similarity(solved.points, points, np.ones(len(points))).of(solved.points))
    scatter = np.array(found).reshape(120, -1).var(axis=0, ddof=1)
    ratio = scatter / np.diag(spread)
    assert ratio.mean() == pytest.approx(1.0, abs=0.12)
    assert 0.5 < ratio.min() < ratio.max() < 1.8


def test_leverages_sum_to_the_unknowns_that_sightings_decide():
    cameras, points, problem = several(6)
    solved = solve(problem, cameras, points)
    used = np.trace(spread_of(problem, solved).leverage, axis1=1, axis2=2).sum()
    decided = 5 * 7 + 3 * 24 - 7  # cameras without centre and squeeze, points, less the gauge
    assert used == pytest.approx(decided, abs=1.5)


@pytest.mark.parametrize("factor", [0.5, 1.0, 2.0])
def test_noise_is_found_whatever_was_stated(factor):
    cameras, points, problem = several(7, noise=1.0, yaws=(-70, -40, -15, 10, 35, 60, 80))
    seen = replace(problem.sightings, sd_px=problem.sightings.sd_px / factor)
    problem = replace(problem, sightings=seen)
    found = fit(problem, solve(problem, cameras, points))
    assert np.sqrt(found.problem.noise.pixel.mean()) == pytest.approx(factor, rel=0.12)


def test_stills_of_one_camera_share_a_focal_length():
    cameras, points, problem = several(8, yaws=(-40, 0, 35))
    one = replace(problem.priors, lens=np.zeros(3, np.int64), lens_mean=np.zeros(1),
                  lens_sd=np.full(1, np.inf))  # fmt: skip
    solved = solve(replace(problem, priors=one), cameras, points)
    assert np.ptp(solved.cameras.log_focal) < 1e-9
