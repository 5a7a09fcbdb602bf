"""Laws of dates: what may and what may not bring a day forward, and what draws share."""

import datetime as dt
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sixwright.line.likeness import Round
from sixwright.numerics.draws import uniforms
from sixwright.topics.dates import chances
from sixwright.topics.dates.compute import answer
from sixwright.topics.dates.jobs import drawn_days, jobs
from sixwright.topics.dates.problem import problem
from topics.dates.lines import MONDAY, fixed, line, person, task

FEW = 60


def drawn(inputs, draws=FEW):
    made = problem(inputs, jobs(inputs))
    return chances.draw(made, inputs.seed, draws).placed.finish


@st.composite
def lines(draw, *, people=True):
    names = [f"t{i}" for i in range(draw(st.integers(2, 7)))]
    staff = [person("p"), person("q", 2, 3)] if people else []
    tasks = []
    for i, name in enumerate(names):
        low = draw(st.integers(0, 6))
        likely, high = low + draw(st.integers(0, 4)), low + draw(st.integers(5, 9))
        after = " ".join(other for other in names[:i] if draw(st.booleans()))
        who = draw(st.sampled_from([None, "p", "q"])) if people else None
        tasks.append(task(name, low, likely, high, who=who, after=after))
    return line(*tasks, people=staff)


@settings(max_examples=40)
@given(lines(people=False), st.integers(0, 6), st.integers(1, 5))
def test_without_people_a_longer_task_brings_nothing_forward(inputs, which, longer):
    id_ = list(inputs.tasks)[which % len(inputs.tasks)]
    old = inputs.tasks[id_]
    new = replace(old, low_days=old.low_days + longer, likely_days=old.likely_days + longer,
                  high_days=old.high_days + longer)  # fmt: skip
    before, after = drawn(inputs), drawn(replace(inputs, tasks=inputs.tasks | {id_: new}))
    assert all((after[each] >= before[each]).all() for each in before)


@pytest.mark.parametrize(("tail", "end"), [(6, 12), (7, 9)])
def test_with_people_a_longer_task_may_bring_the_end_forward(tail, end):
    # By hand. With a tail of 6 days, first and early have late starts 0 and 0: first goes first by
    # its id, early waits until day 5, and the tail ends on day 12. With a tail of 7 days early may
    # start no later than day 0 and first than day 1: early goes first, and all ends on day 9.
    inputs = line(
        fixed("a-first", 5, who="p"), fixed("b", 3, who="p", after="a-first"),
        fixed("c-early", 2, who="p"), fixed("d-tail", tail, after="c-early"),
        people=[person("p", days_a_week=7)],
    )  # fmt: skip
    assert max(int(days[0]) for days in drawn(inputs, 1).values()) == end


@settings(max_examples=30)
@given(lines(), st.integers(1, 60))
def test_shifting_the_start_by_weeks_shifts_all(inputs, weeks):
    later = dt.timedelta(days=7 * weeks)
    moved = replace(
        inputs, today=inputs.today + later, rules=replace(inputs.rules, start=MONDAY + later)
    )
    before, after = answer(inputs, draws=FEW), answer(moved, draws=FEW)
    for id_, found in before.tasks.items():
        assert after.tasks[id_].finish.days == tuple(day + later for day in found.finish.days)
    assert after.plan.finish == before.plan.finish + later


@settings(max_examples=30)
@given(lines(), st.integers(0, 6))
def test_the_draws_of_a_task_are_the_same_whatever_else_there_is(inputs, which):
    kept = list(inputs.tasks)[which % len(inputs.tasks)]
    alone = replace(inputs, tasks={kept: replace(inputs.tasks[kept], after=())}, milestones={})
    made, other = (problem(each, jobs(each)) for each in (inputs, alone))
    one = chances.draw(made, 7, FEW).ticks[kept]
    assert np.array_equal(one, chances.draw(other, 7, FEW).ticks[kept])


def test_rounds_that_came_leave_the_draws_of_those_to_come():
    head = task("head", 5, 8, 14, sculpt="m1", approve_first=0.1, approve_last=0.5, rounds_most=9)
    before = jobs(line(head))["head"]
    came = (Round("m1-1", "m1", 1, MONDAY - dt.timedelta(1), maker="anna"),)
    after = jobs(line(head, rounds=came))["head"]
    whole, rest = drawn_days(before, 7, 400, 0.0), drawn_days(after, 7, 400, 0.0)
    lasts, approves = uniforms(7, "head", 1, 400)
    first = before.duration.quantile(lasts)
    went_on = approves >= before.all_chances[0]
    assert np.allclose((whole - first)[went_on], rest[went_on])


@settings(max_examples=20)
@given(lines())
def test_critical_without_people_is_having_no_slack_in_that_draw(inputs):
    alone = {id_: replace(t, who=None, days="calendar") for id_, t in inputs.tasks.items()}
    plain = replace(inputs, people={}, tasks=alone)
    made = problem(plain, jobs(plain))
    found = chances.draw(made, 7, FEW)
    shares = chances.critical_shares(made, found)
    # Late finishes by a backward pass over whole days, draw by draw.
    finish = {id_: days.astype(int) for id_, days in found.placed.finish.items()}
    late = {id_: found.last.astype(int).copy() for id_ in finish}
    for id_ in reversed(list(made.jobs)):
        start = late[id_] - found.ticks[id_] + 1
        for link in made.jobs[id_].links:
            late[link.after] = np.minimum(late[link.after], start - 1)
    expected = {id_: float((late[id_] == finish[id_]).mean()) for id_ in finish}
    assert shares == pytest.approx(expected)


def test_the_same_line_gives_the_same_answer():
    inputs = line(task("a", 1, 2, 9, who="p"), task("b", 1, 5, 9, who="p"), people=[person("p")])
    assert answer(inputs, draws=200) == answer(inputs, draws=200)


def test_more_at_once_is_no_worse_than_everything_one_after_the_other():
    inputs = line(*(fixed(f"t{i}", 3, who="p") for i in range(6)), people=[person("p")])
    one = answer(inputs, draws=10).finish.p50
    two = answer(replace(inputs, people={"p": person("p", 2)}), draws=10).finish.p50
    assert two < one
