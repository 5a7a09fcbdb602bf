"""The pictures say in words and marks what was computed."""

from dataclasses import replace

import pytest

from sixwright.kernel.pictures import Bar, Point, Polyline, Tone
from sixwright.kernel.sentences import Count
from sixwright.topics.lineup.pictures import shared_parts
from sixwright.topics.money.compute import answer, even_with_curve
from sixwright.topics.money.pictures import earned_back, pictures, where_it_goes
from topics.builders import bolts, lineup_of, money_of, part, price, project, sold, usd
from topics.money.test_compute import full, with_quote


def drawn(line, picture):
    inputs = money_of(line)
    found = answer(inputs)
    return picture(inputs, replace(found, break_even=even_with_curve(inputs, found.break_even)))


def test_a_boxs_bars_fill_its_price():
    chart = drawn(full(), where_it_goes)
    bars = [mark for mark in chart.marks if isinstance(mark, Bar)]
    assert [bar.start for bar in bars[1:]] == [bar.end for bar in bars[:-1]]
    assert (bars[0].start, bars[-1].end) == (0, 100)
    assert bars[0].title == "parts 20.00 USD"
    assert bars[-1].end - bars[-1].start == pytest.approx(24.4)
    assert "margin 24.40 USD" in chart.summary


@pytest.mark.parametrize("charged", [80, 100, 250])
def test_the_bars_of_a_box_follow_each_other_in_per_cent_of_its_price(charged):
    line = full()
    line = replace(line, sells={"box": replace(line.sells["box"], price=usd(charged))})
    bars = drawn(line, where_it_goes).marks
    assert [bar.start for bar in bars[1:]] == pytest.approx([bar.end for bar in bars[:-1]])
    assert bars[0].end == pytest.approx(100 * 20 / charged)
    assert bars[-1].end == pytest.approx(100)


def test_a_loss_is_the_only_bar_in_the_colour_of_trouble():
    line = with_quote(full(), price(amount=80))
    bars = drawn(line, where_it_goes).marks
    assert [bar.tone for bar in bars if bar.tone is Tone.TROUBLE] == [Tone.TROUBLE]
    assert bars[-1].tone is Tone.TROUBLE
    assert drawn(line, where_it_goes).x.high > 100


def test_the_profit_line_crosses_zero_at_break_even():
    chart = drawn(bolts(development=usd(800)), earned_back)
    crossing = next(m for m in chart.marks if isinstance(m, Point) and m.y == 0)
    assert (crossing.x, crossing.label) == (10, Count(10, "box", "boxes"))
    curve = next(m for m in chart.marks if isinstance(m, Polyline) and m.label == "profit")
    assert curve.points[-1][0] >= 100


def test_a_loss_that_returns_is_drawn():
    line = with_quote(bolts(development=usd(800)), price(), price(amount=48, at=200))
    marks = drawn(line, earned_back).marks
    assert any(isinstance(m, Polyline) and m.tone is Tone.TROUBLE for m in marks)


def test_what_is_unknown_is_not_drawn():
    assert drawn(replace(full(), prices=()), pictures) == ()


def test_shared_and_own_parts_make_up_each_box():
    line = project(
        parts=[part("head"), part("cape"), part("boot")],
        sells=[sold("small"), sold("large"), sold("third")],
        held={"small": {"head": 1, "boot": 2}, "large": {"head": 1, "cape": 1, "boot": 2},
              "third": {"head": 1}},
        orders={},
    )  # fmt: skip
    chart = shared_parts(*lineup_of(line))
    assert chart.rows == ("small", "large", "third")
    assert [(bar.row, bar.start, bar.end, bar.tone) for bar in chart.marks] == [
        (0, 0, 1, Tone.FAINT),
        (0, 1, 2, Tone.SOFT),
        (1, 0, 1, Tone.FAINT),
        (1, 1, 2, Tone.SOFT),
        (1, 2, 3, Tone.INK),
        (2, 0, 1, Tone.FAINT),
    ]
