"""The bill of each box, stated to the minor unit so that its lines add up."""

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from sixwright.kernel.currency import Money, minor_units
from sixwright.kernel.findings import Finding
from sixwright.kernel.sentences import Measure, Sentence, Share
from sixwright.project.model import Project
from sixwright.reports.document import Cell, CellAddress, Column, Row, Table
from sixwright.reports.pages.rows import box_heads
from sixwright.reports.wording.evidence import verdict_of_box
from sixwright.reports.wording.words import bare
from sixwright.topics.money.bill import bill
from sixwright.topics.money.guesses import guessed_lines
from sixwright.topics.money.model import Answer as Sums
from sixwright.topics.money.model import BoxMoney

Stated = Mapping[str, Fraction | None]

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


def box_table(project: Project, sums: Sums, findings: tuple[Finding, ...]) -> Table:
    """One column a box, from its parts down to what is left of its price."""
    places = minor_units(project.currency)
    bills = {sells: bill(box, places=places) for sells, box in sums.sells.items()}
    guessed = {sells: guessed_lines(box.guesses, sums.guesses) for sells, box in sums.sells.items()}
    columns = (
        Column(f"One box, {project.currency}"),
        *box_heads(project),
    )
    rows = [
        Row(
            (
                Cell(label),
                *(money_cell(project, sums, sells, name, bills[sells]) for sells in project.sells),
            ),
            kind="total" if name in SUMS else "row",
            anchor=f"bill-{name.replace('_', '-')}",
        )
        for name, label in LINES
    ]
    rows.append(Row((Cell("Minutes of work"), *_minutes(project, sums))))
    rows.append(Row((Cell("Does it pay?"), *_verdicts(project, findings)), kind="total"))
    open_ = any(box.landed is None and box.at_least for box in sums.sells.values())
    caption = (
        Sentence("Ex-works is parts, labour and overhead; landed adds duty to reserve."),
        Sentence(
            "Each column adds up to the cent: what rounding leaves is in its largest cost and "
            "in the margins, which may be a cent off. The exact sums are in check --json."
        ),
        *((Sentence("What rests on a guess is marked ~."),) if any(guessed.values()) else ()),
        *(
            (Sentence("At least and at most count what is known, as it was stated."),)
            if open_
            else ()
        ),
    )
    return Table(
        "What becomes of each box’s price", columns, tuple(rows), caption, frozen=True, even=True
    )


def money_cell(project: Project, sums: Sums, sells: str, name: str, stated: Stated) -> Cell:
    """One line of a box's bill; ~ where it rests on a guess, at least where some is missing."""
    guessed = guessed_lines(sums.sells[sells].guesses, sums.guesses)
    return _marked(_cell(project, sums, sells, name, stated), name, guessed)


def _cell(project: Project, sums: Sums, sells: str, name: str, stated: Stated) -> Cell:
    if name == "margin_share":
        return _share_cell(sums.sells[sells])
    value = stated[name]
    strong = name in SUMS
    if value is None:
        guessed = guessed_lines(sums.sells[sells].guesses, sums.guesses)
        return _bound(project, sums.sells[sells], name, mark="~" if name in guessed else "")
    place = CellAddress(project.sells[sells].table, sells, "price") if name == "price" else None
    words = bare(Money(value, project.currency), project.locale)
    return Cell(words, strong=strong, place=place)


def _share_cell(box: BoxMoney) -> Cell:
    if box.margin_share is not None:
        return Cell(Share(box.margin_share))
    if box.margin_most is None or not box.price:
        return Cell(None)
    return Cell(Sentence("at most {value}", {"value": Share(box.margin_most / box.price)}))


def _bound(project: Project, box: BoxMoney, name: str, *, mark: str) -> Cell:
    """What is known of a line while something is missing: at least, or at most, so much."""
    most = {"margin": box.margin_most, "margin_after_fixed_share": box.after_most}
    bound = most.get(name) if name in most else getattr(box.at_least, name, None)
    if bound is None or (bound == 0 and name not in most):
        return Cell(None)
    value = f"{mark}{bare(Money(bound, project.currency), project.locale)}"
    words = "at most {value}" if name in most else "at least {value}"
    return Cell(Sentence(words, {"value": value}), strong=name in SUMS)


def _marked(cell: Cell, name: str, guessed: frozenset[str]) -> Cell:
    """The cell with the mark of what rests on a guess."""
    if name not in guessed or not isinstance(cell.value, str | Share):
        return cell
    return replace(cell, value=Sentence("~{value}", {"value": cell.value}))


def _minutes(project: Project, sums: Sums) -> list[Cell]:
    return [_minutes_cell(sums.sells[sells]) for sells in project.sells]


def _minutes_cell(box: BoxMoney) -> Cell:
    if box.minutes is not None:
        return Cell(_in_minutes(box.minutes))
    least = box.at_least.minutes if box.at_least else None
    return Cell(Sentence("at least {value}", {"value": _in_minutes(least)}) if least else None)


def _in_minutes(minutes: Fraction) -> Measure:
    return Measure(minutes, "", int(minutes.denominator > 1))


def _verdicts(project: Project, findings: tuple[Finding, ...]) -> list[Cell]:
    verdicts = [verdict_of_box(findings, sells) for sells in project.sells]
    return [Cell(str(verdict), verdict=verdict) for verdict in verdicts]
