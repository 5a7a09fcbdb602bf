"""Placing one by one, thousands at a time, against placing day by day, one at a time."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from numerics.scheduling.day_by_day import schedule
from sixwright.kernel.errors import InputError
from sixwright.numerics.scheduling.calendars import NEVER, calendar
from sixwright.numerics.scheduling.network import Precedence
from sixwright.numerics.scheduling.serial import Activity, place

DAYS = 220
HALF = Fraction(1, 2)


def fixed(days, count=1):
    return np.full(count, days, np.int32)


@st.composite
def problems(draw):
    """Jobs, people with their capacities, and what each day of theirs yields."""
    people = {f"p{i}": draw(st.integers(1, 3)) for i in range(draw(st.integers(1, 3)))}
    yields = {None: [1] * DAYS}
    for person in people:
        week = draw(st.integers(1, 7))
        lost = draw(st.sets(st.integers(0, 60), max_size=12))
        pace = draw(st.sampled_from([1, HALF]))
        yields[person] = [
            0 if day % 7 >= week or day in lost else pace if day < 40 else 1 for day in range(DAYS)
        ]
    jobs = []
    for i in range(draw(st.integers(1, 9))):
        links = [
            (f"t{j}", draw(st.sampled_from([0, 0, 3, -2, -9])), draw(st.booleans()))
            for j in range(i)
            if draw(st.integers(0, 3)) == 0
        ]
        who = draw(st.sampled_from([None, *people]))
        first = draw(st.integers(0, 30))
        slots = draw(st.sampled_from([None, None, None, [(first, first + 9), (70, 90)]]))
        jobs.append((f"t{i}", draw(st.sampled_from([0, 0.5, 1, 2, 3, 4.2, 7])), links, who, slots))
    return jobs, people, yields


def as_activities(jobs, yields, draws=2):
    made = {who: calendar(days) for who, days in yields.items()}
    activities, ticks = {}, {}
    for name, days, links, who, slots in jobs:
        of = made[who] if who or slots else None
        activities[name] = Activity(
            tuple(Precedence(*link) for link in links),
            of,
            who,
            of.starts_within(slots) if slots else None,
        )
        whole = of.ticks(np.array([days]))[0] if of else int(np.ceil(days))
        ticks[name] = fixed(whole, draws)
    return activities, ticks


@given(problems())
def test_every_activity_lies_where_a_walk_from_day_to_day_puts_it(problem):
    jobs, people, yields = problem
    _, finishes = schedule(jobs, people, yields)
    placed = place(*as_activities(jobs, yields), people)
    found = {name: int(days[1]) for name, days in placed.finish.items()}
    assert found == {name: NEVER if day is None else day for name, day in finishes.items()}


@given(problems(), st.integers(0, 8), st.integers(1, 6))
def test_a_variant_is_the_schedule_with_the_other_duration(problem, which, longer):
    jobs, people, yields = problem
    activities, ticks = as_activities(jobs, yields)
    names = [jobs[which % len(jobs)][0], jobs[0][0], jobs[-1][0]]
    variants = [(name, ticks[name] + longer) for name in names]
    placed = place(activities, ticks, people, variants=variants)
    assert np.array_equal(placed.last[0], place(activities, ticks, people).last[0])
    for row, (name, other) in enumerate(variants, start=1):
        alone = place(activities, ticks | {name: other}, people)
        assert np.array_equal(placed.last[row], alone.last[0])


def test_each_draw_is_placed_as_if_it_were_alone():
    generator = np.random.Generator(np.random.Philox(5))
    activities = {
        "a": Activity((), None, "p"),
        "b": Activity((Precedence("a"),), None, "q"),
        "c": Activity((), None, "p"),
        "d": Activity((Precedence("b"), Precedence("c")), None, "p"),
    }
    ticks = {name: generator.integers(1, 9, 700).astype(np.int32) for name in activities}
    together = place(activities, ticks, {"p": 1, "q": 1})
    for draw in (0, 333, 699):
        one = place(activities, {n: t[draw : draw + 1] for n, t in ticks.items()}, {"p": 1, "q": 1})
        assert all(one.finish[n][0] == together.finish[n][draw] for n in activities)


def test_a_gap_before_what_is_placed_is_used():
    activities = {
        "long": Activity((Precedence("wait"),), None, "p"),
        "short": Activity((), None, "p"),
        "longer": Activity((), None, "p"),
    }
    activities = {"wait": Activity(), **activities}
    ticks = {"wait": fixed(4), "long": fixed(6), "short": fixed(4), "longer": fixed(5)}
    placed = place(activities, ticks, {"p": 1})
    days = {name: (int(placed.start[name][0]), int(placed.finish[name][0])) for name in activities}
    assert days == {"wait": (0, 3), "long": (4, 9), "short": (0, 3), "longer": (10, 14)}


def test_what_has_begun_occupies_from_its_start_and_goes_on_from_today():
    activities = {
        "begun": Activity((), None, "p", not_before=10, begun=2),
        "next": Activity((), None, "p", not_before=10),
    }
    placed = place(activities, {"begun": fixed(3), "next": fixed(1)}, {"p": 1})
    assert (int(placed.start["begun"][0]), int(placed.finish["begun"][0])) == (2, 12)
    assert int(placed.start["next"][0]) == 13


def test_what_is_finished_is_a_fact_and_occupies_nothing():
    activities = {
        "done": Activity((), None, "p", finished=30),
        "next": Activity((Precedence("done"),), None, "p"),
        "other": Activity((), None, "p"),
    }
    ticks = {name: fixed(3) for name in activities}
    placed = place(activities, ticks, {"p": 1})
    assert int(placed.finish["done"][0]) == 30
    assert int(placed.start["next"][0]) == 31
    assert int(placed.start["other"][0]) == 0


def test_what_waits_for_something_never_done_is_never_done_whatever_its_lag():
    gone = calendar([0] * 9)
    activities = {"gone": Activity((), gone), "next": Activity((Precedence("gone", -3_650),))}
    placed = place(activities, {"gone": fixed(1), "next": fixed(1)}, {})
    assert int(placed.finish["next"][0]) == NEVER


def test_only_what_counts_makes_the_last_finish():
    activities = {"a": Activity(), "b": Activity()}
    ticks = {"a": fixed(3), "b": fixed(9)}
    assert int(place(activities, ticks, {}).last[0, 0]) == 8
    assert int(place(activities, ticks, {}, counted=frozenset({"a"})).last[0, 0]) == 2


def test_an_activity_before_what_it_waits_for_is_refused():
    with pytest.raises(InputError, match="received 'b' before 'a'"):
        place(
            {"b": Activity((Precedence("a"),)), "a": Activity()}, {"a": fixed(1), "b": fixed(1)}, {}
        )
