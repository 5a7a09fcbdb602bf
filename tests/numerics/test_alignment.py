"""Similarities, regions and families against printed examples, brute force and laws."""

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.stats import chi2

from numerics.scenes import rng_of, rotation
from sixwright.numerics.multiple_tests import chance_beyond, max_statistic, region_squared
from sixwright.numerics.propagation import deviations, propagated
from sixwright.numerics.regions import least_squared_distance, reach
from sixwright.numerics.rotations import facing, rotation_of
from sixwright.numerics.similarity import projection, similarity, tangent

PRINTED_TO = 0.00006


def test_umeyamas_example():
    """Umeyama 1991, section IV (from memory, re-computed): without the correction a mirror."""
    x = np.array([[0.0, 0], [1, 0], [0, 2]])
    y = np.array([[0.0, 0], [-1, 0], [0, 2]])
    found = similarity(x, y, np.ones(3))
    assert found.rotation == pytest.approx(np.array([[0.8321, 0.5547], [-0.5547, 0.8321]]),
                                           abs=PRINTED_TO)  # fmt: skip
    assert found.scale == pytest.approx(0.72111, abs=PRINTED_TO)
    assert found.shift == pytest.approx([-0.8, 0.4], abs=PRINTED_TO)
    off = found.scale * x @ found.rotation.T + found.shift - y
    assert (off**2).sum(axis=1).mean() == pytest.approx(0.53333, abs=PRINTED_TO)


def test_a_similarity_is_found_again():
    rng = rng_of(1)
    x = rng.normal(0, 5, (9, 3))
    turn = rotation(rng, 30, 10, -20) @ np.diag([1.0, -1.0, -1.0])
    y = 1.7 * x @ turn.T + [1, 2, 3]
    found = similarity(x, y, rng.uniform(0.1, 2, 9))
    assert (found.scale, *found.shift) == pytest.approx((1.7, 1, 2, 3))
    assert found.rotation == pytest.approx(turn)
    assert found.of(x) == pytest.approx(y)


def test_a_landmark_without_weight_does_not_pull():
    x = rng_of(2).normal(0, 5, (6, 3))
    y = x.copy()
    y[5] += 4
    found = similarity(x, y, np.array([1.0, 1, 1, 1, 1, 0]))
    assert found.of(x)[:5] == pytest.approx(x[:5])


def test_no_weight_at_all_is_refused():
    with pytest.raises(ZeroDivisionError, match="weights"):
        similarity(np.eye(3), np.eye(3), np.zeros(3))


def test_aligning_takes_away_every_similarity_and_nothing_twice():
    rng = rng_of(3)
    points, weights = rng.normal(0, 8, (7, 3)), rng.uniform(0.2, 1, 7)
    kept = projection(points, weights)
    assert kept @ tangent(points) == pytest.approx(np.zeros((21, 7)), abs=1e-9)
    assert kept @ kept == pytest.approx(kept, abs=1e-9)
    assert np.trace(kept) == pytest.approx(21 - 7)


def test_the_projection_is_the_derivative_of_aligning():
    rng = rng_of(4)
    sculpt, weights = rng.normal(0, 8, (7, 3)), rng.uniform(0.2, 1, 7)
    moves = rng.normal(0, 1, sculpt.shape)

    def aligned(step):
        person = sculpt + step * moves
        return similarity(person, sculpt, weights).of(person) - sculpt

    h = 1e-5
    slope = (aligned(h) - aligned(-h)).ravel() / 2 / h
    assert projection(sculpt, weights) @ moves.ravel() == pytest.approx(slope, abs=1e-6)


def test_rotations_are_proper_and_small_ones_are_smooth():
    vectors = np.array([[0.3, -0.2, 1.0], [1e-5, 2e-5, 0], [0, 0, 0], [np.pi, 0, 0]])
    found = rotation_of(vectors)
    assert np.linalg.det(found) == pytest.approx(np.ones(4))
    assert found @ found.transpose(0, 2, 1) == pytest.approx(np.tile(np.eye(3), (4, 1, 1)))
    assert found[1] == pytest.approx(rotation_of(np.array([1.01e-4, 2.02e-4, 0]))
                                     * 0.1 + 0.9 * np.eye(3), abs=3e-6)  # fmt: skip


def test_a_camera_in_front_sees_the_figures_left_on_its_right():
    front = facing(np.array(0.0), np.array(0.0))
    assert front @ [1, 0, 0] == pytest.approx([1, 0, 0])
    assert front @ [0, 1, 0] == pytest.approx([0, -1, 0])
    left = facing(np.array(np.pi / 2), np.array(0.0))
    assert left @ [1, 0, 0] == pytest.approx([0, 0, -1])  # the left ear is near it


