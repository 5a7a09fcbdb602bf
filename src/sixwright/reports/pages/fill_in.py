"""Home: which cells to fill in first, by what rests on them."""

from collections.abc import Iterable

from sixwright.kernel.findings import Finding
from sixwright.kernel.sentences import Count, Names, Sentence, Value
from sixwright.project.model import Project
from sixwright.project.names import row_name
from sixwright.project.tables import BY_NAME
from sixwright.reports.document import Block, Cell, Column, Row, Table

# So many kinds of cell are named, and so many of their rows.
MOST, NAMED = 20, 3
_Cell = tuple[str, str]


def fill_in(project: Project, findings: Iterable[Finding]) -> tuple[Block, ...]:
    """The missing inputs of the findings, those first on which the most rests.

    Parameters
    ----------
    findings
        Those that need the producer.
    """
    rows: dict[_Cell, dict[str, None]] = {}
    resting: dict[_Cell, set[str]] = {}
    for finding in findings:
        for table, id_, column in _cells(finding.missing):
            rows.setdefault((table, column), {})[id_] = None
            resting.setdefault((table, column), set()).add(finding.id)
    if not rows:
        return ()
    order = sorted(rows, key=lambda cell: (-len(resting[cell]), cell))[:MOST]
    columns = (
        Column("What to fill in"),
        Column("Of", wide=True),
        Column("Where"),
        Column("Rests on it", numeric=True, unit="checks"),
    )
    shown = tuple(
        Row(
            (
                Cell(_label(*cell)),
                _of(project, cell[0], tuple(rows[cell])),
                Cell(BY_NAME[cell[0]].file),
                Cell(Count(len(resting[cell]))),
            )
        )
        for cell in order
    )
    return (Table("What to fill in first", columns, shown),)


def _cells(missing: Iterable[str]) -> Iterable[tuple[str, str, str]]:
    """Table, row and column of each missing input that is a cell of a table."""
    for place in missing:
        table, _, rest = place.partition("/")
        id_, _, column = rest.rpartition("/")
        known = BY_NAME.get(table)
        if known and id_ and any(each.name == column for each in known.columns):
            yield table, id_, column


def _label(table: str, column: str) -> str:
    found = next(each for each in BY_NAME[table].columns if each.name == column)
    return found.label or column


def _of(project: Project, table: str, ids: tuple[str, ...]) -> Cell:
    """The first few rows by name, and how many more."""
    if not BY_NAME[table].key:
        return Cell("the whole line")
    names = Names(tuple(row_name(project.records, table, id_) for id_ in ids[:NAMED]))
    more = len(ids) - len(names.texts)
    if more <= 0:
        return Cell(Sentence("{names}", {"names": names}))
    values: dict[str, Value] = {"names": names, "more": Count(more, "other", "others")}
    return Cell(Sentence("{names} and {more}", values))
