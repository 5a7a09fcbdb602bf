"""The spread of one reading from pairs: against an analysis of variance, and simulated truth."""

import numpy as np
import pytest
from scipy.stats import chi2

from sixwright.numerics.repeats import repeat_spread


def test_it_is_the_within_group_spread_of_an_analysis_of_variance():
    """The residual mean square of statsmodels' one-way analysis, each pair a group."""
    import statsmodels.api as sm

    rng = np.random.Generator(np.random.Philox(3))
    readings = rng.normal(0, 2.0, (30, 2)) + rng.normal(0, 50, (30, 1))
    groups = np.repeat(np.eye(30), 2, axis=0)
    residual = sm.OLS(readings.ravel(), groups).fit().mse_resid
    found = repeat_spread(readings[:, 1:] - readings[:, :1], believed=5.0, weight=0.0)
    assert found.found.value == pytest.approx(np.sqrt(residual), rel=1e-12)
    assert found.used == pytest.approx(np.sqrt(residual), rel=1e-12)


def test_its_interval_holds_the_truth_as_often_as_it_says():
    rng = np.random.Generator(np.random.Philox(4))
    inside = 0
    for _ in range(1000):
        gaps = rng.normal(0, 1.7 * np.sqrt(2), (9, 2))
        found = repeat_spread(gaps, believed=1.5, weight=8.0).found
        inside += found.low <= 1.7 <= found.high
    assert 0.93 <= inside / 1000 <= 0.97


def test_a_few_pairs_move_the_belief_little_and_many_wholly():
    gaps = np.full((2, 2), 3.0 * np.sqrt(2))
    few = repeat_spread(gaps, believed=1.0, weight=8.0).used
    many = repeat_spread(np.repeat(gaps, 200, axis=0), believed=1.0, weight=8.0).used
    assert few == pytest.approx(np.sqrt((8 * 1 + 4 * 9) / 12))
    assert many == pytest.approx(3.0, abs=0.03)
    none = repeat_spread(np.zeros((0, 2)), believed=4.0, weight=8.0)
    assert (none.pairs, none.found, none.used) == (0, None, 4.0)


def test_the_interval_is_that_of_chi_squared_tables():
    """NIST/SEMATECH e-Handbook, 1.3.6.7.4: upper 0.025 of 10 degrees 20.483, lower 3.247."""
    assert chi2.ppf([0.975, 0.025], 10) == pytest.approx([20.483, 3.247], abs=0.0005)
    gaps = np.ones((5, 2)) * np.sqrt(2)
    found = repeat_spread(gaps, believed=1.0, weight=0.0).found
    assert found.low == pytest.approx(np.sqrt(10 / 20.483), abs=2e-5)
    assert found.high == pytest.approx(np.sqrt(10 / 3.247), abs=2e-4)
