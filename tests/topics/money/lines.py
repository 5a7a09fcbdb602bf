"""Random lines for property tests, and a plain second computation of profit at any size."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from math import ceil

from hypothesis import strategies as st

from sixwright.kernel.currency import Money
from sixwright.line.making import MoneyRules, PriceBreak, Way
from topics.builders import money_of, part, project, rate, sold

CURRENCIES = {"USD": Fraction(1), "CNY": Fraction(36, 5), "EUR": Fraction(909, 1000)}


def cents(most):
    return st.integers(0, most).map(lambda count: Fraction(count, 100))


def shares(most_percent):
    return st.integers(0, most_percent).map(lambda count: Fraction(count, 100))


@st.composite
def ways_of(draw, part_id, tool=None):
    currency = draw(st.sampled_from(sorted(CURRENCIES)))
    steps = sorted(draw(st.sets(st.integers(1, 400), min_size=1, max_size=3)))
    made = Way(
        f"{part_id}-way",
        part_id,
        draw(st.sampled_from(["mill", "caster", "press"])),
        currency=currency,
        tool=tool,
        tooling=Money(draw(cents(50_000)), currency),
        minimum=draw(st.integers(0, 300)),
        yield_share=draw(st.sampled_from([Fraction(1), Fraction(41, 50)])),
        minutes=draw(st.integers(0, 60).map(Fraction)),
        valid_until=date(2027, 1, 1),
    )
    prices = [PriceBreak(made.id, at, Money(draw(cents(3_000)), currency)) for at in steps]
    return made, prices


def alike_quotes(made):
    """The quotes with those of one tool made equal to the first of them."""
    first = next(((way, prices) for way, prices in made if way.tool), None)
    if first is None:
        return made
    return [
        (
            replace(first[0], id=way.id, part=way.part),
            [replace(price, way=way.id) for price in first[1]],
        )
        if way.tool
        else (way, prices)
        for way, prices in made
    ]


@st.composite
def lines(draw, *, pooled=True, alike=False, most_orders=120):
    """A line of one to five parts and one to three boxes, with nothing unknown.

    `pooled` lets parts share a tool; `alike` gives parts of one tool one quote.
    """
    names = [f"p{i}" for i in range(draw(st.integers(1, 5)))]
    tools = [draw(st.sampled_from([None, "die"])) if pooled else None for _ in names]
    made = [draw(ways_of(name, tool)) for name, tool in zip(names, tools, strict=True)]
    if alike:
        made = alike_quotes(made)
    boxes = [f"b{i}" for i in range(draw(st.integers(1, 3)))]
    held = {box: {name: draw(st.integers(0, 4)) for name in names} for box in boxes}
    rules = MoneyRules(
        development=Money(draw(cents(200_000)), "USD"),
        spares=draw(shares(10)),
        overhead=draw(shares(20)),
        duty=draw(shares(20)),
        reserve=draw(shares(5)),
        margin_least=draw(shares(10)),
        surplus_most=Money(Fraction(1000), "USD"),
        labour_rate_h=Money(draw(cents(9_000)), "CNY"),
        fee_share=draw(shares(5)),
        fee_each=Money(draw(cents(50)), "USD"),
        freight_per_m3=Money(draw(cents(30_000)), "USD"),
        freight_volume_factor=Fraction(6, 5),
        freight_each=Money(draw(cents(200)), "USD"),
    )
    sells = [
        sold(
            box,
            draw(cents(50_000)),
            assembly_minutes=Fraction(draw(st.integers(0, 90))),
            box_mm=(Fraction(300), Fraction(200), Fraction(90)),
            figures=draw(st.integers(1, 2)),
        )
        for box in boxes
    ]
    return project(
        parts=[part(name) for name in names],
        sells=sells,
        held=held,
        orders={box: draw(st.integers(1, most_orders)) for box in boxes},
        ways=[way for way, _ in made],
        prices=[price for _, prices in made for price in prices],
        rules=rules,
        rates=[rate("CNY", "7.2"), rate("EUR", "0.909")],
    )


def shuffled(line, order):
    """The same line with every table in another order."""

    def mixed(table):
        names = list(table)
        return {name: table[name] for name in order(names)}

    return replace(
        line,
        parts=mixed(line.parts),
        sells=mixed(line.sells),
        ways=mixed(line.ways),
        orders=mixed(line.orders),
        rates=mixed(line.rates),
        contents=tuple(order(list(line.contents))),
        prices=tuple(order(list(line.prices))),
    )


def plain_profit(line, k):
    """Profit with all orders times k, written afresh from the definitions, without the topic.

    Only for lines without unknowns, in which parts of one tool have one quote.
    """
    rules = line.money

    def usd(money):
        return money.amount / CURRENCIES[money.currency]

    needs = {}
    for row in line.contents:
        pieces = k * line.orders[row.sells].quantity * row.quantity
        needs[row.part] = needs.get(row.part, 0) + pieces
    paid, tools, wanted, quotes = Fraction(0), {}, {}, {}
    for part_id, need in needs.items():
        if need:
            way = line.ways[line.parts[part_id].way]
            bought_by = way.tool or part_id
            quotes[bought_by] = way
            wanted[bought_by] = wanted.get(bought_by, 0) + ceil(need * (1 + rules.spares))
    for bought_by, buy in wanted.items():
        way = quotes[bought_by]
        order = max(buy, way.minimum)
        stairs = sorted(
            (b.from_quantity, usd(b.unit_price)) for b in line.prices if b.way == way.id
        )
        fitting = [unit for at, unit in stairs if at <= order] or [stairs[0][1]]
        paid += order * fitting[-1] / way.yield_share
        tools[bought_by] = usd(way.tooling)
    profit = -sum(tools.values(), usd(rules.development))
    profit -= paid * (1 + rules.overhead) * (1 + rules.duty)
    for sells, sold_ in line.sells.items():
        minutes = sold_.assembly_minutes
        for row in line.contents:
            if row.sells == sells and row.quantity:
                minutes += row.quantity * line.ways[line.parts[row.part].way].minutes
        length, width, height = sold_.box_mm
        price = usd(sold_.price)
        each = price * (1 - rules.fee_share - rules.reserve) - usd(rules.fee_each)
        each -= usd(rules.freight_each)
        volume = length * width * height / 10**9
        each -= volume * rules.freight_volume_factor * usd(rules.freight_per_m3)
        hours = minutes / 60
        each -= hours * usd(rules.labour_rate_h) * (1 + rules.overhead) * (1 + rules.duty)
        profit += k * line.orders[sells].quantity * each
    return profit


def inputs_of(line):
    return money_of(line)
