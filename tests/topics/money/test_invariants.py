"""What must hold of any line's money, whatever its numbers."""

from dataclasses import replace
from fractions import Fraction
from math import ceil

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from sixwright.kernel.currency import Money, round_half_even, stated_parts
from sixwright.topics.money.as_json import as_json
from sixwright.topics.money.break_even import break_even, first_without_loss
from sixwright.topics.money.compute import answer, even_with_curve
from sixwright.topics.money.line_sums import sheet
from topics.builders import money_of, part, price, way
from topics.money.lines import CURRENCIES, lines, plain_profit, shuffled

MANY = settings(max_examples=60, deadline=None)


def invoiced(line):
    """What the makers invoice for pieces, from the quotes as written: pooled order, shared tool.

    Of parts that share a tool this only uses that what is ordered of each adds up to the pool.
    """
    found = answer(money_of(line))
    bills = {}
    for part_id, money in found.parts.items():
        if not money.need:
            continue
        made = line.ways[line.parts[part_id].way]
        mates = [
            p
            for p, m in found.parts.items()
            if m.need and (p == part_id or (m.tool and m.tool == made.tool))
        ]
        total = sum(found.parts[mate].order for mate in mates)
        wanted = sum(ceil(found.parts[m].need * (1 + line.money.spares)) for m in mates)
        assert total == max(wanted, *(line.ways[line.parts[m].way].minimum for m in mates))
        stairs = sorted(
            (b.from_quantity, b.unit_price.amount) for b in line.prices if b.way == made.id
        )
        unit = ([each for at, each in stairs if at <= total] or [stairs[0][1]])[-1]
        bill = money.order * unit / made.yield_share / CURRENCIES[made.currency]
        bills[made.maker] = bills.get(made.maker, Fraction(0)) + bill
    return bills


@MANY
@given(lines())
def test_what_the_boxes_cost_together_is_what_the_makers_invoice_together(line):
    found = answer(money_of(line))
    bills = invoiced(line)
    charged = [line.orders[s].quantity * box.parts for s, box in found.sells.items()]
    assert sum(charged) == sum(bills.values())
    stated = [round_half_even(sum(stated_parts(amounts, places=2)) * 100)
              for amounts in (charged, list(bills.values()))]  # fmt: skip
    assert stated[0] == stated[1]


@MANY
@given(lines())
def test_profit_and_cash_add_up(line):
    found = answer(money_of(line))
    sales = sum(line.orders[s].quantity * line.sells[s].price.amount for s in line.sells)
    landed = sum(line.orders[s].quantity * box.landed for s, box in found.sells.items())
    assert found.profit == sales - landed - found.fixed
    after = sum(
        line.orders[s].quantity * b.margin_after_fixed_share for s, b in found.sells.items()
    )
    assert found.profit == after
    assert found.cash_asked == found.fixed + sum(p.cost for p in found.parts.values())


@MANY
@given(lines(), st.randoms(use_true_random=False))
def test_permuting_rows_makers_or_boxes_changes_nothing(line, chance):
    def order(rows):
        return chance.sample(rows, len(rows))

    assert as_json(answer(money_of(shuffled(line, order)))) == as_json(answer(money_of(line)))


@MANY
@given(lines())
def test_doubling_a_rates_unit_and_all_its_prices_changes_nothing(line):
    def twice(money):
        return money * 2 if money is not None and money.currency == "CNY" else money

    other = replace(
        line,
        ways={w.id: replace(w, tooling=twice(w.tooling)) for w in line.ways.values()},
        prices=tuple(replace(p, unit_price=twice(p.unit_price)) for p in line.prices),
        rates={c: replace(r, per_unit=r.per_unit * (2 if c == "CNY" else 1))
               for c, r in line.rates.items()},
        money=replace(line.money, labour_rate_h=twice(line.money.labour_rate_h)),
    )  # fmt: skip
    assert as_json(answer(money_of(other))) == as_json(answer(money_of(line)))


@MANY
@given(lines())
def test_a_part_that_no_box_holds_costs_nothing(line):
    other = replace(
        line,
        parts=line.parts | {"idle": part("idle")},
        ways=line.ways
        | {"idle-way": way("idle", tooling=Money(Fraction(9999), "USD"), tool="die", minimum=50)},
        prices=(*line.prices, price("idle-way")),
    )
    before, after = answer(money_of(line)), answer(money_of(other))
    assert after.parts["idle"].cost == after.parts["idle"].tooling == 0
    rest = {p: m for p, m in after.parts.items() if p != "idle"}
    assert replace(after, parts=rest) == before


