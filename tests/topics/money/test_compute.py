"""The definitions of docs/topics/money.md, one at a time; numbers worked out by hand."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from sixwright.kernel.currency import Money
from sixwright.topics.money.as_json import as_json
from sixwright.topics.money.compute import answer, rival_ways
from topics.builders import (
    bolts,
    money_of,
    part,
    price,
    project,
    rate,
    sold,
    usd,
    way,
)


def with_quote(line, *prices, **rest):
    ways = {"bolt-way": replace(line.ways["bolt-way"], **rest)}
    return replace(line, ways=ways, prices=prices or line.prices)


def bolt(line):
    return answer(money_of(line)).parts["bolt"]


def box(line):
    return answer(money_of(line)).sells["box"]


def test_a_tenth_of_two_hundred_is_twenty_and_not_twenty_one():
    # In floats 200 × 1.1 is 220.00000000000003, which rounds up to 221.
    assert bolt(bolts(spares=Fraction("0.1"))).buy == 220


def test_spares_round_up_to_a_whole_piece():
    assert bolt(bolts(spares=Fraction("0.031"))).buy == 207


@pytest.mark.parametrize(
    ("minimum", "order", "surplus"), [(0, 200, 0), (200, 200, 0), (500, 500, 300)]
)
def test_the_order_is_no_less_than_the_minimum(minimum, order, surplus):
    money = bolt(with_quote(bolts(), minimum=minimum))
    assert (money.order, money.surplus, money.surplus_cost) == (order, surplus, surplus * 10)
    assert money.cost == order * 10


@pytest.mark.parametrize(
    ("order", "unit"),
    [
        pytest.param(49, 10, id="below the first break: the first price"),
        pytest.param(50, 10, id="at the first"),
        pytest.param(299, 10, id="just below the next"),
        pytest.param(300, 7, id="at the next"),
        pytest.param(5000, 7, id="far above"),
    ],
)
def test_the_price_is_that_of_the_break_at_or_below_the_order(order, unit):
    line = with_quote(bolts(), price(amount=7, at=300), price(amount=10, at=50), minimum=order)
    orders = {"box": replace(line.orders["box"], quantity=10)}
    assert bolt(replace(line, orders=orders)).unit_price == unit


def test_a_piece_that_passes_costs_the_pieces_that_did_not():
    assert bolt(with_quote(bolts(), yield_share=Fraction("0.8"))).unit_price == Fraction("12.5")


def test_a_foreign_price_is_divided_by_its_rate():
    foreign = replace(price(), unit_price=Money(Fraction(36), "CNY"))
    line = replace(with_quote(bolts(), foreign), rates={"CNY": rate("CNY", "7.2")})
    assert bolt(line).unit_price == 5


def test_a_box_takes_its_pieces_share_of_spares_and_surplus():
    # 200 needed, 500 bought at 10: each of the 200 carries 25.
    assert box(with_quote(bolts(), minimum=500)).parts == 50


def full():
    """100 boxes at 100: 2 bolts at 10, 6 minutes a bolt and 18 a box, at 60 an hour."""
    line = bolts(
        overhead=Fraction("0.1"),
        duty=Fraction("0.2"),
        reserve=Fraction("0.03"),
        labour_rate_h=usd(60),
        fee_share=Fraction("0.029"),
        fee_each=usd("0.30"),
        freight_per_m3=usd(200),
        freight_volume_factor=Fraction("1.2"),
        freight_each=usd(1),
        development=usd(800),
    )
    size = (Fraction(500), Fraction(200), Fraction(100))
    sells = {"box": replace(line.sells["box"], assembly_minutes=Fraction(18), box_mm=size)}
    return replace(with_quote(line, minutes=Fraction(6), tooling=usd(200)), sells=sells)


def test_where_the_money_of_a_box_goes():
    money = box(full())
    assert (money.parts, money.minutes, money.labour, money.overhead) == (20, 30, 30, 5)
    assert (money.unit_cost, money.duty) == (55, 11)
    assert money.freight == Fraction("3.4")  # 0.01 m³ × 1.2 × 200 + 1
    assert (money.fees, money.reserve) == (Fraction("3.2"), 3)
    assert money.landed == Fraction("75.6")
    assert (money.margin, money.margin_share) == (Fraction("24.4"), Fraction("0.244"))
    assert (money.fixed_share, money.margin_after_fixed_share) == (10, Fraction("14.4"))


def test_the_line_adds_up():
    found = answer(money_of(full()))
    assert (found.tooling, found.development, found.fixed) == (200, 800, 1000)
    assert found.profit == 1440
    assert found.cash_asked == 3000


def test_the_least_price_leaves_exactly_the_least_margin():
    line = full()
    line = replace(line, money=replace(line.money, margin_least=Fraction("0.05")))
    least = box(line).least_price
    sells = {"box": replace(line.sells["box"], price=Money(least, "USD"))}
    again = box(replace(line, sells=sells))
    assert again.margin_after_fixed_share == again.price * Fraction("0.05")


def test_fixed_costs_are_shared_by_figures():
    line = full()
    sells = {"box": line.sells["box"], "pair": replace(line.sells["box"], id="pair", figures=2)}
    orders = {
        "box": line.orders["box"],
        "pair": replace(line.orders["box"], sells="pair", quantity=200),
    }
    found = answer(money_of(replace(line, sells=sells, orders=orders)))
    assert (found.sells["box"].fixed_share, found.sells["pair"].fixed_share) == (2, 4)


def shared_tool(**rest):
    """Two parts, 100 and 200 wanted, from one tool of 90 with a common minimum of 600."""
    quote = {"tool": "die", "tooling": usd(90), "minimum": 600, "currency": "USD"} | rest
    return project(
        parts=[part("ash"), part("oak")],
        sells=[sold()],
        held={"box": {"ash": 1, "oak": 2}},
        orders={"box": 100},
        ways=[way("ash", **quote), way("oak", **quote)],
        prices=[
            price("ash-way", 3),
            price("ash-way", 2, 600),
            price("oak-way", 3),
            price("oak-way", 2, 600),
        ],
    )


def test_a_shared_tool_is_paid_once_and_pools_quantities():
    found = answer(money_of(shared_tool()))
    assert found.fixed == 90
    assert [found.parts[p].order for p in ("ash", "oak")] == [200, 400]
    assert [found.parts[p].unit_price for p in ("ash", "oak")] == [2, 2]
    assert sum(p.cost for p in found.parts.values()) == 1200
    assert sum(p.tooling for p in found.parts.values()) == 90


def test_ways_with_tools_of_their_own_do_not_pool():
    found = answer(money_of(shared_tool(tool=None)))
    assert found.fixed == 180
    assert [found.parts[p].order for p in ("ash", "oak")] == [600, 600]


def test_rival_ways_are_set_side_by_side():
    line = with_quote(bolts(), minimum=300)
    ways = line.ways | {"turned": way(id="turned", tooling=usd(400), minutes=Fraction(30))}
    line = replace(
        line,
        ways=ways,
        prices=(*line.prices, price("turned", 4)),
        money=replace(line.money, labour_rate_h=usd(2)),
    )
    (rivalry,) = rival_ways(money_of(line))
    stands, other = rivalry.options
    assert (rivalry.parts, stands.chosen, other.chosen) == (("bolt",), True, False)
    assert (stands.unit_cost, stands.cost, stands.surplus_cost) == (15, 3000, 1000)
    assert (other.unit_cost, other.cost, other.tooling) == (4, 800, 400)
    # 2 × (15 − 4) less 2 × half an hour at 2: 20 a box more, 100 boxes, less the tool.
    assert other.margin_changes == {"box": 20}
    assert other.profit_change == 100 * 20 - 400


def test_rivals_that_share_a_tool_are_compared_together():
    line = shared_tool(tool=None)
    rival = {"tool": "mould", "tooling": usd(500), "minimum": 0}
    ways = line.ways | {f"{p}-cast": way(p, id=f"{p}-cast", **rival) for p in ("ash", "oak")}
    prices = (*line.prices, price("ash-cast", 1), price("oak-cast", 1))
    (rivalry,) = rival_ways(money_of(replace(line, ways=ways, prices=prices)))
    assert rivalry.parts == ("ash", "oak")
    assert rivalry.options[1].tooling == 500
    assert rivalry.options[1].cost == 300


def test_break_even_walks_over_a_break_where_the_loss_returns():
    # 50 a box, one bolt at 30; from 100 pieces on the price jumps to 48 (a maker's second shift).
    line = project(
        parts=[part()],
        sells=[sold(amount=50)],
        held={"box": {"bolt": 1}},
        orders={"box": 200},
        ways=[way(tooling=usd(1000))],
        prices=[price(amount=30), price(amount=48, at=100)],
    )
    even = answer(money_of(line)).break_even
    # 1000 ÷ (50 − 30) = 50; at 100 pieces the line loses 800 and needs 500 pieces at 2 each.
    assert even.quantity == 50
    longest = max(even.losses_after, key=lambda stretch: stretch[1] - stretch[0])
    # From just above 99 boxes the hundredth bolt is bought, and all cost 48.
    assert longest == (99, 500)


def test_break_even_may_be_a_single_point_between_two_steps():
    # Two boxes of x (50, a bolt at 30) to one of y (20, a nut at 20); 90 fixed. At k = 2.5 there
    # are 5 bolts and 3 nuts: 2.5 × 120 − 150 − 60 − 90 = 0. Just above, the sixth bolt is bought.
    line = project(
        parts=[part(), part("nut")],
        sells=[sold("x", 50), sold("y", 20)],
        held={"x": {"bolt": 1}, "y": {"nut": 1}},
        orders={"x": 2, "y": 1},
        ways=[way(tooling=usd(90)), way("nut")],
        prices=[price(amount=30), price("nut-way", 20)],
    )
    even = answer(money_of(line)).break_even
    assert even.quantity == Fraction(5, 2) * 3
    assert even.losses_after[0] == (Fraction(5, 2) * 3, Fraction(11, 4) * 3)


def test_a_line_that_never_earns_its_costs_back_says_so():
    line = with_quote(bolts(), price(amount=60))
    even = answer(money_of(line)).break_even
    assert (even.quantity, even.known, even.losses_after) == (None, True, ())


def test_a_loss_for_ever_has_no_end():
    line = with_quote(bolts(), price(amount=30), price(amount=60, at=200))
    even = answer(money_of(line)).break_even
    assert even.quantity is not None
    assert even.losses_after[-1][1] is None


def test_a_rates_spread_widens_the_margin_by_what_is_paid_in_it():
    foreign = replace(price(), unit_price=Money(Fraction(72), "CNY"))
    line = replace(with_quote(bolts(), foreign), rates={"CNY": rate("CNY", "7.2", "0.05")})
    money = box(line)
    assert (money.margin, money.margin_interval.low, money.margin_interval.high) == (80, 79, 81)


def test_two_spreads_add_as_root_sum_of_squares():
    line = shared_tool(tool=None, minimum=0, tooling=usd(0))
    prices = (
        replace(price("ash-way"), unit_price=Money(Fraction(30), "CNY")),
        replace(price("oak-way"), unit_price=Money(Fraction(20), "EUR")),
    )
    rates = {"CNY": rate("CNY", 1, "0.1"), "EUR": rate("EUR", 1, "0.1")}
    money = box(replace(line, prices=prices, rates=rates))
    # 3 and 4 a box: together 5.
    assert money.margin_interval.high - money.margin == pytest.approx(5)


def test_an_expired_quote_is_named_where_it_counts():
    line = with_quote(bolts(), valid_until=date(2026, 9, 13))
    found = answer(money_of(line))
    assert found.expired == found.sells["box"].expired == ("bolt-way",)
    last_day = with_quote(bolts(), valid_until=date(2026, 9, 14))
    assert answer(money_of(last_day)).expired == ()


def test_the_json_is_decimal_text_and_null():
    found = as_json(answer(money_of(replace(full(), prices=()))))
    assert found["parts"]["bolt"]["unit_price"] is None
    assert found["sells"]["box"]["margin"] is None
    assert found["sells"]["box"]["labour"] == "30"
    assert found["break_even"] == {"quantity": None, "of": "boxes", "losses_after": []}
