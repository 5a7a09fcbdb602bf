"""The line at a glance: one row a box, from its pieces to what is left of its price."""

from fractions import Fraction

from sixwright.kernel.currency import Money, minor_units
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Sentence
from sixwright.reports.document import Block, Cell, CellAddress, Column, Plate, Row, Table
from sixwright.reports.pages.money_boxes import money_cell
from sixwright.reports.wording.evidence import verdict_of_box
from sixwright.reports.wording.words import bare
from sixwright.topics.lineup.model import Answer as Boxes
from sixwright.topics.lineup.topic import LINEUP
from sixwright.topics.money import pictures
from sixwright.topics.money.bill import bill
from sixwright.topics.money.model import Answer as Sums
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.reviewed import Review


def at_a_glance(review: Review) -> tuple[Block, ...]:
    """A table of all boxes and where their prices go; nothing without boxes or their money."""
    boxes, sums = review.get(LINEUP), review.get(MONEY)
    if boxes is None or sums is None or not review.project.sells:
        return ()
    shown = pictures.where_it_goes(review.inputs_of(MONEY), sums)
    return (_table(review, boxes, sums), *((Plate(shown, tabled=True),) if shown else ()))


def _table(review: Review, boxes: Boxes, sums: Sums) -> Table:
    currency = review.project.currency
    columns = (
        Column("Box"),
        Column("Orders", numeric=True),
        Column("Pieces", numeric=True, unit="in one box"),
        Column("Landed", numeric=True, unit=currency),
        Column("Price", numeric=True, unit=currency),
        Column("Margin", numeric=True, unit=currency),
        Column("After fixed", numeric=True, unit=currency),
        Column("Verdict"),
    )
    rows = tuple(_row(review, boxes, sums, sells) for sells in review.project.sells)
    caption = (
        Sentence("After fixed is the margin less the box’s share of the fixed costs."),
        Sentence("Its verdict is the worst on the box: what is in it, how that goes together, and "
                 "whether it pays."),
    )  # fmt: skip
    return Table("The line at a glance", columns, rows, caption)


def _row(review: Review, boxes: Boxes, sums: Sums, sells: str) -> Row:
    sold = review.project.sells[sells]
    stated = bill(sums.sells[sells], places=minor_units(review.project.currency))
    held = list(boxes.contents[sells].values())
    known = [count for count in held if count is not None]
    pieces = Count(sum(known)) if len(known) == len(held) else None
    verdict = verdict_of_box(review.findings, sells)
    cells = (
        Cell(sold.name or sold.id, place=CellAddress(sold.table, sells, "name")),
        Cell(boxes.orders.get(sells), place=CellAddress("orders", sells, "quantity")),
        Cell(pieces),
        money_cell(review.project, sums, sells, "landed", stated),
        Cell(_bare(review, stated["price"]), place=CellAddress(sold.table, sells, "price")),
        money_cell(review.project, sums, sells, "margin", stated),
        money_cell(review.project, sums, sells, "margin_after_fixed_share", stated),
        Cell(str(verdict), verdict=verdict),
    )
    return Row(cells, verdict=verdict if verdict is Verdict.FAILS else None)


def _bare(review: Review, amount: Fraction | None) -> str | None:
    if amount is None:
        return None
    return bare(Money(amount, review.project.currency), review.project.locale)
