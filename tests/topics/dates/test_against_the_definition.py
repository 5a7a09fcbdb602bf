"""All of `answers.dates` worked out a second time, from the shared definitions alone.

`recomputed.py` takes one draw, one task and one day at a time, in fractions, and tries every plan;
it shares the nouns of a line with sixwright, and nothing that computes.
"""

import datetime as dt
from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from sixwright.line.dates import Away, DateRules, Milestone, Slot, TaskLink
from sixwright.line.likeness import Round
from sixwright.topics.dates.as_json import as_json
from sixwright.topics.dates.compute import answer
from sixwright.topics.dates.model import Quote
from topics.dates.lines import DAY, MONDAY, fixed, line, person, task
from topics.dates.recomputed import recomputed

DRAWS = 40
CLOSE = 1e-9


def compared(inputs, draws=DRAWS):
    ours, theirs = as_json(answer(inputs, draws=draws)), recomputed(inputs, draws)
    assert ours["plan"].pop("proven")  # ours: the definition does not name it
    assert _rounded(ours) == _rounded(theirs)
    return theirs


def _rounded(told):
    if isinstance(told, dict):
        return {key: _rounded(value) for key, value in told.items()}
    if isinstance(told, list | tuple):
        return [_rounded(value) for value in told]
    if isinstance(told, float):
        return round(told, 9) + 0.0
    return told


def test_a_head_a_painter_a_factory_and_a_ship():
    came = tuple(Round(f"m1-{i}", "m1", i, MONDAY - dt.timedelta(days), maker="anna")
                 for i, days in ((1, 40), (2, 26), (3, 9), (4, 3)))  # fmt: skip
    inputs = line(
        task("head", 2, 3, 7, who="anna", sculpt="m1", approve_first=0.2, approve_last=0.6,
             rounds_most=7, started=MONDAY - dt.timedelta(60)),
        task("paint", 1, 2, 4, who="bo", after="head"),
        task("base", 2, 4, 6, who="bo"),
        task("cape", part="cape"),
        fixed("sea", 9, after="paint base cape"),
        people=[person("anna", 1, 5, country="GB"), person("bo", 1, 3, country="CN")],
        away=(Away("golden", "bo", DAY(2026, 10, 1), DAY(2026, 10, 8), 0.0),
              Away("slow", None, DAY(2026, 9, 21), DAY(2026, 9, 22), 0.5)),
        quotes={"cape": Quote("cape-wool", "cape", "FB", 12, DAY(2026, 9, 20))},
        promises=[DAY(2026, 10, 20), DAY(2026, 9, 1)], rounds=came,
    )  # fmt: skip
    told = compared(inputs, 60)
    assert told["promises"]["p1"]["chance"]["value"] == 0.0
    assert 0 < told["promises"]["p0"]["chance"]["value"] < 1


def test_slots_links_what_is_unknown_and_what_never_comes():
    inputs = line(
        task("tools", 2, 3, 6, who="fa", started=DAY(2026, 9, 10)),
        task("shot", 1, 2, 3, who="fa", after="tools"),
        task("unknown"), fixed("rests", 2, after="unknown"),
        fixed("gone", 9, who="cy"),
        task("pack", 1, 1, 3, who="fa"),
        people=[person("fa", 1, 6), person("cy", until=DAY(2026, 9, 16))],
        slots=(Slot("one", "shot", DAY(2026, 9, 16), DAY(2026, 9, 17)),
               Slot("two", "shot", DAY(2026, 9, 21), DAY(2026, 9, 23))),
        links=(TaskLink("pack", "shot", "start-start", 2),),
        milestones={"end": Milestone("end", "", "pack", public=True),
                    "never": Milestone("never", "", "gone"),
                    "open": Milestone("open", "", "rests")},
    )  # fmt: skip
    told = compared(inputs)
    assert told["milestones"]["never"]["p50"] is None
    assert told["milestones"]["open"]["plan"] is None


def test_days_left_and_what_is_finished():
    inputs = line(
        task("a", 3, 4, 9, who="p", started=DAY(2026, 9, 8), left_days=4, left_on=DAY(2026, 9, 11)),
        task("b", 1, 2, 4, who="p", started=DAY(2026, 9, 1), finished=DAY(2026, 9, 4)),
        task("c", 1, 2, 4, who="p", after="a b"), fixed("gate", 0, after="c"),
        people=[person("p", 1, 4)], promises=[DAY(2026, 9, 24)],
        links=(TaskLink("gate", "b", "start-start", 30),),
    )  # fmt: skip
    compared(inputs)


@st.composite
def lines(draw):
    names = [f"t{i}" for i in range(draw(st.integers(1, 4)))]
    country = draw(st.sampled_from([None, "GB", "CN"]))
    from_day = draw(st.sampled_from([None, DAY(2026, 9, 17)]))
    staff = [
        person("p", draw(st.integers(1, 2)), draw(st.integers(2, 7)), country=country),
        person("q", 1, 5, from_day=from_day),
    ]
    tasks = []
    for i, name in enumerate(names):
        low = draw(st.integers(0, 2))
        likely, high = low + draw(st.integers(0, 1)), low + draw(st.integers(1, 3))
        who = draw(st.sampled_from([None, "p", "p", "q"]))
        loop = draw(st.sampled_from([{}, {}, {
            "approve_first": 0.3, "approve_last": 0.7, "rounds_most": 3}]))  # fmt: skip
        began = draw(st.sampled_from([None, None, None, DAY(2026, 9, 11)]))
        after = " ".join(other for other in names[:i] if draw(st.booleans()))
        tasks.append(task(name, low, likely, high, who=who, after=after, started=began, **loop))
    away = draw(st.sampled_from([(), (Away("x", "p", DAY(2026, 9, 16), DAY(2026, 9, 18), 0.5),)]))
    made = line(*tasks, people=staff, away=away, promises=[DAY(2026, 9, 19)])
    return replace(made, rules=DateRules(draw(st.sampled_from([MONDAY, DAY(2026, 9, 16)]))))


@settings(max_examples=25)
@given(lines())
def test_any_small_line_has_the_answer_of_the_definition(inputs):
    compared(inputs, 12)
