"""False discoveries and one-sided chances: a published example, a general library, simulation."""

import numpy as np
import pytest
from scipy.stats import false_discovery_control, ncx2

from sixwright.numerics.lengths import chance_longer, length_at, lengths, normals
from sixwright.numerics.multiple_tests import chance_of_distance, false_discoveries
from sixwright.numerics.regions import least_squared_distance, nearest_in_ball

# Benjamini & Hochberg 1995, section 3.2 (from memory): fifteen comparisons of two treatments.
PRINTED = (0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240,
           0.4262, 0.5719, 0.6528, 0.7590, 1.0000)  # fmt: skip
FREEDOM = 80


def test_benjamini_and_hochbergs_worked_example_calls_four():
    """As printed: at 5 % the four least are called, where Bonferroni's rule calls three."""
    adjusted = false_discoveries(np.array(PRINTED))
    assert (adjusted <= 0.05).sum() == 4
    assert (np.array(PRINTED) <= 0.05 / 15).sum() == 3


@pytest.mark.parametrize("seed", range(5))
def test_adjusted_chances_are_those_of_a_general_library(seed):
    rng = np.random.Generator(np.random.Philox(seed))
    chances = rng.uniform(size=25) ** 3
    expected = false_discovery_control(chances, method="bh")
    assert false_discoveries(chances) == pytest.approx(expected, rel=1e-12)


def joint(rng, landmarks=25, common=0.6):
    """A covariance of corrections whose landmarks move together, as after an alignment."""
    size = 3 * landmarks
    shared = rng.normal(0, 1, (size, 5)) * common / np.sqrt(5)
    own = rng.uniform(0.05, 0.12, size)
    return own[:, None] * (shared @ shared.T + np.diag(np.full(size, 1 - common**2))) * own


def test_false_calls_stay_within_five_in_a_hundred_under_a_joint_covariance():
    """A third truly wrong, the rest as wrong as is allowed: the hardest place for a test.

    Without the control one call in five is false.
    """
    rng = np.random.Generator(np.random.Philox(3))
    false, plain = [], []
    for _ in range(60):
        covariance = joint(rng)
        noise = rng.multivariate_normal(np.zeros(75), covariance).reshape(25, 3)
        noise /= np.sqrt(rng.chisquare(FREEDOM) / FREEDOM)
        way = rng.normal(0, 1, (25, 3))
        way /= np.linalg.norm(way, axis=1, keepdims=True)
        size = np.where(np.arange(25) % 3 == 0, 0.5, 0.25)
        seen = way * size[:, None] + noise
        alone = np.array([
            chance_of_distance(
                seen[i], covariance[3 * i : 3 * i + 3, 3 * i : 3 * i + 3], 0.25, FREEDOM
            )
            for i in range(25)
        ])  # fmt: skip
        right = size < 0.3
        for chances, into in ((false_discoveries(alone), false), (alone, plain)):
            called = chances <= 0.05
            into.append((called & right).sum() / max(called.sum(), 1))
    assert np.mean(false) <= 0.05
    assert np.mean(plain) > np.mean(false)


def test_a_one_sided_chance_is_exact_in_one_direction():
    """There it is Student's t; 1.664 at 80 degrees is 5 % (any table of t)."""
    spread = np.array([[0.1**2]])
    off = np.array([0.25 + 0.16641])
    assert chance_of_distance(off, spread, 0.25, 80) == pytest.approx(0.05, abs=1e-4)
    assert chance_of_distance(np.array([0.2]), spread, 0.25, 80) == 1


@pytest.mark.parametrize("spread", [0.04, 0.08, 0.12])
def test_in_three_directions_it_is_that_of_the_noncentral_chi_square(spread):
    """Of one spread all round, the distance from the ball is a length less the radius."""
    for distance in (1.5, 2.0, 2.5):
        off = np.array([0.0, 0.25 + distance * spread, 0.0])
        truth = ncx2.sf(((0.25 + distance * spread) / spread) ** 2, 3, (0.25 / spread) ** 2)
        found = chance_of_distance(off, spread**2 * np.eye(3), 0.25, 1e6)
        assert found == pytest.approx(truth, rel=0.1)


def test_where_the_spread_is_long_it_is_what_simulation_says():
    """Half the sum of curvatures in the ellipsoid's own axes, against plain draws."""
    rng = np.random.Generator(np.random.Philox(4))
    covariance = np.diag([0.04, 0.11, 0.07]) ** 2
    off = np.array([0.2, 0.35, 0.1])
    seen = least_squared_distance(off, covariance, 0.25)
    at = nearest_in_ball(off, covariance, 0.25)
    drawn = at + rng.normal(0, 1, (1200, 3)) * np.sqrt(np.diag(covariance))
    beyond = [least_squared_distance(x, covariance, 0.25) >= seen for x in drawn]
    found = chance_of_distance(off, covariance, 0.25, 1e6)
    assert found == pytest.approx(np.mean(beyond), abs=0.02)


@pytest.mark.parametrize(("off", "spread"), [(0.0, 0.1), (0.2, 0.1), (0.4, 0.08), (0.1, 0.3)])
def test_the_chance_of_a_length_is_that_of_the_noncentral_chi_square(off, spread):
    drawn = normals(7, "test", 4000)
    mean = np.array([[0.6 * off, 0.0, 0.8 * off]])
    long = lengths(mean, spread**2 * np.eye(3)[None], drawn)
    apart = (off / spread) ** 2
    expected = ncx2.sf((0.25 / spread) ** 2, 3, apart)
    assert chance_longer(long, np.ones(1), 0.25) == pytest.approx(expected, abs=0.015)
    at = spread * np.sqrt(ncx2.ppf(0.95, 3, apart))
    assert length_at(long, np.ones(1), 0.95) == pytest.approx(at, rel=0.03)


def test_draws_are_the_same_each_time_and_lie_evenly():
    drawn = normals(7, "likeness", 1000)
    assert (drawn == normals(7, "likeness", 1000)).all()
    assert not (drawn == normals(8, "likeness", 1000)).any()
    assert drawn.mean(axis=0) == pytest.approx(np.zeros(3), abs=1e-12)
    assert np.cov(drawn.T) == pytest.approx(np.eye(3), abs=0.1)
