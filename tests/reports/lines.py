"""Lines made for tests: a small one with a known state, and one of real size."""

from datetime import date
from fractions import Fraction

from sixwright.kernel.currency import Money
from sixwright.line.boxes import KINDS, Announced, Content, Look, Order, Part, Sold
from sixwright.line.making import MoneyRules, PriceBreak, Rate, Way
from sixwright.project.model import Project
from sixwright.workflows.review import review
from sixwright.workflows.reviewed import Review

TODAY = date(2026, 9, 14)


def usd(amount) -> Money:
    return Money(Fraction(str(amount)), "USD")


def cny(amount) -> Money:
    return Money(Fraction(str(amount)), "CNY")


RULES = MoneyRules(
    development=usd(21200),
    spares=Fraction("0.03"),
    overhead=Fraction("0.08"),
    duty=Fraction("0.10"),
    reserve=Fraction("0.03"),
    margin_least=Fraction("0.05"),
    surplus_most=usd(1000),
    labour_rate_h=cny(84),
    fee_share=Fraction("0.032"),
    fee_each=usd("0.30"),
    freight_per_m3=usd(210),
    freight_volume_factor=Fraction("1.2"),
    freight_each=usd("1.20"),
)
BOX = (Fraction(352), Fraction(257), Fraction(90))
NAMES = (
    "Harbour Watch", "Harbour Long Watch", "Saltmarsh Watch", "Saltmarsh Long Watch",
    "Lanternlighter’s Night Watch", "Winter Quay", "Sluicekeeper", "The Whole Flood",
)  # fmt: skip


def real_size(
    *, parts: int = 60, boxes: int = 8, locale: str = "en-GB", gaps: bool = True
) -> Project:
    """A line of so many parts and boxes; every number follows from its place in the list.

    With `gaps` one price and one quote's last day are unknown.
    """
    sells = {}
    for e in range(boxes):
        id_ = f"box-{e}"
        sells[id_] = Sold(
            id_, NAMES[e % len(NAMES)], look="harbour", price=usd(420 + 40 * e),
            assembly_minutes=Fraction(30 + 4 * e), box_mm=BOX, figures=1,
            cap=400 if e == 1 else None,
            public=(Announced("keys", 9),) if e == 0 else (),
        )  # fmt: skip
    made, ways, prices, contents = {}, {}, [], []
    for i in range(parts):
        kind, id_ = KINDS[i % len(KINDS)], f"part-{i:02}"
        way = f"way-{i:02}"
        name = f"{kind.capitalize()} no. {i + 1} <of {parts}> & more"
        made[id_] = Part(
            id_, kind, name=name, way=way, group="keys" if kind == "metal" else None,
            fits=("neck-8",) if kind == "head" else (), takes=("neck-8",) if kind == "body" else (),
            held=("key",) if kind == "metal" else (),
        )  # fmt: skip
        valid = date(2026, 9, 1) if i % 11 == 0 else date(2027, 3, 31)
        ways[way] = Way(
            way, id_, f"Maker {i % 5}", "cast", "CNY", None, cny(1800 + 100 * i),
            300 + 50 * (i % 9),
            Fraction(1), Fraction(i % 6), 30, None if gaps and i == 17 else valid,
        )  # fmt: skip
        prices += [
            PriceBreak(way, 1, cny(Fraction(12 + i, 4))),
            PriceBreak(way, 1200, None if gaps and i == 23 else cny(Fraction(10 + i, 5))),
        ]
        contents += [
            Content(f"box-{e}", id_, 1 + (i * e) % 3, optional=i == 5)
            for e in range(boxes)
            if (i + e) % 4
        ]
    return Project(
        id="flood", name="The Sluicekeeper of Nether Wend", scale=6, currency="USD", locale=locale,
        seed=1, looks={"harbour": Look("harbour", "Harbour")}, sells=sells, parts=made,
        contents=tuple(contents),
        orders={id_: Order(id_, 120 + 10 * e) for e, id_ in enumerate(sells)},
        ways=ways, prices=tuple(prices),
        rates={"CNY": Rate("CNY", Fraction("7.2"), Fraction("0.02"))}, money=RULES,
    )  # fmt: skip


def reviewed(project: Project) -> Review:
    return review(project, today=TODAY)
