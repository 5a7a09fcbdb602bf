"""The bands are the shares of draws, week by week; promises stand where they were made."""

import datetime as dt

import pytest

from sixwright.kernel.pictures import Bar, Point, Shade, Tone
from sixwright.topics.dates.compute import answer
from sixwright.topics.dates.pictures import bands, load, milestones, pictures
from topics.dates.lines import MONDAY, fixed, line, person, task


def test_a_milestones_weeks_hold_all_draws_and_the_darkest_is_full():
    inputs = line(task("a", 0, 10, 40))
    found = answer(inputs, draws=1_000)
    chart = milestones(inputs, found)
    shades = [mark for mark in chart.marks if isinstance(mark, Shade)]
    assert max(shade.share for shade in shades) == 1
    told = [float(shade.title.rpartition(": ")[2].rstrip("%")) for shade in shades]
    assert sum(told) == pytest.approx(100, abs=4)
    assert all((shade.end - shade.start) == 7 for shade in shades)
    assert "four in five by" in chart.summary


@pytest.mark.parametrize(("days", "tone"), [(5, Tone.TROUBLE), (90, Tone.INK)])
def test_a_promise_is_marked_at_its_date_and_needs_you_where_it_cannot_be_kept(days, tone):
    day = MONDAY + dt.timedelta(days)
    inputs = line(fixed("a", 30), promises=[day])
    chart = milestones(inputs, answer(inputs, draws=20))
    (mark,) = [mark for mark in chart.marks if isinstance(mark, Point)]
    first = min(day, dt.date(2026, 10, 13))
    monday = first - dt.timedelta(first.weekday())
    assert (mark.x, mark.tone) == ((day - monday).days + 1, tone)


def test_a_tasks_band_is_full_in_the_weeks_in_which_every_draw_works_on_it():
    inputs = line(fixed("a", 14), fixed("b", 7, after="a"))
    chart = bands(inputs, answer(inputs, draws=20))
    assert [(mark.row, mark.start, mark.share) for mark in chart.marks] == [
        (0, 0, 1.0), (0, 7, 1.0), (1, 14, 1.0),
    ]  # fmt: skip


def test_a_week_that_asks_for_more_than_is_there_is_the_one_in_the_accent():
    work = (fixed("a", 3, who="p"), fixed("b", 3, who="p"), fixed("c", 2, who="p", after="a b"))
    inputs = line(*work, people=[person("p")])
    chart = load(inputs, answer(inputs, draws=20))
    tones = {mark.title: mark.tone for mark in chart.marks if isinstance(mark, Bar)}
    assert tones == {"2026-W38: 8 of 5 days": Tone.TROUBLE}


def test_nothing_is_drawn_of_what_is_not_known():
    inputs = line(task("a"))
    assert pictures(inputs, answer(inputs, draws=20)) == ()
