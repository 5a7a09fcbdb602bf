"""Small lines for tests, built by hand: every number here is invented."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

from sixwright.kernel.currency import Money
from sixwright.line.boxes import Content, Look, Order, Part, Sold
from sixwright.line.making import MoneyRules, PriceBreak, Rate, Way
from sixwright.project.model import Project
from sixwright.topics.lineup.topic import LINEUP
from sixwright.topics.money import model as money
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.review import review

TODAY = date(2026, 9, 14)


def usd(amount):
    return None if amount is None else Money(Fraction(str(amount)), "USD")


FREE = MoneyRules(
    development=usd(0),
    spares=Fraction(0),
    overhead=Fraction(0),
    duty=Fraction(0),
    reserve=Fraction(0),
    margin_least=Fraction(0),
    surplus_most=usd(1000),
    labour_rate_h=usd(0),
    fee_share=Fraction(0),
    fee_each=usd(0),
    freight_per_m3=usd(0),
    freight_volume_factor=Fraction(1),
    freight_each=usd(0),
)  # nothing but the parts costs anything


def part(id_="bolt", kind="prop", **rest):
    """A part of which it is stated that nothing of it hurts, unless told otherwise."""
    rest.setdefault("hazards", ("none",))
    return Part(id_, kind, way=rest.pop("way", f"{id_}-way"), name=rest.pop("name", ""), **rest)


def way(part_="bolt", **rest):
    known = {
        "maker": "mill",
        "currency": "USD",
        "tooling": usd(0),
        "minimum": 0,
        "minutes": Fraction(0),
        "valid_until": date(2027, 1, 1),
    }
    return Way(rest.pop("id", f"{part_}-way"), part_, **(known | rest))


def price(way_="bolt-way", amount=10, at=1):
    return PriceBreak(way_, at, usd(amount))


def sold(id_="box", amount=100, **rest):
    known = {"assembly_minutes": Fraction(0), "box_mm": (Fraction(0),) * 3, "figures": 1}
    return Sold(id_, rest.pop("name", ""), price=usd(amount), **(known | rest))


def project(
    *, parts, sells, held, orders, ways=(), prices=(), rules=FREE, rates=(), looks=(), records=None
):
    """A line; `held` maps box to part to pieces, `orders` box to quantity."""
    return Project(
        id="trial",
        name="Trial",
        scale=6,
        currency="USD",
        locale="en-GB",
        seed=1,
        looks={look: Look(look, look) for look in looks},
        sells={s.id: s for s in sells},
        parts={p.id: p for p in parts},
        contents=tuple(Content(s, p, n) for s, row in held.items() for p, n in row.items()),
        orders={s: Order(s, n) for s, n in orders.items()},
        ways={w.id: w for w in ways},
        prices=tuple(prices),
        rates={r.currency: r for r in rates},
        money=rules,
        records=records or {},
    )


def bolts(**rules):
    """One part in one box: 100 boxes with 2 bolts each, at 10 a bolt and 100 a box."""
    return project(
        parts=[part()],
        sells=[sold()],
        held={"box": {"bolt": 2}},
        orders={"box": 100},
        ways=[way()],
        prices=[price()],
        rules=replace(FREE, **rules),
    )


def lineup_of(line):
    found = review(line, today=TODAY, only=("lineup",))
    return found.inputs_of(LINEUP), found.of(LINEUP)


def money_of(line, today=TODAY) -> money.Inputs:
    return review(line, today=today, only=("money",)).inputs_of(MONEY)


def rate(currency, per_unit, spread=0):
    return Rate(currency, Fraction(str(per_unit)), Fraction(str(spread)))


def by_id(findings):
    return {finding.id: finding for finding in findings}
