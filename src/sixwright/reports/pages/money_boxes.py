"""The bill of each box, stated to the minor unit so that its lines add up."""

from dataclasses import dataclass
from fractions import Fraction

from sixwright.kernel.currency import Money, minor_units, stated_parts
from sixwright.kernel.findings import Finding
from sixwright.kernel.sentences import Measure, Sentence, Share
from sixwright.project.model import Project
from sixwright.reports.document import Cell, Column, Place, Row, Table
from sixwright.reports.evidence import verdict_of_box
from sixwright.reports.words import bare
from sixwright.topics.money.model import Answer as Sums
from sixwright.topics.money.model import BoxMoney

EX_WORKS = ("parts", "labour", "overhead")
BEYOND = ("duty", "freight", "fees", "reserve")
LINES = (
    ("parts", "Parts"),
    ("labour", "Labour"),
    ("overhead", "Overhead"),
    ("unit_cost", "Ex-works"),
    ("duty", "Duty"),
    ("freight", "Freight"),
    ("fees", "Payment fees"),
    ("reserve", "Reserve"),
    ("landed", "Landed"),
    ("price", "Price"),
    ("margin", "Margin"),
    ("margin_share", "Margin, share of the price"),
    ("fixed_share", "Share of the fixed costs"),
    ("margin_after_fixed_share", "Margin after the fixed share"),
    ("least_price", "Least it must sell for"),
)
SUMS = frozenset({"unit_cost", "landed", "price", "margin", "margin_after_fixed_share"})


@dataclass(frozen=True, slots=True)
class Bill:
    """A box's lines as a document states them; None where something is unknown."""

    lines: dict[str, Fraction | None]


def bill(box: BoxMoney, *, places: int) -> Bill:
    """Every line rounded so that ex-works and landed are the sums of what stands above them.

    Parameters
    ----------
    box
        Exact amounts.
    places
        Decimal places that the currency is stated to.

    Source
    ------
    Largest remainder: kernel.currency.stated_parts.
    """
    lines = {name: _rounded(getattr(box, name), places) for name, _ in LINES}
    stated = [getattr(box, name) for name in (*EX_WORKS, *BEYOND)]
    if all(value is not None for value in stated):
        shares = stated_parts(stated, places=places)
        lines |= dict(zip((*EX_WORKS, *BEYOND), shares, strict=True))
        lines["unit_cost"] = sum(shares[: len(EX_WORKS)], Fraction(0))
        lines["landed"] = sum(shares, Fraction(0))
    price, landed, fixed = lines["price"], lines["landed"], lines["fixed_share"]
    if price is not None and landed is not None:
        lines["margin"] = price - landed
        if fixed is not None:
            lines["margin_after_fixed_share"] = price - landed - fixed
    lines["margin_share"] = box.margin_share
    return Bill(lines)


def _rounded(value: Fraction | None, places: int) -> Fraction | None:
    return None if value is None else stated_parts((value,), places=places)[0]


def box_table(project: Project, sums: Sums, findings: tuple[Finding, ...]) -> Table:
    """One column a box, from its parts down to what is left of its price."""
    places = minor_units(project.currency)
    bills = {sells: bill(box, places=places) for sells, box in sums.sells.items()}
    columns = (
        Column(f"One box, {project.currency}"),
        *(Column(sold.name or sold.id, numeric=True) for sold in project.sells.values()),
    )
    rows = [
        Row(
            (
                Cell(label),
                *(_cell(project, sells, name, bills[sells]) for sells in project.sells),
            ),
            kind="total" if name in SUMS else "row",
            anchor=f"bill-{name.replace('_', '-')}",
        )
        for name, label in LINES
    ]
    rows.append(Row((Cell("Minutes of work"), *_minutes(project, sums))))
    rows.append(Row((Cell("Does it pay?"), *_verdicts(project, findings)), kind="total"))
    caption = (
        Sentence("Ex-works is parts, labour and overhead; landed adds duty to reserve."),
        Sentence("What is stated adds up to the cent; the exact sums are in check --json."),
    )
    return Table(
        "What becomes of each box’s price", columns, tuple(rows), caption, frozen=True, even=True
    )


def _cell(project: Project, sells: str, name: str, stated: Bill) -> Cell:
    value = stated.lines[name]
    strong = name in SUMS
    if value is None:
        return Cell(None)
    if name == "margin_share":
        return Cell(Share(value))
    table = "sets" if project.sells[sells].is_set else "editions"
    place = Place(table, sells, "price") if name == "price" else None
    words = bare(Money(value, project.currency), project.locale)
    return Cell(words, strong=strong, place=place)


def _minutes(project: Project, sums: Sums) -> list[Cell]:
    found = [sums.sells[sells].minutes for sells in project.sells]
    return [
        Cell(None) if minutes is None else Cell(Measure(minutes, "", int(minutes.denominator > 1)))
        for minutes in found
    ]


def _verdicts(project: Project, findings: tuple[Finding, ...]) -> list[Cell]:
    verdicts = [verdict_of_box(findings, sells) for sells in project.sells]
    return [Cell(str(verdict), verdict=verdict) for verdict in verdicts]
