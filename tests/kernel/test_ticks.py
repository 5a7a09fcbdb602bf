"""Ticks of an axis: round, within the range, and few whatever the range."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.kernel.errors import InternalError
from sixwright.kernel.pictures import Axis
from sixwright.kernel.ticks import MOST_TICKS, round_ticks

ends = st.floats(-1e15, 1e15)


@given(ends, st.floats(1e-12, 1e15), st.integers(2, MOST_TICKS), st.sampled_from((0.0, 1.0, 20.0)))
def test_ticks_are_few_whatever_the_range(low, wide, most, least):
    ticks = round_ticks(low, low + wide, most=most, least=least)
    assert len(ticks) <= most
    Axis("x", low, low + wide, ticks)


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (0, 10, ["0", "2", "4", "6", "8", "10"]),
        (-30, 60, ["-20", "0", "20", "40", "60"]),
        (0, 0.003, ["0", "0.001", "0.002", "0.003"]),
        (5, 5, []),
    ],
)
def test_ticks_are_round_numbers_within_the_range(low, high, expected):
    assert [label for _, label in round_ticks(low, high)] == expected
    assert all(low <= Fraction(value) <= high for value, _ in round_ticks(low, high) if low)


def test_an_axis_of_more_ticks_is_a_fault_of_ours():
    ticks = tuple((float(x), str(x)) for x in range(MOST_TICKS + 1))
    with pytest.raises(InternalError, match="at most 12"):
        Axis("x", 0, 20, ticks)
