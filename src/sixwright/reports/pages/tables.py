"""The folder's own tables, each on a page where every cell can be changed, and rows added."""

from collections.abc import Mapping, Sequence

from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value
from sixwright.project.columns import NONE, NUMERIC, UNKNOWN, CellType, ColumnSchema, TableSchema
from sixwright.project.names import label_of, row_name
from sixwright.project.records import Record, Records
from sixwright.project.tables import BY_NAME, TABLES
from sixwright.reports.document import (
    Answer,
    Block,
    Cell,
    CellAddress,
    Column,
    Deed,
    Document,
    Fold,
    Link,
    Paragraph,
    Row,
    Table,
)
from sixwright.reports.pages.rows import many_form, row_anchor, row_form
from sixwright.reports.pages.stills import to_stills
from sixwright.reports.pages.windows import Lazy
from sixwright.reports.wording.fields import named
from sixwright.workflows.reviewed import Review

TOPIC = "tables"
QUESTION = "What stands in the folder?"
TO_STILLS = Sentence("Stills are brought in and marked on a page of their own.")
# So many of the producer's own files are named.
MOST_OWN = 8
READ = "Unknown is a number that nobody has stated, and never zero; a dot is an empty cell."
COUNTS_AS = "What an empty cell counts as is told under “What the columns mean”."


def tables(review: Review) -> Document:
    """The list of all tables, with how many rows each has.

    Tables that a line would hardly miss are listed once they have rows.
    """
    records = review.project.records
    listed = [table for table in TABLES if table.always or records.get(table.name)]
    rows = tuple(_listed(records, table) for table in listed)
    columns = (Column("Table"), Column("Rows", numeric=True), Column("File"))
    told = Sentence("Every number of the line can be changed here, table by table.")
    table = Table("The tables", columns, rows)
    blocks: tuple[Block, ...] = (
        Answer(None, (told,)), table, *_own(review.project.own_files), to_stills(TO_STILLS)
    )  # fmt: skip
    return Document(TOPIC, QUESTION, blocks, review.project.locale)


def _own(names: Sequence[str]) -> tuple[Block, ...]:
    """The spreadsheets in the folder that nothing is taken from."""
    if not names:
        return ()
    shown = [*names[:MOST_OWN], f"{len(names) - MOST_OWN} more"] if len(names) > MOST_OWN else names
    values: dict[str, Value] = {"files": Names(tuple(shown))}
    kept = "is no table of the line" if len(names) == 1 else "are no tables of the line"
    return (Paragraph((Sentence(f"{{files}} {kept}: nothing is taken from there.", values),)),)


def _listed(records: Records, table: TableSchema) -> Row:
    link = Link(f"{TOPIC}/{table.name}", "", table.title)
    count = Cell(Count(len(records.get(table.name, {})))) if table.key else Cell(nothing=True)
    return Row((Cell(table.title, link=link), count, Cell(table.file)))


def table_page(review: Review, table: str) -> Document:
    """One table in full, and what its columns mean."""
    records, known = review.project.records, BY_NAME[table]
    values: dict[str, Value] = {"file": Name(known.file)}
    told = (
        Sentence(known.meaning.replace("`", "")),
        Sentence(f"It stands in {{file}}. {READ}", values),
        *((Sentence(COUNTS_AS),) if any(map(_counts_as, known.columns)) else ()),
    )
    body = _table(records, known) if known.key else _single(records, known)
    blocks = (Answer(None, told), body, _meanings(records, known))
    return Document(TOPIC, known.title, blocks, review.project.locale)


def _counts_as(column: ColumnSchema) -> bool:
    """Whether an empty cell of a column counts as something, as a yield counts as 1."""
    return not column.required and column.when_empty not in {UNKNOWN, NONE}


def _label(records: Records, column: ColumnSchema) -> str:
    return label_of(records, column) if column.label else column.name.capitalize()


def _meanings(records: Records, table: TableSchema) -> Fold:
    """What each column means, and what an empty cell of it does."""
    rows = tuple(
        Row(
            (
                Cell(_label(records, column)),
                Cell(column.name),
                Cell(column.in_full.replace("`", "")),
                Cell("needed" if column.required else column.when_empty),
            )
        )
        for column in table.columns
    )
    heads = (Column("Column"), Column("In the file"), Column("What it is", wide=True),
             Column("Left empty"))  # fmt: skip
    summary = Sentence("What the columns mean")
    return Fold(summary, (Table(summary.template, heads, rows),), "columns", to_work=True)


def _single(records: Records, table: TableSchema) -> Table:
    """The line's own keys, one under the other."""
    rows = tuple(
        Row(
            (
                Cell(_label(records, column)),
                _cell(records, table.name, table.name, column),
            ),
            anchor=row_anchor(column.name),
        )
        for column in table.columns
    )
    return Table("One by one", (Column("What"), Column("Value")), rows)


def _table(records: Records, table: TableSchema) -> Table:
    rows = records.get(table.name, {})
    columns = _columns(table, rows)
    title = "1 row" if len(rows) == 1 else f"{len(rows)} rows"
    heads = tuple(Column(label_of(records, c), numeric=c.cell in NUMERIC) for c in columns)
    ids = tuple(rows)
    many = many_form(records, table.name)

    def made(at: int) -> Row:
        return Row(
            tuple(_cell(records, table.name, ids[at], column) for column in columns),
            anchor=row_anchor(ids[at]),
            deeds=(_take_out(records, table.name, ids[at]),),
            pick=(ids[at], row_name(records, table.name, ids[at])) if many else None,
        )

    shown = Lazy([row_anchor(id_) for id_ in ids], made)
    caption = (Sentence("There are none yet."),) if not rows else ()
    form, frozen = row_form(records, table.name), len(columns) > 4
    return Table(title, heads, shown, caption, frozen=frozen, form=form, own=True, many=many)


def _take_out(records: Records, table: str, id_: str) -> Deed:
    name = row_name(records, table, id_)
    return Deed("Take out", f"Take out {name}", "take-out", (("table", table), ("id", id_)))


def _columns(table: TableSchema, rows: Mapping[str, Record]) -> tuple[ColumnSchema, ...]:
    """The table's columns, the name first and the id last; and then the producer's own."""
    known = {column.name for column in table.columns}
    own = dict.fromkeys(name for row in rows.values() for name in row.cells if name not in known)
    order = sorted(table.columns, key=lambda column: (column.name == "id", column.name != "name"))
    return (*order, *(ColumnSchema(name, CellType.TEXT, label=name) for name in own))


def _cell(records: Records, table: str, id_: str, column: ColumnSchema) -> Cell:
    row = records.get(table, {}).get(id_)
    text = row.cells.get(column.name, "").strip() if row else ""
    place = CellAddress(table, id_, column.name)
    if BY_NAME[table].read_only or column.fixed or column.name == "id":
        return Cell(text)
    if not text and not column.is_unknown_when_empty:
        return Cell(nothing=True, place=place)
    return Cell(_words(records, table, column, text), place=place)


def _words(records: Records, table: str, column: ColumnSchema, text: str) -> str | None:
    """An id as the name of what it stands for, where it stands for one thing."""
    if column.cell is CellType.WORDS:
        return text or None
    known = next((name for name in column.refers if text in records.get(name, {})), None)
    return (named(records, table, known, text) if known else text) or None
