"""Dates against the textbook, closed forms, and a walk from day to day."""

import datetime as dt
import math
from dataclasses import replace

import numpy as np
import pytest

from sixwright.line.dates import Away, DateRules, Milestone, Promise, Slot, TaskLink
from sixwright.line.likeness import Round
from sixwright.topics.dates.as_json import as_json
from sixwright.topics.dates.calendars import calendars
from sixwright.topics.dates.compute import answer
from sixwright.topics.dates.jobs import expected_rounds, jobs
from sixwright.topics.dates.model import Quote
from topics.dates.lines import DAY, MONDAY, fixed, line, person, task


def finishes(inputs, draws=50):
    return {id_: found.finish.p50 for id_, found in answer(inputs, draws=draws).tasks.items()}


def test_the_worked_network_of_the_textbook():
    # Facts page, section 10 (there M-h, recomputed): PERT's example, 19.50 days, A-C-E-G critical.
    inputs = line(
        task("a", 2, 4, 6), task("b", 3, 5, 9), task("c", 4, 5, 7, after="a"),
        task("d", 4, 6, 10, after="a"), task("e", 4, 5, 7, after="b c"),
        task("f", 3, 4, 8, after="d"), task("g", 3, 5, 8, after="e"),
    )  # fmt: skip
    network = answer(inputs, draws=10).network
    assert max(each.early_finish for each in network.values()) == pytest.approx(19.50)
    assert [id_ for id_, each in network.items() if each.critical] == ["a", "c", "e", "g"]
    assert network["b"].slack == pytest.approx(3.83, abs=0.005)
    assert network["d"].slack == network["f"].slack == pytest.approx(4.67, abs=0.005)


def test_fixed_days_end_where_a_diary_says():
    # Monday 14 September 2026, three days a week: Mon to Wed, so 7 days end on Monday the 28th.
    inputs = line(fixed("paint", 7, who="painter"), people=[person("painter", days_a_week=3)])
    assert finishes(inputs) == {"paint": DAY(2026, 9, 28)}


def test_sea_freight_counts_every_day_and_a_chain_goes_on_the_day_after():
    inputs = line(fixed("make", 2.5), fixed("sea", 28, after="make"))
    assert finishes(inputs) == {"make": DAY(2026, 9, 16), "sea": DAY(2026, 10, 14)}


def test_a_task_of_no_days_is_done_the_day_before_it_could_start():
    inputs = line(fixed("a", 3), fixed("gate", 0, after="a"), fixed("b", 1, after="gate"))
    assert finishes(inputs) == {
        "a": DAY(2026, 9, 16), "gate": DAY(2026, 9, 16), "b": DAY(2026, 9, 17),
    }  # fmt: skip


def test_lags_and_starts_that_wait_for_starts():
    inputs = line(
        fixed("a", 10), fixed("b", 1), fixed("c", 1),
        links=(TaskLink("b", "a", "finish-start", -4), TaskLink("c", "a", "start-start", 3)),
    )  # fmt: skip
    assert finishes(inputs) == {
        "a": DAY(2026, 9, 23), "b": DAY(2026, 9, 20), "c": DAY(2026, 9, 17),
    }  # fmt: skip


def test_away_from_until_and_half_speed():
    painter = person("painter", days_a_week=7, from_day=DAY(2026, 9, 16))
    away = (
        Away("fair", "painter", DAY(2026, 9, 18), DAY(2026, 9, 20), 0.0),
        Away("slow", None, DAY(2026, 9, 21), DAY(2026, 9, 30), 0.5),
    )
    # 16 and 17 are 2 days; 18 to 20 closed; 21 to 24 are 2 more at half speed.
    inputs = line(fixed("paint", 4, who="painter"), people=[painter], away=away)
    assert finishes(inputs) == {"paint": DAY(2026, 9, 24)}


NO_HOLIDAYS = DateRules(holidays="none")
LUNAR_NEW_YEAR = {2026: (2, 17), 2027: (2, 6), 2028: (1, 26), 2029: (2, 13), 2030: (2, 3)}


