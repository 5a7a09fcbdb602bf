"""Holes in a folder: nothing breaks, nothing becomes another number, everything is named."""

from dataclasses import fields, is_dataclass, replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from sixwright.kernel.intervals import Verdict
from sixwright.line.boxes import Order
from sixwright.line.making import MoneyRules
from sixwright.reports.wording.words import say
from sixwright.topics.money.checks import findings
from sixwright.topics.money.compute import answer
from sixwright.topics.money.pictures import pictures
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.review import review
from topics.builders import TODAY, bolts, money_of, part, price, project, sold, usd, way
from topics.money.lines import lines
from topics.money.test_compute import with_quote

RULES = [field.name for field in fields(MoneyRules)]
WAYS = ("tooling", "minimum", "yield_share", "minutes", "valid_until")
SOLD = ("price", "assembly_minutes", "box_mm", "figures")
COSTS = ("parts", "labour", "unit_cost", "freight", "fees", "landed", "minutes", "fixed_share")
# What is told as a bound while something is missing: it is a number where none was known.
BOUNDS = {
    "at_least", "margin_most", "after_most", "margin_interval", "after_interval",
    "profit_interval", "profit_most", "break_even_interval", "surplus_interval",
}  # fmt: skip


def punched(line, place):
    """The line without what stands at one place: (table, row, column)."""
    table, row, column = place
    if table == "money":
        return replace(line, money=replace(line.money, **{column: None}))
    if table in {"contents", "prices"}:
        rows = list(getattr(line, table))
        rows[row] = replace(rows[row], **{column: None})
        return replace(line, **{table: tuple(rows)})
    held = getattr(line, table)
    return replace(line, **{table: held | {row: replace(held[row], **{column: None})}})


def places(line):
    found = [("money", None, name) for name in RULES]
    found += [("ways", way, name) for way in line.ways for name in WAYS]
    found += [("sells", sold, name) for sold in line.sells for name in SOLD]
    found += [("orders", sold, "quantity") for sold in line.orders]
    found += [("rates", currency, "per_unit") for currency in line.rates]
    found += [("contents", i, "quantity") for i in range(len(line.contents))]
    found += [("prices", i, "unit_price") for i in range(len(line.prices))]
    return [*found, *(("parts", part, "way") for part in line.parts)]


@st.composite
def with_holes(draw):
    line = draw(lines(pooled=False))
    for place in draw(st.lists(st.sampled_from(places(line)), min_size=1, max_size=3)):
        line = punched(line, place)
    return line


@settings(max_examples=150, deadline=None)
@given(with_holes())
def test_a_line_with_holes_is_judged_and_every_hole_that_matters_is_named(line):
    found = review(line, today=TODAY)
    for finding in found.findings:
        unchecked = finding.verdict is Verdict.UNCHECKED
        # What is missing of costs cannot mend a loss: that fails, and says what is missing.
        sure = finding.verdict is Verdict.FAILS and finding.rule in {"margin", "break-even"}
        assert bool(finding.missing) == unchecked or sure, finding.id
        assert not unchecked or finding.remedy, finding.id
        assert len(set(finding.missing)) == len(finding.missing), finding.id
    assert len({finding.id for finding in found.findings}) == len(found.findings)
    inputs = money_of(line)
    pictures(inputs, found.of(MONEY))


def numbers(value, path=()):
    """Every number of an answer, by where it stands."""
    if isinstance(value, int | Fraction):
        yield path, value
    elif is_dataclass(value):
        for field in fields(value):
            yield from numbers(getattr(value, field.name), (*path, field.name))
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from numbers(item, (*path, key))


@settings(max_examples=150, deadline=None)
@given(lines(pooled=False), st.data())
def test_a_hole_makes_numbers_unknown_and_never_others(line, data):
    place = data.draw(st.sampled_from(places(line)))
    before = dict(numbers(answer(money_of(line))))
    after = dict(numbers(answer(money_of(punched(line, place)))))
    moved = {path: value for path, value in after.items() if before.get(path) != value}
    assert {path for path in moved if path[-1] != "known" and not BOUNDS & set(path)} == set()