@pytest.mark.parametrize("seed", range(5))
def test_regions_reach_as_far_as_their_surface_does(seed):
    rng = rng_of(seed)
    offset, root = rng.normal(0, 0.3, 3), rng.normal(0, 0.1, (3, 3))
    covariance = root @ root.T + 1e-4 * np.eye(3)
    units = rng.normal(0, 1, (200_000, 3))
    units /= np.linalg.norm(units, axis=1, keepdims=True)
    surface = offset + np.sqrt(7.8) * units @ np.linalg.cholesky(covariance).T
    lengths = np.linalg.norm(surface, axis=1)
    low, high = reach(offset, covariance, 7.8)
    assert high == pytest.approx(lengths.max(), rel=2e-3)
    inside = offset @ np.linalg.solve(covariance, offset) < 7.8
    assert low == pytest.approx(0 if inside else lengths.min(), abs=2e-3)


def test_a_region_about_the_origin_reaches_its_longest_axis():
    assert reach(np.zeros(3), np.diag([0.04, 0.01, 0.09]), 4.0) == pytest.approx((0.0, 0.6))


def test_no_region_is_a_point():
    assert reach(np.array([3.0, 4.0, 0.0]), np.eye(3), 0.0) == pytest.approx((5.0, 5.0))


@pytest.mark.parametrize("seed", range(4))
def test_distances_to_a_ball_are_those_a_general_minimiser_finds(seed):
    rng = rng_of(seed)
    offset, root = rng.normal(0, 0.6, 3), rng.normal(0, 0.2, (3, 3))
    covariance, radius = root @ root.T + 1e-3 * np.eye(3), 0.25
    inverse = np.linalg.inv(covariance)
    found = minimize(lambda x: (x - offset) @ inverse @ (x - offset), offset * 0.1,
                     constraints={"type": "ineq", "fun": lambda x: radius**2 - x @ x})  # fmt: skip
    ours = least_squared_distance(offset, covariance, radius)
    assert ours == pytest.approx(max(found.fun, 0), rel=1e-3, abs=1e-4)


def test_inside_the_ball_the_distance_is_nothing():
    assert least_squared_distance(np.array([0.1, 0, 0]), np.eye(3), 0.25) == 0


def test_a_region_with_endless_freedom_is_the_chi_square_one():
    assert region_squared(3, 1e9) == pytest.approx(chi2.ppf(0.95, 3), rel=1e-5)
    assert float(chance_beyond(np.array([7.814728]), 3, 1e9)[0]) == pytest.approx(0.05, abs=1e-6)


def parts_of(count):
    return [np.eye(3 * count)[:, 3 * i : 3 * i + 3] for i in range(count)]


def test_independent_landmarks_are_adjusted_as_sidak_says():
    family = max_statistic(np.eye(30), parts_of(10), freedom=1e6, seed=1)
    assert family.single() == pytest.approx(1 - 0.95**0.1, rel=0.15)
    assert family.adjusted(0.01) == pytest.approx(1 - 0.99**10, abs=0.01)


def test_landmarks_that_move_as_one_need_no_adjustment():
    together = np.kron(np.ones((5, 5)), np.eye(3)) + 1e-9 * np.eye(15)
    assert max_statistic(together, parts_of(5), freedom=1e6, seed=1).single() == pytest.approx(
        0.05, abs=0.006
    )


@pytest.mark.parametrize("freedom", [4.0, 30.0])
def test_a_family_of_one_needs_no_adjustment_whatever_the_freedom(freedom):
    family = max_statistic(np.eye(3), parts_of(1), freedom=freedom, seed=2)
    assert family.single() == pytest.approx(0.05, abs=0.006)
    assert family.adjusted(0.2) == pytest.approx(0.2, abs=0.012)


def test_a_family_is_the_same_for_the_same_seed():
    one, other = (max_statistic(np.eye(6), parts_of(2), freedom=9.0, seed=4) for _ in range(2))
    assert (one.least == other.least).all()


def test_the_impedance_example_of_the_guide():
    """GUM (JCGM 100:2008) H.2, tables H.2 and H.4 (from memory, re-computed)."""
    volts = np.array([5.007, 4.994, 5.005, 4.990, 4.999])
    amps = np.array([19.663, 19.639, 19.640, 19.685, 19.678]) / 1000
    phase = np.array([1.0456, 1.0438, 1.0468, 1.0428, 1.0433])
    means = np.array([volts.mean(), amps.mean(), phase.mean()])
    covariance = np.cov(np.array([volts, amps, phase])) / 5
    v, i, p = means
    r, x, z = v * np.cos(p) / i, v * np.sin(p) / i, v / i
    jacobian = np.array([[r / v, -r / i, -x], [x / v, -x / i, r], [z / v, -z / i, 0]])
    assert (r, x, z) == pytest.approx((127.732, 219.847, 254.260), abs=0.0006)
    spread = propagated(jacobian, covariance)
    u = deviations(spread)
    assert u == pytest.approx([0.071, 0.295, 0.236], abs=0.0006)
    correlations = spread / np.outer(u, u)
    assert (correlations[0, 1], correlations[0, 2], correlations[1, 2]) == pytest.approx(
        (-0.588, -0.485, 0.993), abs=0.0006
    )