@pytest.mark.parametrize("year", LUNAR_NEW_YEAR)
def test_nobody_in_china_works_on_the_lunar_new_year(year):
    # Facts page, section 10 (R): the first days of the years 2026 to 2030.
    day = DAY(year, *LUNAR_NEW_YEAR[year])
    factory = person("fa", days_a_week=7, country="CN")
    on = calendars(line(fixed("x", 1, who="fa"), people=[factory]), day - dt.timedelta(3), 7)
    assert on.yields["fa"][3] == 0
    free = replace(
        line(fixed("x", 1, who="fa"), people=[factory]), rules=DateRules(holidays="none")
    )
    assert calendars(free, day - dt.timedelta(3), 7).yields["fa"][3] == 1


def test_weeks_are_those_of_iso_8601():
    # ISO 8601: 1 January 2027 lies in the 53rd week of 2026, 4 January 2027 in the first of 2027.
    week = line(
        fixed("x", 1, who="p"), fixed("y", 1, who="p", after="x"), people=[person("p")],
        today=DAY(2027, 1, 1), start=DAY(2027, 1, 1),
    )  # fmt: skip
    assert [(each.week, each.asked) for each in answer(week, draws=10).load] == [
        ("2026-W53", 1.0), ("2027-W01", 1.0),
    ]  # fmt: skip


def test_two_tasks_side_by_side_have_the_closed_form_of_the_larger():
    # Two independent draws of one distribution F: the larger is within x with chance F(x)².
    # With (0, 0, 6) the beta distribution has shapes 1 and 5: F(x) = 1 - (1 - x/6)^5.
    inputs = line(task("a", 0, 0, 6), task("b", 0, 0, 6), fixed("end", 0, after="a b"),
                  promises=[MONDAY + dt.timedelta(1)])  # fmt: skip
    found = answer(inputs).promises["p0"].chance
    exact = (1 - (1 - 2 / 6) ** 5) ** 2  # done by the end of the second day
    assert found.value == pytest.approx(exact, abs=4 * math.sqrt(exact * (1 - exact) / 10_000))


@pytest.mark.parametrize(
    ("parallel", "bias"), [(2, 0.5642), (3, 0.8463), (5, 1.1630), (10, 1.5388)]
)
def test_merging_chains_end_later_than_each_of_them(parallel, bias):
    # Clark 1961, in the facts page's section 10: the mean of the largest of k normal variables, in
    # standard deviations. A chain of 15 tasks is near enough to normal (second digit aside).
    chain = 15
    tasks = [
        task(f"k{k}-{i}", 100, 200, 300, after=f"k{k}-{i - 1}" if i else "")
        for k in range(parallel)
        for i in range(chain)
    ]
    ends = " ".join(f"k{k}-{chain - 1}" for k in range(parallel))
    found = answer(line(*tasks, fixed("end", 0, after=ends)), draws=1_000).finish
    days = np.repeat([(day - MONDAY).days + 1 for day in found.days], found.counts)
    sd = math.sqrt(chain * 100 * 100 / 7)
    # Each task is rounded up to whole days, half a day on average.
    assert (days.mean() - chain * 200.5) / sd == pytest.approx(bias, abs=0.15)


def test_a_loops_mean_is_its_expected_rounds_times_the_mean_of_one():
    # By hand: chances .15, .375, .6 and then the end: 1 + .85 + .53125 = 2.38125 rounds.
    assert expected_rounds((0.15, 0.375, 1.0)) == pytest.approx(2.38125)
    head = task("head", 5, 8, 14, approve_first=0.15, approve_last=0.6, rounds_most=3)
    inputs = line(head)
    assert jobs(inputs)["head"].all_chances == pytest.approx((0.15, 0.375, 1.0))
    mean = 2.38125 * (5 + 32 + 14) / 6
    assert answer(inputs, draws=10).network["head"].mean == pytest.approx(mean)
    found = answer(inputs).finish
    days = np.repeat([(day - MONDAY).days + 1 for day in found.days], found.counts)
    assert days.mean() == pytest.approx(mean + 0.5, abs=0.3)


