"""Holes in a folder: nothing breaks, nothing becomes another number, everything is named."""

from dataclasses import fields, is_dataclass, replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from sixwright.kernel.intervals import Verdict
from sixwright.line.boxes import Order
from sixwright.line.making import MoneyRules
from sixwright.topics.money.compute import answer
from sixwright.topics.money.pictures import pictures
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.review import review
from topics.builders import TODAY, bolts, money_of, usd
from topics.money.lines import lines
from topics.money.test_compute import with_quote

RULES = [field.name for field in fields(MoneyRules)]
WAYS = ("tooling", "minimum", "yield_share", "minutes", "valid_until")
SOLD = ("price", "assembly_minutes", "box_mm")


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
        assert bool(finding.missing) == unchecked, finding.id
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
    assert {path for path in moved if path[-1] != "known"} == set()


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
