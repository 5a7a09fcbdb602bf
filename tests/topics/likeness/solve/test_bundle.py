"""The joint solution is the least-squares one, beside general solvers, and as sure as it says."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import least_squares

from numerics.scenes import head, pixels, priors, rng_of, rotation, several
from sixwright.numerics.cameras import believed, camera_of, places_px
from sixwright.numerics.propagation import propagated
from sixwright.numerics.similarity import projection, similarity
from sixwright.topics.likeness.solve.bundle import BundleProblem, frame_of, normal_equations, solve
from sixwright.topics.likeness.solve.resection import joined
from sixwright.topics.likeness.solve.sightings import Noise, Sightings
from sixwright.topics.likeness.solve.spread import fit, spread_of


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
        solved = solve(
            BundleProblem(seen, held, Noise(np.ones(10))), camera, points, most_steps=100
        )
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


@pytest.mark.parametrize("seed", range(3))
def test_a_shared_lens_is_found_as_opencv_calibrates_it(seed):
    """cv2.calibrateCamera, opencv-python-headless 5.0: five stills of one lens, points known."""
    cv2 = pytest.importorskip("cv2")
    rng = rng_of(seed)
    points, normals = head(rng, 24)
    focal, middle, yaws = 2400.0, np.array([699.5, 499.5]), (-60, -25, 5, 30, 75)
    places, starts = [], []
    for yaw in yaws:
        turn = rotation(rng, yaw, rng.uniform(-12, 12), rng.uniform(-8, 8))
        shift = np.array([rng.normal(0, 3), rng.normal(0, 3), rng.uniform(90, 140)])
        places.append(pixels(points, turn, shift, focal, middle) + rng.normal(0, 0.5, (24, 2)))
        starts.append(camera_of(points.mean(axis=0), turn, shift, focal_px=1.15 * focal,
                                centre_px=middle))  # fmt: skip
    k, n = len(yaws), 24 * len(yaws)
    seen = Sightings(np.repeat(np.arange(k), 24), np.tile(np.arange(24), k), np.concatenate(places),
                     np.full(n, 0.5), np.zeros((n, 3, 3)), np.zeros(n, bool),
                     np.tile(normals, (k, 1)), np.full((n, 2), np.nan), 1.0)  # fmt: skip
    cameras = joined(starts)
    known = replace(priors(cameras, points), lens=np.zeros(k, np.int64), lens_mean=np.zeros(1),
                    lens_sd=np.full(1, np.inf), points_sd_mm=1e-6)  # fmt: skip
    known.sd[:, 8], known.sd[:, 9] = 1e-9, np.inf  # square pixels; nothing believed of distance
    ours = solve(BundleProblem(seen, known, Noise(np.ones(n))), cameras, points, most_steps=200)
    guess = np.array([[1.15 * focal, 0, middle[0]], [0, 1.15 * focal, middle[1]], [0, 0, 1]])
    held = (cv2.CALIB_USE_INTRINSIC_GUESS | cv2.CALIB_FIX_PRINCIPAL_POINT
            | cv2.CALIB_FIX_ASPECT_RATIO | cv2.CALIB_ZERO_TANGENT_DIST | cv2.CALIB_FIX_K1
            | cv2.CALIB_FIX_K2 | cv2.CALIB_FIX_K3)  # fmt: skip
    rms, matrix, *_ = cv2.calibrateCamera(
        [points.astype(np.float32)] * k, [place.astype(np.float32) for place in places],
        (1400, 1000), guess, np.zeros(5), flags=held)  # fmt: skip
    found = np.exp(ours.cameras.log_focal)
    assert found == pytest.approx(np.full(k, matrix[0, 0]), rel=1e-4)
    assert found[0] == pytest.approx(focal, rel=0.02)
    shown, _ = places_px(ours.cameras.only(seen.still), points[seen.point])
    assert np.sqrt(((shown - seen.place_px) ** 2).sum(axis=1).mean()) == pytest.approx(
        rms, rel=1e-3
    )