@settings(max_examples=150, deadline=None)
@given(lines(pooled=False), st.data())
def test_what_is_known_of_a_cost_is_never_more_than_the_cost(line, data):
    whole = answer(money_of(line))
    for place in data.draw(st.lists(st.sampled_from(places(line)), min_size=1, max_size=3)):
        line = punched(line, place)
    found = answer(money_of(line))
    for id_, box in found.sells.items():
        for name in COSTS:
            assert getattr(box.at_least, name) <= getattr(whole.sells[id_], name), name
        least, true = box.at_least.least_price, whole.sells[id_].least_price
        assert least is None or true is None or least <= true
        for name, true in (("margin_most", "margin"), ("after_most", "margin_after_fixed_share")):
            most = getattr(box, name)
            assert most is None or most >= getattr(whole.sells[id_], true), name
    if found.profit is None and found.profit_interval is not None:
        assert found.profit_interval.high >= whole.profit


def two_of_three_known():
    """100 boxes of a bolt at 10, a cup and a head of which no price is known; 100 USD a box."""
    return project(
        parts=[part("bolt"), part("cup", name="Tin cup"), part("head", name="Head C")],
        sells=[sold()],
        held={"box": {"bolt": 2, "cup": 1, "head": 1}},
        orders={"box": 100},
        ways=[way("bolt"), way("cup"), way("head")],
        prices=[
            price("bolt-way", 10),
            price("cup-way", None),
            price("head-way", None),
        ],
        rules=replace(bolts().money, freight_each=usd(3)),
    )


def margin_of(line):
    inputs = money_of(line)
    return next(f for f in findings(inputs, answer(inputs)) if f.rule == "margin")


def test_one_missing_price_does_not_empty_the_landed_cost():
    finding = margin_of(two_of_three_known())
    assert say(finding.message, "en-GB").replace("\N{NO-BREAK SPACE}", " ") == (
        "box costs at least 23.00 USD and so leaves at most 77.00 USD of 100.00 USD; "
        "2 prices missing: Tin cup and Head C."
    )
    assert (finding.verdict, finding.measured) == (Verdict.UNCHECKED, None)


def test_a_loss_that_no_missing_price_can_mend_fails_and_names_them():
    line = two_of_three_known()
    line = replace(line, prices=(price("bolt-way", 60), *line.prices[1:]))
    finding = margin_of(line)
    assert finding.verdict is Verdict.FAILS
    assert finding.measured.high == Fraction(-23, 100)
    assert set(finding.missing) == {
        "prices/cup-way/1/unit_price",
        "prices/head-way/1/unit_price",
    }
    text = say(finding.message, "en-GB").replace("\N{NO-BREAK SPACE}", " ")
    assert text.startswith("box loses at least 23.00 USD each, 2,300 USD on 100 boxes")
    assert "2 prices missing: Tin cup and Head C" in text
    inputs = money_of(line)
    even = next(f for f in findings(inputs, answer(inputs)) if f.rule == "break-even")
    assert even.verdict is Verdict.FAILS


def test_unknown_figures_are_not_one():
    line = bolts(development=usd(1000))
    line = replace(line, sells={"box": replace(line.sells["box"], figures=None)})
    found = answer(money_of(line)).sells["box"]
    assert (found.margin, found.fixed_share, found.margin_after_fixed_share) == (80, None, None)
    assert found.missing_fixed == ("editions/box/figures",)
    finding = margin_of(line)
    assert finding.verdict is Verdict.UNCHECKED
    assert answer(money_of(line)).profit == 7000


def test_a_pack_without_a_figure_carries_no_share_of_the_fixed_costs():
    line = bolts(development=usd(1000))
    pack = replace(line.sells["box"], id="pack", figures=0)
    line = replace(
        line,
        sells=line.sells | {"pack": pack},
        contents=(*line.contents, replace(line.contents[0], sells="pack")),
        orders=line.orders | {"pack": Order("pack", 50)},
    )
    found = answer(money_of(line)).sells
    assert (found["box"].fixed_share, found["pack"].fixed_share) == (10, 0)
    assert found["pack"].margin_after_fixed_share == found["pack"].margin


def test_a_tool_that_may_not_be_needed_is_not_known_to_be_paid():
    line = replace(bolts(), orders={"box": Order("box", None)})
    line = with_quote(line, tooling=usd(200))
    found = answer(money_of(line)).parts["bolt"]
    assert (found.need, found.tooling) == (None, None)
    assert found.missing_tooling == ("orders/box/quantity",)
    sure = replace(line, orders={"box": Order("box", 3)})
    assert answer(money_of(sure)).parts["bolt"].tooling == 200
    none = replace(line, orders={"box": Order("box", 0)})
    assert answer(money_of(none)).parts["bolt"].tooling == 0
