"""Home: which cells to fill in first, each a field there and a link to its table."""

from collections.abc import Iterable
from urllib.parse import quote

from sixwright.kernel.findings import Finding
from sixwright.kernel.sentences import Count, Sentence
from sixwright.project.model import Project
from sixwright.project.names import cell_name, column_of, label_of
from sixwright.project.tables import BY_NAME
from sixwright.reports.document import Block, Cell, Column, Link, Place, Row, Table
from sixwright.reports.pages.rows import FORM_ANCHOR, row_anchor
from sixwright.workflows.fill_first import Lack, fill_first

# So many cells are laid out; of the others it is said how many there are.
MOST = 20


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
    rows = tuple(_row(project, lack) for lack in lacks[:MOST])
    more = Count(len(lacks) - len(rows), "more value is missing", "more values are missing")
    caption = [Sentence("A check is decided where nothing else is missing for it.")]
    if more.value > 0:
        caption.append(Sentence("{more}, which decide less.", {"more": more}))
    return (Table("What to fill in first", columns, rows, tuple(caption)),)


def _row(project: Project, lack: Lack) -> Row:
    return Row(
        (
            Cell(_named(project, lack), link=_link(project, lack)),
            Cell(None, place=Place(lack.table, lack.id, lack.column) if _has_place(lack) else None),
            Cell(Count(len(lack.decides)), nothing=not lack.decides),
            Cell(Count(len(lack.rests))),
        )
    )


def _has_place(lack: Lack) -> bool:
    """Whether the cell can be written: its row is there, or its id says all that a row needs."""
    known = BY_NAME[lack.table]
    return not known.key or len(lack.id.split("/")) == len(known.key)


def _named(project: Project, lack: Lack) -> str:
    if _has_place(lack):
        return cell_name(project.records, lack.table, lack.id, lack.column)
    column = column_of(lack.table, lack.column)
    label = label_of(project.records, column) if column else lack.column
    way = project.ways.get(lack.id)
    part = project.parts.get(way.part) if way else None
    return f"{label} of {part.name or part.id if part else lack.id}"


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
