"""Dominance against a search by numpy, interactions against a worked factorial experiment.

The experiment: G. E. P. Box, W. G. Hunter and J. S. Hunter, “Statistics for Experimenters” (Wiley,
1978), the 2³ pilot plant of chapter 10: temperature, concentration, catalyst; yields in grams. Its
data and effects are quoted from memory (M): temperature 23, concentration −5, catalyst 1.5,
temperature × catalyst 10, and 1.5, 0 and 0.5 for the other interactions. The data reproduce all
seven effects, which a slip of memory in either would not.
"""

from fractions import Fraction
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.workflows.choose_combine import beats, counted, interaction
from sixwright.workflows.choose_measures import MeasureKind

# Yields at (temperature, concentration, catalyst), each low (0) or high (1).
YIELDS = dict(zip(product((0, 1), repeat=3), (60, 52, 54, 45, 72, 83, 68, 80), strict=True))
FACTORS = {"temperature": 0, "concentration": 1, "catalyst": 2}
EFFECTS = {"temperature": 23, "concentration": -5, "catalyst": 1.5}
PAIRS = {
    ("temperature", "concentration"): 1.5,
    ("temperature", "catalyst"): 10,
    ("concentration", "catalyst"): 0,
}
KINDS = (
    MeasureKind("profit", "Profit", "USD", "more"),
    MeasureKind("cash", "Cash", "USD", "less"),
    MeasureKind("mass", "Mass", "g"),
    MeasureKind("days", "Days", "days", "less"),
)


def at(**levels):
    return {"profit": Fraction(YIELDS[tuple(levels[name] for name in FACTORS)])}


@pytest.mark.parametrize("factor", EFFECTS, ids=str)
def test_the_data_are_those_of_the_experiment(factor):
    column = FACTORS[factor]
    high = [y for levels, y in YIELDS.items() if levels[column]]
    low = [y for levels, y in YIELDS.items() if not levels[column]]
    assert sum(high) / 4 - sum(low) / 4 == EFFECTS[factor]


@pytest.mark.parametrize(("one", "other"), PAIRS, ids=" and ".join)
def test_interactions_are_twice_those_of_the_textbook(one, other):
    (third,) = FACTORS.keys() - {one, other}
    found = []
    for level in (0, 1):
        four = [at(**{third: level, one: a, other: b}) for a, b in ((1, 1), (1, 0), (0, 1), (0, 0))]
        found.append(interaction(*four).get("profit", Fraction(0)))
    # The textbook averages over the third factor, and halves.
    assert sum(found) / 2 / 2 == PAIRS[one, other]


def test_the_pilot_plant_by_hand():
    both, one, other, first = (at(temperature=a, concentration=0, catalyst=b)
                               for a, b in ((1, 1), (1, 0), (0, 1), (0, 0)))  # fmt: skip
    assert interaction(both, one, other, first) == {"profit": 83 - 72 - 52 + 60}


@given(st.tuples(*(st.integers(-(10**9), 10**9) for _ in range(3))))
def test_effects_that_add_up_do_not_interact(amounts):
    base, a, b = (Fraction(amount, 7) for amount in amounts)
    four = ({"profit": base + a + b}, {"profit": base + a}, {"profit": base + b}, {"profit": base})
    assert interaction(*four) == {}


def test_less_than_a_cent_is_no_interaction_and_a_cent_is():
    zero = {"profit": Fraction(0)}
    assert interaction({"profit": Fraction(99, 10000)}, zero, zero, zero) == {}
    assert interaction({"profit": Fraction(-1, 100)}, zero, zero, zero) == {
        "profit": Fraction(-1, 100)
    }


def test_what_is_not_known_four_times_has_no_interaction():
    known = {"profit": Fraction(5)}
    for hole in range(4):
        four = [known] * 4
        four[hole] = {"profit": None}
        assert interaction(*four) == {}


ways = st.lists(st.tuples(*(st.integers(0, 3) for _ in KINDS)), min_size=1, max_size=8)


def named(row):
    return dict(zip((kind.id for kind in KINDS), map(Fraction, row), strict=True))


def beaten_by_numpy(rows):
    """Non-dominated by definition: all signs at least zero, one above; mass is not a count."""
    gains = np.array(rows)[:, [0, 1, 3]] * np.array([1, -1, -1])
    return {
        (i, j)
        for i, mine in enumerate(gains)
        for j, theirs in enumerate(gains)
        if np.all(mine >= theirs) and np.any(mine > theirs)
    }


@given(ways)
def test_what_beats_what_is_what_a_search_by_numpy_finds(rows):
    found = {
        (i, j)
        for i, one in enumerate(rows)
        for j, other in enumerate(rows)
        if beats(named(one), named(other), KINDS)
    }
    assert found == beaten_by_numpy(rows)


@given(ways)
def test_dominance_is_a_strict_order_and_somebody_is_unbeaten(rows):
    found = {
        (i, j)
        for i, one in enumerate(rows)
        for j, other in enumerate(rows)
        if beats(named(one), named(other), KINDS)
    }
    assert all((j, i) not in found for i, j in found)
    assert all((i, k) in found for i, j in found for j_, k in found if j == j_)
    assert set(range(len(rows))) - {j for _, j in found}


@pytest.mark.parametrize("hole", ["profit", "cash", "days"])
def test_an_unknown_count_beats_nothing_and_is_not_beaten(hole):
    good, bad = named((9, 0, 0, 0)), named((1, 5, 0, 5))
    assert beats(good, bad, KINDS)
    for one, other in ((good | {hole: None}, bad), (good, bad | {hole: None})):
        assert not beats(one, other, KINDS)
        assert not beats(other, one, KINDS)


def test_a_measure_without_a_better_direction_does_not_count():
    light, heavy = named((5, 0, 1, 0)), named((5, 0, 9, 0))
    assert not beats(light, heavy, KINDS)
    assert beats(named((6, 0, 9, 0)), light, KINDS)


def test_a_count_that_nobody_knows_is_left_out():
    rows = [named((1, 2, 3, 4)) | {"days": None}, named((2, 2, 3, 4)) | {"days": None}]
    assert [kind.id for kind in counted(KINDS, rows)] == ["profit", "cash"]
    assert beats(rows[1], rows[0], counted(KINDS, rows))