@MANY
@given(lines(), st.data())
def test_an_unknown_price_makes_unknown_exactly_what_rests_on_it(line, data):
    lost = data.draw(st.sampled_from(sorted(line.parts)))
    hit = {row.sells for row in line.contents if row.part == lost and row.quantity}
    prices = tuple(
        replace(p, unit_price=None) if p.way == line.parts[lost].way else p for p in line.prices
    )
    before, after = (answer(money_of(x)) for x in (line, replace(line, prices=prices)))
    assert after.fixed == before.fixed
    for part_id, money in after.parts.items():
        assert part_id == lost or money == before.parts[part_id]
    for sells, box in after.sells.items():
        if sells in hit:
            assert box.parts is box.margin is box.margin_after_fixed_share is None
            assert (box.minutes, box.labour, box.freight, box.fees) == (
                before.sells[sells].minutes, before.sells[sells].labour,
                before.sells[sells].freight, before.sells[sells].fees)  # fmt: skip
            assert any(line.parts[lost].way in name for name in box.missing)
        else:
            assert box == before.sells[sells]
    assert (after.profit is None) == (after.cash_asked is None) == bool(hit)
    assert after.break_even.known != bool(hit)


@MANY
@given(lines())
def test_unknown_tooling_leaves_the_margins_known(line):
    name = next(iter(line.parts))
    ways = {w.id: replace(w, tooling=None) if w.part == name else w for w in line.ways.values()}
    before, after = (answer(money_of(x)) for x in (line, replace(line, ways=ways)))
    assume(before.parts[name].need)
    assert after.fixed is after.profit is None
    assert {s: b.margin for s, b in after.sells.items()} == {
        s: b.margin for s, b in before.sells.items()
    }


def test_an_unknown_rate_makes_unknown_what_is_paid_in_it():
    from topics.builders import bolts

    line = bolts(labour_rate_h=Money(Fraction(84), "CNY"))
    sold = replace(line.sells["box"], assembly_minutes=Fraction(30))
    box = answer(money_of(replace(line, sells={"box": sold}))).sells["box"]
    assert box.margin is None
    assert box.parts == 20
    assert box.missing == ("rates/CNY/per_unit",)
    none = answer(money_of(line))  # no minutes cost nothing at whatever rate
    assert none.sells["box"].margin == 80
    assert none.sells["box"].missing == ()
    assert none.profit is not None
    assert none.break_even.known


@settings(max_examples=80, deadline=None)
@given(lines(alike=True, most_orders=30), st.data())
def test_break_even_agrees_with_a_plain_profit_at_any_size(line, data):
    boxes = sum(order.quantity for order in line.orders.values())
    found = answer(money_of(line)).break_even
    stretches = [(Fraction(0), found.quantity), *found.losses_after]
    edges = [edge for stretch in stretches for edge in stretch if edge is not None]
    far = max([*edges, Fraction(boxes)]) * 2
    near = [edge * f for edge in edges for f in (Fraction(999, 1000), Fraction(1001, 1000))]
    drawn = data.draw(st.lists(st.fractions(Fraction(1, 100), 1), min_size=10, max_size=10))
    for quantity in [*near, *(far * share for share in drawn)]:
        if quantity in edges or quantity <= 0:
            continue
        loss = any(a < quantity and (b is None or quantity < b) for a, b in stretches)
        assert loss == (plain_profit(line, quantity / boxes) < 0), quantity


@MANY
@given(lines(alike=True))
def test_the_curve_is_the_plain_profit_at_each_size(line):
    boxes = sum(order.quantity for order in line.orders.values())
    inputs = money_of(line)
    points = even_with_curve(inputs, answer(inputs).break_even).curve
    at = {}
    for quantity, profit in points[1:]:  # the first point lies just above no boxes at all
        at.setdefault(quantity, profit)  # of a pair, the first is at the step, the second after
    assert all(profit == plain_profit(line, q / boxes) for q, profit in at.items())


@MANY
@given(lines(alike=True))
def test_the_profit_is_the_plain_profit(line):
    assert answer(money_of(line)).profit == plain_profit(line, Fraction(1))


@pytest.mark.parametrize("factor", [2, 10])
def test_money_scales_with_every_price(factor):
    from topics.builders import bolts, usd

    line = bolts(development=usd(500))
    other = replace(
        line,
        sells={"box": replace(line.sells["box"], price=usd(100 * factor))},
        prices=(price(amount=10 * factor),),
        money=replace(line.money, development=usd(500 * factor)),
    )
    small, large = answer(money_of(line)), answer(money_of(other))
    assert large.profit == factor * small.profit
    assert large.break_even.quantity == small.break_even.quantity


@settings(max_examples=100, deadline=None)
@given(lines())
def test_the_first_size_without_a_loss_is_that_of_all_stretches(line):
    inputs = money_of(line)
    stands = sheet(inputs)
    assert first_without_loss(inputs, stands) == break_even(inputs, stands).quantity