def test_the_plan_takes_a_loops_expected_rounds_rounded_up():
    head = task("head", 5, 8, 14, approve_first=0.15, approve_last=0.6, rounds_most=3)
    plan = answer(line(head), draws=10).plan
    assert (plan.finish - MONDAY).days + 1 == 3 * 8 == plan.bound_days


def rounds(*dates, sculpt="m1", maker="anna"):
    return tuple(Round(f"{sculpt}-{i}", sculpt, i + 1, day, maker=maker)
                 for i, day in enumerate(dates))  # fmt: skip


def test_rounds_that_came_were_not_accepted_and_the_next_began_the_day_after():
    came = rounds(DAY(2026, 9, 1), DAY(2026, 9, 10))
    head = fixed("head", 8, sculpt="m1", approve_first=0.0, approve_last=0.0, rounds_most=3)
    found = answer(line(head, rounds=came), draws=10)
    # The third round began on 11 September and has taken 3 days: 8 days end on the 18th.
    assert found.tasks["head"].finish.p50 == DAY(2026, 9, 18)
    assert found.plan.finish == DAY(2026, 9, 18)


def test_a_finished_task_is_a_fact_though_nothing_before_it_is_done():
    inputs = line(fixed("a", 5), fixed("b", 5, after="a", finished=DAY(2026, 9, 3)),
                  fixed("c", 2, after="b"), promises=[DAY(2026, 9, 15)])  # fmt: skip
    assert finishes(inputs)["b"] == DAY(2026, 9, 3)
    assert finishes(inputs)["c"] == DAY(2026, 9, 15)


def test_days_left_are_counted_from_the_morning_of_their_day_whatever_day_it_is():
    painter = person("painter", days_a_week=7)
    for today in (DAY(2026, 9, 14), DAY(2026, 9, 16)):
        paint = task("paint", 6, 9, 15, who="painter", started=DAY(2026, 9, 8), left_days=5,
                     left_on=DAY(2026, 9, 14))  # fmt: skip
        found = finishes(line(paint, people=[painter], today=today))
        assert found["paint"] == DAY(2026, 9, 18)
    late = line(replace(paint), people=[painter], today=DAY(2026, 10, 1))
    assert finishes(late)["paint"] == DAY(2026, 10, 1)


def test_beyond_its_high_point_one_day_is_left():
    inputs = line(task("a", 2, 3, 4, started=DAY(2026, 9, 1)))
    assert finishes(inputs) == {"a": MONDAY}


def test_what_has_begun_keeps_its_person_busy():
    inputs = line(fixed("a", 10, who="p", started=DAY(2026, 9, 10)), fixed("b", 1, who="p"),
                  people=[person("p", days_a_week=7)])  # fmt: skip
    assert finishes(inputs) == {"a": DAY(2026, 9, 19), "b": DAY(2026, 9, 20)}


def test_three_gaps_of_a_maker_count_and_two_do_not():
    few = rounds(DAY(2026, 6, 1), DAY(2026, 6, 15), DAY(2026, 6, 29))
    more = (*few, *rounds(DAY(2026, 7, 1), DAY(2026, 7, 22), sculpt="l1"))
    head = task("head", 5, 8, 14, who="anna", sculpt="m1", approve_first=0.1, approve_last=0.2,
                rounds_most=9)  # fmt: skip
    people = [person("anna", days_a_week=5)]
    stated = jobs(line(head, rounds=few, people=people))["head"]
    assert stated.track_record is None
    seen = jobs(line(head, rounds=more, people=people))["head"]
    # Gaps of 14, 14 and 21 days are 10, 10 and 15 days of five a week: mean 35/3, variance 25/3.
    assert seen.track_record.gaps == pytest.approx((10, 10, 15))
    assert seen.duration.mean == pytest.approx((3 * 35 / 3 + 2 * 8.5) / 5)
    assert seen.duration.variance == pytest.approx((3 * 25 / 3 + 2 * 2.75) / 5)


