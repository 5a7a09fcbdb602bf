"""The folder as rows of text, and a change of one of them: what project and storage share."""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class FileLocation:
    """Where a row stands: the file, and its row number (1 is the header) or its TOML key."""

    file: str
    row: int | None = None
    key: str | None = None


@dataclass(frozen=True, slots=True)
class Record:
    """One row of one table: the text of each cell, and where it came from.

    Attributes
    ----------
    id
        The cell of the column `id`, or the key columns joined by ``/``.
    cells
        Column to text; an empty text is *unknown*. The user's own columns are here too.
    """

    table: str
    id: str
    cells: Mapping[str, str]
    place: FileLocation = field(default_factory=lambda: FileLocation(""))


Records = Mapping[str, Mapping[str, Record]]


@dataclass(frozen=True, slots=True)
class Change:
    """One edit: a cell gets a value, a row is added, or a row is removed.

    Attributes
    ----------
    column, was, value
        A cell and its text before and after; `was` None does not look at what stood there.
    add
        The cells of a new row, or None.
    remove
        Whether the row goes.
    behind
        Id of the row that a new one stands behind; empty for the first place, None for the last.
    """

    table: str
    id: str
    column: str | None = None
    was: str | None = None
    value: str | None = None
    add: Mapping[str, str] | None = None
    remove: bool = False
    behind: str | None = None


def rows_of(cells: Mapping[str, Mapping[str, Mapping[str, str]]]) -> Records:
    """Rows made of their cells alone: table, then id, then column."""
    return {
        table: {id_: Record(table, id_, of) for id_, of in rows.items()}
        for table, rows in cells.items()
    }
