"""What money finds, with its evidence."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from sixwright.kernel.currency import Money
from sixwright.kernel.intervals import Verdict
from sixwright.topics.money.checks import findings
from sixwright.topics.money.compute import answer
from topics.builders import bolts, by_id, money_of, price, rate, sold, usd, way
from topics.money.test_compute import full, shared_tool, with_quote


def judged(line):
    inputs = money_of(line)
    return by_id(findings(inputs, answer(inputs)))


def verdicts(line):
    return {id_: finding.verdict for id_, finding in judged(line).items()}


def test_a_sound_line_holds_by_every_rule():
    found = verdicts(full())
    assert set(found) == {
        "money.margin:sells/box",
        "money.price-known:part/bolt",
        "money.minimum:part/bolt",
        "money.quote-date:maker/mill",
        "money.break-even:line/trial",
    }
    assert set(found.values()) == {Verdict.HOLDS}


@pytest.mark.parametrize(
    ("least", "verdict"),
    [("0.144", Verdict.HOLDS), ("0.1441", Verdict.FAILS), (None, Verdict.UNCHECKED)],
)
def test_the_margin_after_the_fixed_share_is_held_against_the_least(least, verdict):
    line = full()
    rules = replace(line.money, margin_least=None if least is None else Fraction(least))
    found = judged(replace(line, money=rules))["money.margin:sells/box"]
    assert found.verdict is verdict
    assert found.measured.value == Fraction("0.144")
    assert (found.fix is not None) == (verdict is Verdict.FAILS)


def test_the_price_that_is_offered_settles_the_margin():
    line = full()
    line = replace(line, sells={"box": replace(line.sells["box"], price=usd(80))})
    found = judged(line)["money.margin:sells/box"]
    assert found.verdict is Verdict.FAILS
    offered = dict(found.fix.cells)["price"].split()[0]
    line = replace(line, sells={"box": replace(line.sells["box"], price=usd(offered))})
    assert verdicts(line)["money.margin:sells/box"] is Verdict.HOLDS


def test_both_margins_are_always_said():
    message = judged(full())["money.margin:sells/box"].message
    assert message.values["margin"] == usd("24.4")
    assert message.values["after"] == usd("14.4")


@pytest.mark.parametrize(("minimum", "verdict"), [(300, Verdict.HOLDS), (301, Verdict.FAILS)])
def test_a_minimum_that_ties_up_more_than_allowed_fails(minimum, verdict):
    found = judged(with_quote(bolts(), minimum=minimum))["money.minimum:part/bolt"]
    assert found.verdict is verdict
    assert (found.measured.value, found.limit.value) == ((minimum - 200) * 10, 1000)


def test_a_rival_way_that_ties_up_less_is_offered():
    line = with_quote(bolts(), minimum=400)
    other = way(id="turned", minimum=210)
    line = replace(
        line, ways=line.ways | {"turned": other}, prices=(*line.prices, price("turned", 9))
    )
    fix = judged(line)["money.minimum:part/bolt"].fix
    assert (fix.table, fix.id, fix.cells) == ("parts", "bolt", (("way", "turned"),))


def test_without_a_limit_the_minimum_is_unchecked():
    found = judged(bolts(surplus_most=None))["money.minimum:part/bolt"]
    assert (found.verdict, found.missing) == (Verdict.UNCHECKED, ("line/line/money.surplus_most",))


def test_the_order_is_never_silently_raised():
    line = with_quote(bolts(), price(), price(amount=1, at=201))
    assert answer(money_of(line)).parts["bolt"].order == 200


def test_a_shared_tool_is_judged_once():
    found = judged(shared_tool())
    assert found["money.minimum:tool/die"].measured.value == 600
    assert "money.minimum:part/ash" not in found


def test_quotes_without_a_last_day_are_one_unchecked_finding_and_taint_nothing():
    found = judged(shared_tool(valid_until=None))
    open_ = {id_: f for id_, f in found.items() if f.verdict is Verdict.UNCHECKED}
    assert set(open_) == {"money.quote-date:line/trial"}
    (finding,) = open_.values()
    assert finding.missing == ("ways/ash-way/valid_until", "ways/oak-way/valid_until")


@pytest.mark.parametrize(
    "change",
    [
        pytest.param({"minimum": None}, id="minimum"),
        pytest.param({"yield_share": None}, id="yield"),
        pytest.param({"tooling": None}, id="tooling"),
    ],
)
def test_an_unknown_quote_is_named(change):
    found = judged(with_quote(full(), **change))["money.price-known:part/bolt"]
    name = {"yield_share": "yield"}.get(next(iter(change)), next(iter(change)))
    assert (found.verdict, found.missing) == (Verdict.UNCHECKED, (f"ways/bolt-way/{name}",))


def test_an_unknown_price_is_named_by_its_row():
    found = judged(with_quote(full(), replace(price(), unit_price=None)))
    assert found["money.price-known:part/bolt"].missing == ("prices/bolt-way/1/unit_price",)
    assert found["money.margin:sells/box"].verdict is Verdict.UNCHECKED
    assert found["money.break-even:line/trial"].verdict is Verdict.UNCHECKED


def test_more_boxes_to_break_even_than_assumed_fail():
    found = judged(bolts(development=usd(8080)))["money.break-even:line/trial"]
    assert (found.verdict, found.measured.value, found.limit.value) == (Verdict.FAILS, 101, 100)


def test_a_loss_that_returned_at_the_orders_assumed_fails():
    line = with_quote(bolts(development=usd(800)), price(), price(amount=48, at=200))
    found = judged(line)["money.break-even:line/trial"]
    assert found.measured.value == 10
    assert found.verdict is Verdict.FAILS
    assert "again" in found.message.template


def foreign(spread, development=7900):
    """100 boxes that leave 80 each, 20 of cost in a currency with a spread."""
    line = with_quote(
        bolts(development=usd(development)),
        replace(price(), unit_price=Money(Fraction(72), "CNY")),
    )
    return replace(line, rates={"CNY": rate("CNY", "7.2", spread)})


@pytest.mark.parametrize(
    ("spread", "verdict"),
    [("0", Verdict.HOLDS), ("0.04", Verdict.HOLDS), ("0.06", Verdict.DOUBTFUL)],
)
def test_a_spread_that_reaches_zero_makes_margin_line_and_rate_doubtful(spread, verdict):
    # The profit is 100 and the spread moves 2,000 of it.
    found = verdicts(foreign(spread))
    assert found["money.rate:rate/CNY"] is verdict
    assert found["money.margin:sells/box"] is verdict
    assert found["money.break-even:line/trial"] is verdict


def test_a_missing_rate_is_unchecked_and_named():
    found = judged(replace(foreign("0"), rates={}))["money.rate:rate/CNY"]
    assert (found.verdict, found.missing) == (Verdict.UNCHECKED, ("rates/CNY/per_unit",))


def test_every_finding_that_does_not_hold_says_what_to_do():
    lines = [
        with_quote(full(), minimum=5000),
        with_quote(full(), valid_until=None),
        with_quote(full(), valid_until=date(2026, 1, 1)),
        replace(full(), prices=()),
        replace(full(), sells={"box": sold(amount=None)}),
        foreign("0.5"),
        replace(foreign("0"), rates={}),
    ]
    bad = [f for line in lines for f in judged(line).values() if f.verdict is not Verdict.HOLDS]
    assert len(bad) > 15
    assert [f.id for f in bad if not f.remedy] == []
    assert [f.id for f in bad if f.verdict is Verdict.UNCHECKED and not f.missing] == []


def test_unknown_orders_are_named_by_every_box_that_shares_a_part():
    line = shared_tool()
    other = sold("other")
    line = replace(
        line,
        sells=line.sells | {"other": other},
        contents=(*line.contents, replace(line.contents[0], sells="other", part="oak")),
    )
    found = judged(line)
    assert found["money.margin:sells/box"].missing == ("orders/other/quantity",)
    assert found["money.break-even:line/trial"].verdict is Verdict.UNCHECKED


def test_without_orders_a_margin_says_that_orders_are_what_it_lacks():
    line = full()
    line = replace(line, orders={"box": replace(line.orders["box"], quantity=0)})
    found = judged(line)["money.margin:sells/box"]
    assert (found.verdict, found.missing) == (Verdict.UNCHECKED, ("orders/box/quantity",))


def test_a_box_without_a_price_above_zero_has_no_share_to_judge():
    line = full()
    found = judged(replace(line, sells={"box": replace(line.sells["box"], price=usd(0))}))
    margin = found["money.margin:sells/box"]
    assert (margin.verdict, margin.missing) == (Verdict.UNCHECKED, ("editions/box/price",))
    assert margin.remedy is not None


@pytest.mark.parametrize("table", ["tooling", "development"])
def test_an_unknown_fixed_cost_leaves_the_margin_unchecked_and_is_named(table):
    tooling = table == "tooling"
    line = with_quote(full(), tooling=None) if tooling else full()
    line = line if tooling else replace(line, money=replace(line.money, development=None))
    found = judged(line)["money.margin:sells/box"]
    name = "ways/bolt-way/tooling" if tooling else "line/line/money.development"
    assert (found.verdict, found.missing) == (Verdict.UNCHECKED, (name,))
    assert found.message.values["margin"] == usd("24.4")


def test_a_loss_that_returns_for_less_than_a_box_is_not_put_into_words():
    line = bolts(development=usd(800))
    assert answer(money_of(line)).break_even.losses_after
    message = judged(line)["money.break-even:line/trial"].message
    assert "again" not in message.template


@pytest.mark.parametrize(
    ("amounts", "verdict"),
    [
        pytest.param((1200, 11, 10), Verdict.DOUBTFUL, id="a hundred times"),
        pytest.param((12, 11, "0.1"), Verdict.DOUBTFUL, id="a hundredth"),
        pytest.param((300, 11, 10), Verdict.HOLDS, id="28.6 times"),
        pytest.param((12, 6), Verdict.HOLDS, id="half"),
    ],
)
def test_a_price_far_from_the_others_of_its_quote_is_asked_about(amounts, verdict):
    rows = [price(amount=amount, at=1 + 100 * i) for i, amount in enumerate(amounts)]
    found = [f for f in judged(with_quote(full(), *rows)).values() if f.rule == "odd-price"]
    assert [finding.verdict for finding in found] == [verdict]
    subject = ("way", "bolt-way") if verdict is Verdict.DOUBTFUL else ("line", "trial")
    assert (found[0].subject.kind, found[0].subject.id) == subject


def test_a_quote_of_one_price_is_compared_with_nothing():
    assert not [id_ for id_ in judged(full()) if "odd-price" in id_]