def test_a_slot_makes_a_task_wait_and_the_last_one_missed_is_never():
    inputs = line(
        fixed("tools", 20), fixed("shot", 3, after="tools"),
        slots=(Slot("s1", "shot", DAY(2026, 9, 20), DAY(2026, 9, 30)),
               Slot("s2", "shot", DAY(2026, 10, 12), DAY(2026, 10, 13))),
    )  # fmt: skip
    found = answer(inputs, draws=20)
    assert found.tasks["shot"].finish.p50 == DAY(2026, 10, 14)
    assert (found.slots["s1"].value, found.slots["s2"].value) == (0.0, 1.0)
    late = answer(replace(inputs, slots=inputs.slots[:1]), draws=20)
    assert late.tasks["shot"].finish.p50 is None
    assert late.plan.tasks["shot"] is None
    assert late.never == {"shot": 20}


def test_a_quantile_is_null_where_fewer_draws_reach_it():
    # Half of the draws of a task of 0 to 10 days, even about 5, are done within 5 days.
    inputs = line(task("a", 0, 5, 10), fixed("b", 1, after="a"),
                  slots=(Slot("s", "b", MONDAY, MONDAY + dt.timedelta(5)),))  # fmt: skip
    found = answer(inputs, draws=2_000)
    reached = 1 - found.never["b"] / 2_000
    assert reached == pytest.approx(0.5, abs=0.05)
    told = found.tasks["b"].finish
    assert told.p80 is None
    assert told.p95 is None
    assert told.by(DAY(2030, 1, 1)) == round(2_000 * reached)


def test_somebody_who_is_gone_never_finishes():
    inputs = line(fixed("a", 9, who="p"), people=[person("p", until=DAY(2026, 9, 18))])
    found = answer(inputs, draws=10)
    assert found.tasks["a"].finish.p50 is None
    assert found.never == {"a": 10}
    assert found.finish is None


def test_an_unknown_task_leaves_what_rests_on_it_open_and_nothing_else():
    marks = {"end": Milestone("end", "", "b")}
    inputs = line(
        task("a"), fixed("b", 2, after="a"), fixed("c", 3), milestones=marks,
        promises=[DAY(2027, 1, 1)],
    )  # fmt: skip
    found = answer(inputs, draws=10)
    assert found.tasks["a"] is None
    assert found.tasks["b"] is None
    assert found.tasks["c"].finish.p50 == DAY(2026, 9, 16)
    assert found.promises["p0"].chance is None
    assert found.promises["p0"].missing == ("tasks/a/likely_days",)
    assert as_json(found)["milestones"]["end"] == {
        "plan": None, "p50": None, "p80": None, "p95": None,
    }  # fmt: skip


def test_a_task_without_days_takes_the_lead_time_of_its_parts_way():
    quote = Quote("cape-wool", "cape", "FB", 45, DAY(2026, 9, 20))
    inputs = line(fixed("ask", 10), task("cape", part="cape", after="ask"), quotes={"cape": quote})
    found = answer(inputs, draws=10)
    assert found.tasks["cape"].finish.p50 == DAY(2026, 11, 7)
    assert found.orders["cape"].value == 0.0


def test_a_promise_that_passed_fails_and_one_that_was_met_holds():
    marks = {"end": Milestone("end", "", "a")}
    late = answer(line(fixed("a", 5), promises=[DAY(2026, 9, 1)], milestones=marks), draws=10)
    assert late.promises["p0"].chance.high == 0.0
    done = fixed("a", 5, finished=DAY(2026, 9, 1))
    met = answer(line(done, promises=[DAY(2026, 9, 1)], milestones=marks), draws=10)
    assert met.promises["p0"].chance.low == 1.0


def test_a_promise_that_another_replaces_is_kept_and_not_judged():
    inputs = line(fixed("a", 5), promises=[DAY(2026, 9, 15), DAY(2026, 9, 30)])
    again = replace(inputs.promises["p1"], replaces="p0")
    found = answer(replace(inputs, promises=inputs.promises | {"p1": again}), draws=10)
    assert [told.judged for told in found.promises.values()] == [False, True]


