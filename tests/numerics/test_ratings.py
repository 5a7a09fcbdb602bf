"""Ratings: Student's interval and van der Eijk's agreement, against what others computed."""

from fractions import Fraction
from itertools import combinations, pairwise, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.kernel.errors import InputError
from sixwright.numerics.ratings import agreement, agreement_interval, student_interval

PRINTED_TO = 0.00005


@pytest.mark.parametrize(
    ("counts", "a"),
    [
        # van der Eijk, Quality & Quantity 35 (2001) 325-341: the paper's worked example.
        pytest.param([30, 40, 210, 130, 530, 50, 10], 0.6113, id="the paper's example"),
        # Recomputed by hand from the paper's definition (facts.md, section 9).
        pytest.param([10, 20, 30, 15, 4], 0.3924, id="a peak in the middle"),
        pytest.param([5, 10, 20, 40, 25], 0.4250, id="a peak at four"),
        pytest.param([40, 10, 0, 10, 40], -0.6556, id="two camps"),
    ],
)
def test_agreement_is_the_published_one(counts, a):
    assert agreement(counts) == pytest.approx(a, abs=PRINTED_TO)


def by_definition(counts):
    """The paper's own way: every layer's triples of levels, listed one by one."""
    return float(exact(counts))


def exact(counts):
    levels, total, left, found = len(counts), sum(counts), list(counts), Fraction(0)
    while max(left) > 0:
        pattern = [int(c > 0) for c in left]
        size = min(c for c in left if c > 0)
        ones = sum(pattern)
        triples = [tuple(pattern[i] for i in where) for where in combinations(range(levels), 3)]
        whole = sum(t in {(1, 1, 0), (0, 1, 1)} for t in triples)
        broken = triples.count((1, 0, 1))
        peak = 1.0
        if ones == levels:
            peak = 0.0
        elif whole + broken:
            peak = (levels - 2) * whole - (levels - 1) * broken
            peak /= (levels - 2) * (whole + broken)
        found += size * ones / total * peak * (1 - (ones - 1) / (levels - 1))
        left = [c - size if c else 0 for c in left]
    return found


def test_a_word_does_not_hang_on_a_rounding():
    """Below zero is divided: where layers cancel out exactly, A is 0 and not a hair below."""
    zero = [c for c in product(range(6), repeat=4) if any(c) and exact(c) == 0]
    assert len(zero) > 10
    assert {agreement(c) for c in zero} == {0.0}


ratings = st.lists(st.integers(0, 60), min_size=2, max_size=9).filter(any)


@given(ratings)
def test_counting_triples_is_the_same_as_listing_them(counts):
    assert agreement(counts) == pytest.approx(by_definition(counts), abs=1e-12)


@given(ratings, st.integers(2, 50))
def test_neither_turning_the_scale_round_nor_more_of_the_same_changes_it(counts, times):
    a = agreement(counts)
    assert agreement(counts[::-1]) == pytest.approx(a, abs=1e-12)
    assert agreement([times * count for count in counts]) == pytest.approx(a, abs=1e-12)
    assert -1 - 1e-12 <= a <= 1 + 1e-12


@pytest.mark.parametrize("levels", range(2, 8))
def test_the_ends_of_the_scale_of_agreement(levels):
    one = [0] * levels
    one[levels // 2] = 7
    assert agreement(one) == 1
    assert agreement([5] * levels) == 0
    if levels > 2:
        assert agreement([5, *([0] * (levels - 2)), 5]) == pytest.approx(-1)


def test_loved_and_hated_is_not_mildly_liked_though_the_means_are_near():
    """The demo's two heads, levels 1 to 5 (shared/demo): the mean does not tell them apart."""
    loved_and_hated, mildly_liked = [56, 22, 9, 31, 96], [7, 17, 61, 88, 41]
    assert agreement(loved_and_hated) < 0
    assert agreement(mildly_liked) > 0.4
    one = student_interval(loved_and_hated, range(1, 6))
    other = student_interval(mildly_liked, range(1, 6))
    assert one.high > other.low


def test_students_interval_is_that_of_a_general_purpose_library():
    """A public data set: statsmodels' `fair`, 6,366 women who rate their marriage from 1 to 5."""
    from statsmodels.datasets import fair
    from statsmodels.stats.weightstats import DescrStatsW

    rated = fair.load_pandas().data["rate_marriage"].astype(int)
    counts = [int((rated == level).sum()) for level in range(1, 6)]
    assert sum(counts) == 6366
    found = student_interval(counts, range(1, 6))
    theirs = DescrStatsW(rated)
    assert found.value == pytest.approx(theirs.mean, abs=1e-12)
    assert (found.low, found.high) == pytest.approx(theirs.tconfint_mean(), abs=1e-10)


@pytest.mark.parametrize("shift", [-3, 0, 11])
def test_shifting_the_scale_shifts_the_mean(shift):
    still, moved = (student_interval([3, 1, 4], levels) for levels in
                    ((1, 2, 3), (1 + shift, 2 + shift, 3 + shift)))  # fmt: skip
    assert moved.low - still.low == pytest.approx(shift)
    assert moved.high - still.high == pytest.approx(shift)


def test_more_raters_of_the_same_kind_narrow_it():
    widths = [
        found.high - found.low
        for times in (1, 2, 5, 50)
        if (found := student_interval([3 * times, times, 4 * times], (1, 2, 3)))
    ]
    assert all(wide > narrow for wide, narrow in pairwise(widths))


def test_nobody_has_no_mean_and_one_alone_no_interval():
    assert student_interval([0, 0, 0], (1, 2, 3)) is None
    assert student_interval([0, 1, 0], (1, 2, 3)) is None
    assert agreement([0, 0, 0]) is None


@pytest.mark.parametrize("counts", [[3], [1, -1, 2]])
def test_what_are_no_counts_is_refused(counts):
    with pytest.raises(InputError, match="counts must"):
        agreement(counts)


def test_counts_need_a_level_each():
    with pytest.raises(InputError, match="one a level"):
        student_interval([1, 2], (1, 2, 3))


def test_the_spread_of_agreement_holds_the_truth_about_as_often_as_it_says():
    """100 polls of 214 voters of known habits, the demo's loved and hated head."""
    counts = [56, 22, 9, 31, 96]
    truth = agreement(counts)
    rng = np.random.Generator(np.random.Philox(2))
    held = [
        found.low <= truth <= found.high
        for poll in range(100)
        if (found := agreement_interval(
            rng.multinomial(214, np.array(counts) / 214).tolist(), seed=poll, draws=200))
    ]  # fmt: skip
    assert len(held) == 100
    assert 0.86 <= np.mean(held) <= 0.99


def test_more_raters_of_the_same_kind_narrow_the_spread_and_none_has_none():
    few, many = (agreement_interval([n * 5, n, n * 4], seed=1, draws=200) for n in (2, 200))
    assert many.high - many.low < (few.high - few.low) / 5
    assert agreement_interval([0, 0], seed=1) is None
    with pytest.raises(InputError, match="draws must be 100"):
        agreement_interval([1, 2], seed=1, draws=10)
