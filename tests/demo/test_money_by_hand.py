"""The demo line's money, computed a second time in decimal arithmetic from the folder's text.

It reads the CSV and TOML files itself and imports nothing of the project but what it tests; the
definitions are typed afresh from docs/topics/money.md.
"""

import csv
import tomllib
from datetime import date
from decimal import ROUND_CEILING, Decimal, getcontext
from pathlib import Path

import pytest

from sixwright.storage.cache import TOOLS
from sixwright.storage.folder import read
from sixwright.topics.money.as_json import as_json
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.review import review

DEMO = Path(__file__).resolve().parents[2] / "examples/sluice-keeper"
TO = Decimal("0.000001")  # far below a cent; both sides carry at least twelve places
getcontext().prec = 40


def table(name):
    with (DEMO / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def answered():
    found = review(read(DEMO).project, today=date(2026, 9, 14), tools=TOOLS)
    return as_json(found.of(MONEY))


@pytest.fixture(scope="module")
def toml():
    text = (DEMO / "line.toml").read_text(encoding="utf-8")
    return tomllib.loads(text, parse_float=Decimal)


@pytest.fixture(scope="module")
def by_hand(toml):
    return compute(toml, 1)


def amount(text):
    return Decimal(text.split()[0].replace(",", ""))


def compute(toml, k):
    """Every amount of the line with all orders times k."""
    rules = toml["money"]
    per_usd = {"USD": Decimal(1)} | {r["currency"]: Decimal(r["per_unit"]) for r in toml["rates"]}
    chosen = {row["id"]: row["way"] for row in table("parts.csv")}
    ways = {row["id"]: row for row in table("ways.csv")}
    orders = {row["sells"]: k * Decimal(row["quantity"]) for row in table("orders.csv")}
    inside = {box: {} for box in orders}
    for row in table("contents.csv"):
        inside[row["sells"]][row["part"]] = Decimal(row["quantity"])
    parts, tooling = {}, Decimal(0)
    for part, way_id in chosen.items():
        way = ways[way_id]
        need = sum(orders[box] * held.get(part, 0) for box, held in inside.items())
        if need == 0:
            continue
        buy = (need * (1 + rules["spares"])).to_integral_value(ROUND_CEILING)
        order = max(buy, Decimal(way["minimum"]))
        stairs = sorted(
            (int(row["from_quantity"]), Decimal(row["unit_price"]))
            for row in table("prices.csv")
            if row["way"] == way_id
        )
        quoted = stairs[0][1]
        for at, price in stairs:
            if at <= order:
                quoted = price
        unit = quoted / Decimal(way["yield"]) / per_usd[way["currency"]]
        tool = Decimal(way["tooling"]) / per_usd[way["currency"]]
        tooling += tool
        parts[part] = {
            "need": need, "buy": buy, "order": order, "unit_price": unit, "cost": order * unit,
            "tooling": tool, "surplus": order - buy, "surplus_cost": (order - buy) * unit,
        }  # fmt: skip
    return _boxes(toml, k, (parts, inside, orders, ways, chosen, per_usd, tooling))


def _boxes(toml, k, computed):
    parts, inside, orders, ways, chosen, per_usd, tooling = computed
    rules, boxes = toml["money"], {}
    rate_h = amount(rules["labour"]["rate"]) / per_usd["CNY"]
    fixed = tooling + amount(rules["development"])
    sold = {box["id"]: box for box in (*toml["editions"], *toml["sets"])}
    figures = sum(orders[id_] * box["figures"] for id_, box in sold.items())
    for id_, box in sold.items():
        held = inside[id_]
        cost = sum(n * parts[p]["cost"] / parts[p]["need"] for p, n in held.items())
        minutes = box["assembly_minutes"] + sum(
            n * Decimal(ways[chosen[p]]["minutes"]) for p, n in held.items()
        )
        labour = minutes * rate_h / 60
        overhead = (cost + labour) * rules["overhead"]
        works = cost + labour + overhead
        length, width, height = (Decimal(side) / 1000 for side in box["box_mm"])
        freight = length * width * height * rules["freight"]["volume_factor"]
        freight = freight * amount(rules["freight"]["per_m3"]) + amount(rules["freight"]["each"])
        price = amount(box["price"])
        fees = price * rules["fees"]["share"] + amount(rules["fees"]["each"])
        duty, reserve = works * rules["duty"], price * rules["reserve"]
        landed = works + duty + freight + fees + reserve
        margin = price - landed
        boxes[id_] = {
            "parts": cost, "minutes": minutes, "labour": labour, "overhead": overhead,
            "unit_cost": works, "duty": duty, "freight": freight, "fees": fees,
            "reserve": reserve, "landed": landed, "price": price, "margin": margin,
            "margin_share": margin / price,
            "margin_after_fixed_share": margin - fixed / figures * box["figures"],
        }  # fmt: skip
    profit = sum(orders[id_] * box["margin"] for id_, box in boxes.items()) - fixed
    cash = fixed + sum(part["cost"] for part in parts.values())
    return {"parts": parts, "sells": boxes, "fixed": fixed, "profit": profit, "cash_asked": cash}


def agrees(found, hand):
    return all(abs(Decimal(str(found[name])) - value) < TO for name, value in hand.items())


def test_every_part_agrees(answered, by_hand):
    assert set(answered["parts"]) == set(by_hand["parts"])
    wrong = [p for p, hand in by_hand["parts"].items() if not agrees(answered["parts"][p], hand)]
    assert wrong == []


@pytest.mark.parametrize(
    "box",
    ["muster-watch", "muster-long-watch", "low-water-watch", "low-water-long-watch", "both-tides"],
)
def test_every_amount_of_a_box_agrees(answered, by_hand, box):
    assert set(answered["sells"][box]) == set(by_hand["sells"][box])
    assert agrees(answered["sells"][box], by_hand["sells"][box])


@pytest.mark.parametrize("name", ["fixed", "profit", "cash_asked"])
def test_the_line_agrees(answered, by_hand, name):
    assert abs(Decimal(answered[name]) - by_hand[name]) < TO


def test_the_line_earns_its_costs_back_where_it_says(answered, toml):
    boxes = sum(int(row["quantity"]) for row in table("orders.csv"))
    k = Decimal(answered["break_even"]["quantity"]) / boxes
    step = Decimal("0.000001")
    assert compute(toml, k - step)["profit"] < 0
    assert compute(toml, k + step)["profit"] >= 0


def test_no_loss_returns_at_any_size_looked_at(answered, toml):
    assert answered["break_even"]["losses_after"] == []
    first = Decimal(answered["break_even"]["quantity"]) / 700
    sizes = [first + Decimal(i) * Decimal("0.021") for i in range(1, 60)]
    assert min(compute(toml, k)["profit"] for k in sizes) > 0
    assert max(compute(toml, first * i / 40)["profit"] for i in range(1, 40)) < 0


def test_what_the_line_page_says_by_name(answered):
    """The cape: 220 in boxes, 227 with spares, 600 bought, 4,455.28 USD in spares."""
    cape = answered["parts"]["cape"]
    assert (cape["need"], cape["buy"], cape["order"]) == (220, 227, 600)
    assert round(Decimal(cape["surplus_cost"]), 2) == Decimal("4455.28")