def test_what_buys_time_by_hand():
    # One painter, two tasks of 10 days: 20 days. With two at once 10 days; with the low point of
    # either (6 days) 16.
    inputs = line(task("a", 6, 10, 10, who="p"), fixed("b", 10, who="p"),
                  people=[person("p", days_a_week=7)])  # fmt: skip
    inputs = replace(inputs, tasks=inputs.tasks | {"a": replace(inputs.tasks["a"], high_days=10.0)})
    found = {(gain.kind, gain.id): gain.days for gain in answer(inputs, draws=200).gains}
    assert found["person", "p"] == 10
    assert 3 <= found["task", "a"] <= 4
    assert found["task", "b"] == 0


def test_one_more_at_a_time_is_tried_and_not_two():
    # Three tasks of 10 days: 30 days one by one, 20 two at a time, 10 three at a time.
    inputs = line(*(fixed(id_, 10, who="p") for id_ in "abc"), people=[person("p", days_a_week=7)])
    assert [gain.days for gain in answer(inputs, draws=5).gains if gain.kind == "person"] == [10]


def test_load_is_what_is_asked_if_nothing_waited():
    inputs = line(fixed("a", 3, who="p"), fixed("b", 3, who="p"), people=[person("p", 1, 5)])
    assert [(w.week, w.asked, w.there) for w in answer(inputs, draws=10).load] == [
        ("2026-W38", 6.0, 5.0)
    ]


def test_what_is_done_today_asks_for_nothing_more():
    done = fixed("a", 3, who="p", started=DAY(2026, 9, 10), finished=MONDAY)
    assert answer(line(done, people=[person("p")]), draws=10).load == ()


def test_what_takes_longer_than_planned_is_told_with_its_rounds():
    # By hand: 3 rounds of 8 days were planned. It began on 1 August; two rounds came, the second on
    # 31 August, and the third may not be the last: 44 days to 13 September, 14 of them since then.
    # The third round has taken longer than its 8 days, so one more day is left of it.
    came = rounds(DAY(2026, 8, 10), DAY(2026, 8, 30))
    head = fixed("head", 8, sculpt="m1", approve_first=0.15, approve_last=0.6, rounds_most=3,
                 started=DAY(2026, 8, 1))  # fmt: skip
    slip = answer(line(head, rounds=came), draws=10).slips[0]
    assert (slip.stated, slip.now) == (24, 44 + 1)
    assert (slip.rounds_stated, slip.rounds_now) == (3, 3)


def test_what_is_done_in_time_has_not_slipped():
    done = fixed("a", 5, started=DAY(2026, 9, 1), finished=DAY(2026, 9, 5))
    late = replace(done, finished=DAY(2026, 9, 8))
    assert answer(line(done), draws=10).slips == ()
    assert [slip.now for slip in answer(line(late), draws=10).slips] == [8]


def test_the_json_has_the_names_of_the_definition():
    inputs = line(task("a", 1, 2, 3, who="p"), fixed("b", 2, after="a"), people=[person("p")],
                  promises=[DAY(2026, 9, 20)])  # fmt: skip
    told = as_json(answer(inputs, draws=100))
    assert list(told) == ["start", "draws", "network", "plan", "tasks", "milestones", "promises",
                          "gains", "load"]  # fmt: skip
    assert told["start"] == "2026-09-14"
    assert list(told["network"]["a"]) == [
        "early_start", "early_finish", "late_start", "late_finish", "slack", "mean", "critical",
    ]  # fmt: skip
    assert set(told["plan"]) >= {"tasks", "finish", "bound_days"}
    assert list(told["tasks"]["a"]) == ["p50", "p80", "p95", "critical"]
    assert list(told["milestones"]["end"]) == ["plan", "p50", "p80", "p95"]
    assert list(told["promises"]["p0"]) == ["date", "chance"]
    assert list(told["promises"]["p0"]["chance"]) == ["value", "low", "high"]
    assert all(list(gain) == ["kind", "id", "days"] for gain in told["gains"])
    assert list(told["load"][0]) == ["who", "week", "asked", "there"]


def test_promises_are_named_by_their_own_ids():
    inputs = line(fixed("a", 1))
    more = replace(inputs, promises={"x": Promise("x", "end", DAY(2027, 1, 1))})
    assert list(answer(more, draws=10).promises) == ["x"]
