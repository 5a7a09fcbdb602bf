"""Durations by three points and by what was seen, against scipy.stats and the textbook."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from sixwright.kernel.errors import InputError
from sixwright.numerics.draws import uniforms
from sixwright.numerics.durations import (
    Fixed,
    Gamma,
    ThreePoints,
    stated_and_seen,
    three_points,
    what_is_left,
)

SHARES = np.linspace(0.001, 0.999, 999)
TAILS = np.array([1e-12, 1e-9, 1e-6, 1 - 1e-6, 1 - 1e-9])
POINTS = [(2, 4, 9), (5, 8, 14), (1, 1, 4), (2, 7, 7), (0, 0.5, 90), (35, 45, 70)]
READ_OFF = 1e-6  # of the range: what reading a quantile off a table may cost, and in the tails:
STEP = 1 / 4096


def scipy_beta(low, likely, high):
    width = high - low
    shapes = 1 + 4 * (likely - low) / width, 1 + 4 * (high - likely) / width
    return stats.beta(*shapes, loc=low, scale=width)


def test_the_mean_of_the_textbook_and_the_variance_of_the_beta_distribution():
    # Facts page, section 10: PERT (2, 4, 9) has the mean 4.500. The textbook's variance 1.3611 is
    # ((9 - 2)/6)²; that of the beta distribution with this mean is (4.5 - 2)(9 - 4.5)/7.
    points = ThreePoints(2, 4, 9)
    assert points.mean == 4.5
    assert points.variance == pytest.approx(2.5 * 4.5 / 7, rel=1e-12)
    assert pytest.approx(1.3611, abs=0.00005) == ((9 - 2) / 6) ** 2


@pytest.mark.parametrize("points", POINTS, ids=str)
def test_mean_variance_and_mode_are_those_of_scipys_beta(points):
    ours, scipys = ThreePoints(*points), scipy_beta(*points)
    assert ours.mean == pytest.approx(scipys.mean(), rel=1e-12)
    assert ours.variance == pytest.approx(scipys.var(), rel=1e-12)
    days = np.linspace(points[0], points[2], 20_001)
    assert days[np.argmax(scipys.pdf(days))] == pytest.approx(points[1], abs=points[2] / 1000)


@pytest.mark.parametrize("points", POINTS, ids=str)
def test_quantiles_and_shares_are_those_of_scipys_beta(points):
    ours, scipys = ThreePoints(*points), scipy_beta(*points)
    found = ours.quantile(SHARES)
    width = points[2] - points[0]
    assert np.abs(found - scipys.ppf(SHARES)).max() < READ_OFF * width
    assert np.abs(ours.quantile(TAILS) - scipys.ppf(TAILS)).max() < STEP * width
    for day in np.linspace(points[0] - 1, points[2] + 1, 13):
        assert ours.share_within(day) == pytest.approx(scipys.cdf(day), abs=1e-12)


def test_a_gamma_of_mean_and_variance_is_scipys():
    ours, scipys = Gamma(9.0, 12.5), stats.gamma(81 / 12.5, scale=12.5 / 9)
    assert np.allclose(ours.quantile(SHARES), scipys.ppf(SHARES), rtol=1e-9)
    assert ours.share_within(11.0) == pytest.approx(scipys.cdf(11.0), abs=1e-12)
    assert (scipys.mean(), scipys.var()) == pytest.approx((9.0, 12.5))


def test_three_points_that_are_one_are_fixed():
    assert three_points(28, 28, 28) == Fixed(28)
    assert Fixed(28).variance == 0
    assert set(Fixed(28).quantile(SHARES)) == {28.0}


@pytest.mark.parametrize(
    "points", [(5, 4, 9), (5, 10, 9), (-1, 2, 3), (5, 5, float("nan"))], ids=str
)
def test_points_that_do_not_rise_are_refused(points):
    with pytest.raises(InputError, match="points must rise"):
        three_points(*points)


@given(st.floats(0, 50), st.floats(0, 30), st.floats(0.1, 60), st.floats(0, 10), st.floats(0, 1))
def test_all_three_points_later_give_each_draw_as_much_later(low, more, most, later, share):
    shares = np.array([share])
    one = ThreePoints(low, low + more, low + more + most)
    other = ThreePoints(low + later, low + later + more, low + later + more + most)
    assert other.quantile(shares)[0] == pytest.approx(one.quantile(shares)[0] + later, abs=1e-6)


def test_a_higher_high_point_alone_makes_short_draws_shorter():
    # The beta distribution spreads both ways about its mode, so that "longer" is no plain order.
    share = np.array([0.25])
    assert scipy_beta(0, 2, 4).ppf(0.25) < scipy_beta(0, 2, 3).ppf(0.25)
    assert ThreePoints(0, 2, 4).quantile(share)[0] < ThreePoints(0, 2, 3).quantile(share)[0]


def test_what_was_seen_and_what_was_stated_count_together():
    # By hand: seen 8, 10, 15 has mean 11 and variance 13; stated mean 8.5 and variance
    # (8.5 - 5)(14 - 8.5)/7 = 2.75. Mean (3·11 + 2·8.5)/5 = 10; variance (3·13 + 2·2.75)/5 = 8.9.
    together = stated_and_seen(ThreePoints(5, 8, 14), [8, 10, 15], 2)
    assert isinstance(together, Gamma)
    assert together.mean == pytest.approx(10.0, rel=1e-12)
    assert together.variance == pytest.approx(8.9, rel=1e-12)


def test_equal_gaps_and_a_fixed_statement_stay_fixed():
    assert stated_and_seen(Fixed(7), [7, 7, 7], 2) == Fixed(7)


def test_one_gap_is_too_few():
    with pytest.raises(InputError, match="two durations or more; received 1"):
        stated_and_seen(Fixed(7), [7], 2)


@pytest.mark.parametrize("elapsed", [0.0, 3.0, 6.5, 12.0])
def test_what_is_left_is_the_duration_given_that_it_is_longer(elapsed):
    # The same by throwing draws away that are not longer, with scipy's own distribution.
    shares, other = uniforms(3, "left", 0, 20_000)
    left = what_is_left(ThreePoints(5, 8, 14), elapsed, shares, least=1)
    drawn = scipy_beta(5, 8, 14).ppf(other)
    kept = drawn[drawn > elapsed] - elapsed
    assert stats.ks_2samp(left, kept).pvalue > 0.001
    assert left.min() >= 0


def test_beyond_its_high_point_the_least_is_left():
    shares = np.linspace(0.01, 0.99, 9)
    assert set(what_is_left(ThreePoints(5, 8, 14), 14.0, shares, least=1)) == {1.0}
    assert set(what_is_left(Fixed(28), 30, shares, least=1)) == {1.0}
    assert set(what_is_left(Fixed(28), 20, shares, least=1)) == {8.0}


def test_more_elapsed_leaves_no_more_of_a_gamma_than_its_tail():
    shares = np.linspace(0.01, 0.99, 9)
    left = what_is_left(Gamma(9.0, 12.5), 20.0, shares, least=1)
    tail = stats.gamma(81 / 12.5, scale=12.5 / 9)
    expected = tail.isf((1 - shares) * tail.sf(20.0)) - 20
    assert np.allclose(left, expected, rtol=1e-5)


def test_elapsed_below_none_is_refused():
    with pytest.raises(InputError, match="elapsed must be 0 or more"):
        what_is_left(Fixed(3), -1, SHARES, least=1)
