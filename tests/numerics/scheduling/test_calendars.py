"""Calendars against a walk from day to day, and laws of where work is done."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from numerics.scheduling.day_by_day import finish_of
from sixwright.kernel.errors import InputError
from sixwright.numerics.scheduling.calendars import MOST_DAYS, NEVER, calendar, every_day

WEEK = [1, 1, 1, 0, 0, 0, 0]  # three days a week


def finish(days, start, work):
    made = calendar(days)
    return int(made.finish(np.array([start], np.int16), made.ticks(np.array([work])))[0])


def test_three_days_a_week_make_seven_days_in_sixteen():
    # Days 0-2, 7-9 and then one of the third week: the fifteenth day, numbered 14.
    assert finish(WEEK * 9, 0, 7) == 14


def test_part_of_a_day_takes_the_day():
    assert finish(WEEK * 9, 0, 2.1) == 2
    assert finish(WEEK * 9, 0, 3) == 2
    assert finish(WEEK * 9, 0, 3.0001) == 7


def test_work_of_no_days_is_done_the_day_before():
    assert finish(WEEK * 9, 7, 0) == 6


def test_half_speed_takes_twice_as_long():
    assert finish([Fraction(1, 2)] * 20, 0, 3) == 5


def test_three_thirds_of_a_day_are_a_day():
    assert finish([Fraction(1, 3)] * 20, 0, 1) == 2


def test_work_past_the_last_day_is_never_done():
    assert finish([1] * 5, 0, 5) == 4
    assert finish([1] * 5, 0, 5.5) == NEVER
    assert finish([1] * 5, NEVER, 1) == NEVER
    assert finish([0] * 5, 0, 1) == NEVER


@given(
    st.lists(st.sampled_from([0, 1, Fraction(1, 2), Fraction(3, 10)]), min_size=1, max_size=60),
    st.integers(0, 59),
    st.integers(0, 20_000).map(lambda thousandths: thousandths / 1000),
)
def test_work_is_done_where_a_walk_from_day_to_day_ends(days, start, work):
    start = min(start, len(days) - 1)
    expected = finish_of(days, start, work)
    assert finish(days, start, work) == (NEVER if expected is None else expected)


@given(
    st.lists(st.sampled_from([0, 1, Fraction(1, 2)]), min_size=2, max_size=60), st.floats(0.1, 9)
)
def test_a_later_start_is_never_done_earlier(days, work):
    made = calendar(days)
    found = made.finish(np.arange(len(days), dtype=np.int16), made.ticks(np.array([work])))
    assert (np.diff(found) >= 0).all()


def test_a_start_waits_for_a_day_that_yields_and_lies_in_a_span():
    made = calendar(WEEK * 3)
    assert [int(day) for day in made.start[:9]] == [0, 1, 2, 7, 7, 7, 7, 7, 8]
    within = made.starts_within([(4, 8), (15, 40)])
    assert [int(day) for day in within[[0, 7, 8, 9, 16, 17, 21]]] == [
        7, 7, 8, 15, 16, NEVER, NEVER,
    ]  # fmt: skip


def test_on_every_day_a_start_is_the_day_itself():
    assert [int(day) for day in every_day(4).start] == [0, 1, 2, 3, NEVER, NEVER]


@pytest.mark.parametrize("yields", [[], [1] * (MOST_DAYS + 1), [1, -1]], ids=["0", "many", "-1"])
def test_yields_that_are_none_are_refused(yields):
    with pytest.raises(InputError, match="yields must be"):
        calendar(yields)
