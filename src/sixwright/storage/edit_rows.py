"""What differs between a table's rows before and after, matched by the place they came from."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sixwright.project.records import Row

Rows = Mapping[str, Row]


@dataclass(frozen=True, slots=True)
class RowEdits:
    """The edits that make one state of a table of another.

    Attributes
    ----------
    changed
        Rows before and after that stand in the same place; their ids may differ.
    removed
        Rows as they were, in their order.
    added
        New rows in their order, each with the id (as it is afterwards) of the row before it;
        empty for the first.
    """

    changed: tuple[tuple[Row, Row], ...]
    removed: tuple[Row, ...]
    added: tuple[tuple[Row, str], ...]


def row_edits(before: Rows, after: Rows) -> RowEdits:
    """The edits between two states; rows keep the place they were read from."""
    old = {row.place: row for row in before.values()}
    kept = {row.place for row in after.values() if row.place in old}
    changed = [
        (old[row.place], row)
        for row in after.values()
        if row.place in kept and any(cell_changes(old[row.place], row))
    ]
    behind = [(row, earlier) for row, earlier in zip(after.values(), ["", *after], strict=False)]
    return RowEdits(
        changed=tuple(changed),
        removed=tuple(row for row in before.values() if row.place not in kept),
        added=tuple((row, earlier) for row, earlier in behind if row.place not in kept),
    )


def cell_changes(before: Row, after: Row) -> Iterator[tuple[str, str, str]]:
    """Column, text before and text after of each cell that differs."""
    for name in dict.fromkeys([*before.cells, *after.cells]):
        old, new = before.cells.get(name, ""), after.cells.get(name, "")
        if old != new:
            yield name, old, new
