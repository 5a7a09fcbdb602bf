"""Home: which cells to fill in first, each a field there and a link to its table."""

from collections import Counter
from collections.abc import Iterable, Sequence
from urllib.parse import quote

from sixwright.kernel.findings import Finding
from sixwright.kernel.sentences import Count, Sentence
from sixwright.project.columns import NUMERIC
from sixwright.project.model import Project
from sixwright.project.names import cell_name, column_of
from sixwright.project.tables import BY_NAME
from sixwright.reports.document import Block, Cell, CellAddress, Column, Link, Row, Table
from sixwright.reports.pages.rows import FORM_ANCHOR, row_anchor
from sixwright.workflows.fill_first import Lack, fill_first

# So many lines are laid out; of the other cells it is said how many there are.
MOST = 30
# More cells of one column than this are one line, which leads to the table: many at once.
FEW = 8
ORDER = (
    "What brings the most checks nearest to a verdict comes first: where a check lacks five "
    "values, each counts a fifth."
)


def fill_in(project: Project, findings: Iterable[Finding]) -> tuple[Block, ...]:
    """The missing inputs of the findings, those first that would decide the most.

    Parameters
    ----------
    findings
        Those that need the producer.
    """
    lacks = fill_first(findings)
    if not lacks:
        return ()
    columns = (
        Column("What to fill in", wide=True),
        Column("Value"),
        Column("Decides", numeric=True, unit="checks"),
        Column("Rests on it", numeric=True, unit="checks"),
    )
    lines = _by_column(lacks)
    rows = tuple(_row(project, line) if len(line) == 1 else _rows(project, line)
                 for line in lines[:MOST])  # fmt: skip
    left = sum(len(line) for line in lines[MOST:])
    more = Count(left, "more value is missing", "more values are missing")
    caption = [
        Sentence(ORDER),
        Sentence("A check is decided where nothing else is missing for it."),
    ]
    if more.value > 0:
        caption.append(Sentence("{more}.", {"more": more}))
    return (Table("What to fill in first", columns, rows, tuple(caption)),)


def _by_column(lacks: Sequence[Lack]) -> list[list[Lack]]:
    """Each cell alone, or all cells of a column where there are many; in the order of the first."""
    alike = Counter((lack.table, lack.column) for lack in lacks)
    lines: dict[tuple[str, ...], list[Lack]] = {}
    for lack in lacks:
        column = (lack.table, lack.column)
        key = column if alike[column] > FEW else (*column, lack.id)
        lines.setdefault(key, []).append(lack)
    return list(lines.values())


def _rows(project: Project, lacks: Sequence[Lack]) -> Row:
    """Many cells of one column: the first by name, and a link to the table."""
    first = lacks[0]
    decides = {each for lack in lacks for each in lack.decides}
    rests = {each for lack in lacks for each in lack.rests}
    told = f"{_named(project, first)} and {len(lacks) - 1} others"
    # All rows are offered only where none of them says anything, and never for what can hurt.
    rows = len(project.records.get(first.table, {}))
    numeric = (column := column_of(first.table, first.column)) and column.cell in NUMERIC
    which = "&which=*" if numeric and len(lacks) == rows else ""
    return Row(
        (
            Cell(told, link=Link(f"tables/{first.table}?column={first.column}{which}", "many", "")),
            Cell(None),
            Cell(Count(len(decides)), nothing=not decides),
            Cell(Count(len(rests))),
        )
    )


def _row(project: Project, line: Sequence[Lack]) -> Row:
    (lack,) = line
    return Row(
        (
            Cell(_named(project, lack), link=_link(project, lack)),
            Cell(
                None,
                place=CellAddress(lack.table, lack.id, lack.column) if _has_place(lack) else None,
            ),
            Cell(Count(len(lack.decides)), nothing=not lack.decides),
            Cell(Count(len(lack.rests))),
        )
    )


def _has_place(lack: Lack) -> bool:
    """Whether the cell can be written: its row is there, or its id says all that a row needs."""
    known = BY_NAME[lack.table]
    return not known.key or len(lack.id.split("/")) == len(known.key)


def _named(project: Project, lack: Lack) -> str:
    return cell_name(project.records, lack.table, lack.id, lack.column)


def _link(project: Project, lack: Lack) -> Link:
    """The row in its table; the form of a new row, where there is none yet."""
    known = BY_NAME[lack.table]
    if not known.key:
        return Link(f"tables/{lack.table}", row_anchor(lack.column), "")
    if lack.id in project.records.get(lack.table, {}):
        return Link(f"tables/{lack.table}", row_anchor(lack.id), "")
    asked = "&".join(
        f"{name}={quote(text)}" for name, text in zip(known.key, lack.id.split("/"), strict=False)
    )
    return Link(f"tables/{lack.table}?{asked}", FORM_ANCHOR, "")
