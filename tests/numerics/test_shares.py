"""Shares and their intervals, against published cases and by simulation."""

import numpy as np
import pytest
from scipy.stats import binom

from sixwright.kernel.errors import InputError
from sixwright.numerics.shares import newcombe_difference, sequence_interval, wilson_interval

PRINTED_TO = 0.00005


# Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, method 3: the first four. From memory
# (M) and recomputed; 8 of 10 recomputed only.
@pytest.mark.parametrize(
    ("hits", "of", "low", "high"),
    [
        pytest.param(81, 263, 0.2553, 0.3662, id="81 of 263"),
        pytest.param(15, 148, 0.0624, 0.1605, id="15 of 148"),
        pytest.param(0, 20, 0.0, 0.1611, id="none of 20"),
        pytest.param(1, 29, 0.0061, 0.1718, id="1 of 29"),
        pytest.param(8, 10, 0.4902, 0.9433, id="8 of 10"),
    ],
)
def test_wilsons_interval_is_the_published_one(hits, of, low, high):
    found = wilson_interval(hits, of)
    assert float(found.value) == pytest.approx(hits / of)
    assert (found.low, found.high) == pytest.approx((low, high), abs=PRINTED_TO)


# Newcombe, Statistics in Medicine 17 (1998) 873-890, table II, method 10: quoted from memory (M);
# statsmodels' confint_proportions_2indep(method="newcomb") gave the same digits in the test below.
DIFFERENCES = [
    pytest.param(56, 70, 48, 80, 0.0524, 0.3339, id="56/70 - 48/80"),
    pytest.param(9, 10, 3, 10, 0.1705, 0.8090, id="9/10 - 3/10"),
    pytest.param(6, 7, 2, 7, 0.0582, 0.8062, id="6/7 - 2/7"),
    pytest.param(5, 56, 0, 29, -0.0381, 0.1926, id="5/56 - 0/29"),
    pytest.param(0, 10, 0, 20, -0.1611, 0.2775, id="0/10 - 0/20"),
    pytest.param(0, 10, 0, 10, -0.2775, 0.2775, id="0/10 - 0/10"),
    pytest.param(10, 10, 0, 20, 0.6791, 1.0, id="10/10 - 0/20"),
    pytest.param(10, 10, 0, 10, 0.6075, 1.0, id="10/10 - 0/10"),
]


@pytest.mark.parametrize(("hits", "of", "others", "of_others", "low", "high"), DIFFERENCES)
def test_the_difference_is_newcombes_published_one(hits, of, others, of_others, low, high):
    found = newcombe_difference(wilson_interval(hits, of), wilson_interval(others, of_others))
    assert (found.low, found.high) == pytest.approx((low, high), abs=PRINTED_TO)


@pytest.mark.parametrize(("hits", "of", "others", "of_others", "low", "high"), DIFFERENCES)
def test_a_general_purpose_library_says_the_same(hits, of, others, of_others, low, high):
    from statsmodels.stats.proportion import confint_proportions_2indep, proportion_confint

    mine = wilson_interval(hits, of)
    theirs = proportion_confint(hits, of, method="wilson")
    assert (mine.low, mine.high) == pytest.approx(theirs, abs=1e-12)
    found = newcombe_difference(mine, wilson_interval(others, of_others))
    theirs = confint_proportions_2indep(hits, of, others, of_others, method="newcomb")
    assert (found.low, found.high) == pytest.approx(theirs, abs=1e-12)


@pytest.mark.parametrize("make", [wilson_interval, sequence_interval])
def test_counting_the_noes_mirrors_the_interval(make):
    yes, no = make(31, 214), make(214 - 31, 214)
    assert (yes.low, yes.high) == pytest.approx((1 - no.high, 1 - no.low), abs=1e-12)


def test_swapping_the_shares_turns_the_difference_round():
    one, other = wilson_interval(56, 70), wilson_interval(48, 80)
    there, back = newcombe_difference(one, other), newcombe_difference(other, one)
    assert (there.low, there.high) == pytest.approx((-back.high, -back.low))


@pytest.mark.parametrize(
    ("hits", "of"), [(1, 10_000_000), (3, 10), (0, 50), (50, 50), (120, 214), (1, 1), (0, 1)]
)
def test_the_limits_are_where_the_definition_puts_them(hits, of):
    """Robbins 1970: p stays while (n + 1) P(hits of n | p) is above 5 %; scipy's binomial."""
    found = sequence_interval(hits, of)
    for limit, free in ((found.low, hits == 0), (found.high, hits == of)):
        if free:
            assert limit in {0.0, 1.0}
        else:
            assert (of + 1) * binom.pmf(hits, of, limit) == pytest.approx(0.05, rel=1e-6)


def test_holding_at_every_look_makes_it_wider():
    for of in (1, 10, 214, 10_000):
        for hits in {0, of // 3, of // 2, of}:
            once, always = wilson_interval(hits, of), sequence_interval(hits, of)
            assert always.low <= once.low + 1e-12
            assert always.high >= once.high - 1e-12


LOOKS = np.unique(np.geomspace(10, 2000, 50).astype(int))
POLLS = 1000


@pytest.mark.parametrize("truth", [0.05, 0.3, 0.5])
def test_looked_at_fifty_times_the_sequence_holds_and_wilsons_interval_does_not(truth):
    """Over 1,000 polls each: at least 95 % were right at all looks; Wilson's at far fewer."""
    rng = np.random.Generator(np.random.Philox(15))
    answers = (rng.random((POLLS, LOOKS[-1])) < truth).cumsum(axis=1)[:, LOOKS - 1]

    def right_throughout(make):
        held = np.ones(POLLS, dtype=bool)
        for of, hits in zip(LOOKS.tolist(), answers.T, strict=True):
            for count in np.unique(hits).tolist():
                found = make(count, of)
                if not found.low <= truth <= found.high:
                    held[hits == count] = False
        return held.mean()

    assert right_throughout(sequence_interval) >= 0.95
    assert right_throughout(wilson_interval) < 0.70


@pytest.mark.parametrize("make", [wilson_interval, sequence_interval])
@pytest.mark.parametrize(
    ("hits", "of", "level", "said"),
    [(0, 0, 0.95, "of must be 1 or more"), (5, 4, 0.95, "from 0 to 4"), (-1, 4, 0.95, "from 0"),
     (1, 4, 1.0, "level must be"), (1, 4, float("nan"), "level must be")],
)  # fmt: skip
def test_what_cannot_be_a_share_is_refused(make, hits, of, level, said):
    with pytest.raises(InputError, match=said):
        make(hits, of, level=level)


def test_shares_of_different_levels_have_no_difference():
    with pytest.raises(InputError, match="levels of both"):
        newcombe_difference(wilson_interval(1, 4), wilson_interval(1, 4, level=0.9))
