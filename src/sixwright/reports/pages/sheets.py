"""The folder's own tables, each on a page where every cell can be changed, and rows added."""

from collections.abc import Mapping

from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.project.columns import Cell as Text
from sixwright.project.columns import Column as Kind
from sixwright.project.columns import Table as Sheet
from sixwright.project.names import row_name
from sixwright.project.records import Records, Row
from sixwright.project.tables import BY_NAME, TABLES
from sixwright.reports.document import (
    Answer,
    Block,
    Cell,
    Column,
    Deed,
    Document,
    Link,
    Place,
    Table,
)
from sixwright.reports.document import Row as Shown
from sixwright.reports.pages.rows import READ_ONLY, row_anchor, row_form
from sixwright.reports.pages.windows import Lazy
from sixwright.reports.wording.fields import NUMBERS, named, rests_on
from sixwright.workflows.reviewed import Review

TOPIC = "sheets"
QUESTION = "What stands in the folder?"
TITLES = {
    "line": "The line and its house rules", "looks": "Looks", "editions": "Editions",
    "sets": "Sets", "rates": "Rates of exchange", "parts": "Parts", "contents": "Contents",
    "orders": "Orders", "ways": "Ways", "prices": "Prices", "accepted": "Accepted",
    "sculpts": "Sculpts", "rounds": "Rounds", "landmarks": "Landmarks", "targets": "Targets",
    "terms": "Landmarks of your own", "stills": "Stills", "sightings": "Sightings",
    "outlines": "Outlines", "polls": "Polls", "options": "Options of polls",
    "subjects": "Subjects of comments", "imports": "Imports of votes and comments", "asks": "Asks",
    "tasks": "Tasks", "links": "Links of tasks", "people": "People", "away": "Absences",
    "milestones": "Milestones", "promises": "Promises", "slots": "Slots",
}  # fmt: skip
# Tables that a line without them would hardly miss are listed once they have rows.
ALWAYS = ("line", "looks", "editions", "sets", "parts", "contents", "orders", "ways", "prices",
          "rates")  # fmt: skip
# Cells that make a row what it is, or that sixwright writes: read here, changed elsewhere.
FIXED = frozenset({("line", "format"), ("line", "id"), ("line", "seed")})


def sheets(review: Review) -> Document:
    """The list of all tables, with how many rows each has."""
    records = review.project.records
    listed = [table for table in TABLES if table.name in ALWAYS or records.get(table.name)]
    rows = tuple(_listed(records, table) for table in listed)
    columns = (Column("Sheet"), Column("Rows", numeric=True), Column("File"))
    told = Sentence("Every number of the line can be changed here, table by table.")
    blocks: tuple[Block, ...] = (Answer(None, (told,)), Table("The sheets", columns, rows))
    return Document(TOPIC, QUESTION, blocks, review.project.locale)


def _listed(records: Records, table: Sheet) -> Shown:
    link = Link(f"{TOPIC}/{table.name}", "", TITLES[table.name])
    count = Cell(Count(len(records.get(table.name, {})))) if table.key else Cell(nothing=True)
    return Shown((Cell(TITLES[table.name], link=link), count, Cell(table.file)))


def sheet(review: Review, table: str) -> Document:
    """One table in full."""
    records, known = review.project.records, BY_NAME[table]
    title = TITLES[table]
    rows = records.get(table, {})
    values: dict[str, Value] = {"file": Name(known.file)}
    words = (
        "This is {file}. A number that nobody has stated is unknown, never zero; a dot is empty."
    )
    told = Sentence(words, values)
    body = _single(records, known) if not known.key else _table(records, known, rows)
    return Document(TOPIC, title, (Answer(None, (told,)), body), review.project.locale)


def _single(records: Records, table: Sheet) -> Table:
    """The line's own keys, one under the other."""
    rows = tuple(
        Shown(
            (
                Cell(column.label or column.name.capitalize()),
                _cell(records, table.name, table.name, column),
            )
        )
        for column in table.columns
    )
    return Table("One by one", (Column("What"), Column("Value")), rows)


def _table(records: Records, table: Sheet, rows: Mapping[str, Row]) -> Table:
    columns = _columns(table, rows)
    title = "1 row" if len(rows) == 1 else f"{len(rows)} rows"
    heads = tuple(Column(c.label or c.name, numeric=c.cell in NUMBERS) for c in columns)
    ids = tuple(rows)

    def made(at: int) -> Shown:
        return Shown(
            tuple(_cell(records, table.name, ids[at], column) for column in columns),
            anchor=row_anchor(ids[at]),
            deeds=(_take_out(records, table.name, ids[at]),),
        )

    shown = Lazy([row_anchor(id_) for id_ in ids], made)
    caption = (Sentence("There are none yet."),) if not rows else ()
    form, frozen = row_form(records, table.name), len(columns) > 4
    return Table(title, heads, shown, caption, frozen=frozen, form=form, own=True)


def _take_out(records: Records, table: str, id_: str) -> Deed:
    name = row_name(records, table, id_)
    return Deed("Take out", f"Take out {name}", "take-out", (("table", table), ("id", id_)))


def _columns(table: Sheet, rows: Mapping[str, Row]) -> tuple[Kind, ...]:
    """The table's columns, the name first and the id last; and then the producer's own."""
    known = {column.name for column in table.columns}
    own = dict.fromkeys(name for row in rows.values() for name in row.cells if name not in known)
    order = sorted(table.columns, key=lambda column: (column.name == "id", column.name != "name"))
    return (*order, *(Kind(name, Text.TEXT, label=name) for name in own))


def _cell(records: Records, table: str, id_: str, column: Kind) -> Cell:
    row = records.get(table, {}).get(id_)
    text = row.cells.get(column.name, "").strip() if row else ""
    place = Place(table, id_, column.name)
    if table in READ_ONLY or (table, column.name) in FIXED or column.name == "id":
        return Cell(text)
    if not text and not rests_on(table, column):
        return Cell(nothing=True, place=place)
    return Cell(_words(records, table, column, text), place=place)


def _words(records: Records, table: str, column: Kind, text: str) -> str | None:
    """An id as the name of what it stands for, where it stands for one thing."""
    if column.cell is Text.WORDS:
        return text or None
    known = next((name for name in column.refers if text in records.get(name, {})), None)
    return (named(records, table, known, text) if known else text) or None
