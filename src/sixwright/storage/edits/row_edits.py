"""What differs between a table's rows before and after, matched by the place they came from."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sixwright.project.records import Record

Rows = Mapping[str, Record]


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

    changed: tuple[tuple[Record, Record], ...]
    removed: tuple[Record, ...]
    added: tuple[tuple[Record, str], ...]


def row_edits(before: Rows, after: Rows) -> RowEdits:
    """The edits between two states.

    A row is the same where it stands in the place it was read from; or where one went and a new
    one of its id came.
    """
    places = {row.place: row for row in before.values()}
    stay = {row.place for row in after.values()} & set(places)
    went = {row.id: row for row in before.values() if row.place not in stay}
    old = {id_: places.get(row.place) or went.get(id_) for id_, row in after.items()}
    pairs = [(earlier, after[id_]) for id_, earlier in old.items() if earlier is not None]
    kept = {earlier.place for earlier, _ in pairs}
    behind = zip(after, ["", *after], strict=False)
    return RowEdits(
        changed=tuple(pair for pair in pairs if _differ(*pair)),
        removed=tuple(row for row in before.values() if row.place not in kept),
        added=tuple((after[id_], earlier) for id_, earlier in behind if old[id_] is None),
    )


def _differ(before: Record, after: Record) -> bool:
    return before is not after and any(cell_changes(before, after))


def cell_changes(before: Record, after: Record) -> Iterator[tuple[str, str, str]]:
    """Column, text before and text after of each cell that differs."""
    for name in dict.fromkeys([*before.cells, *after.cells]):
        old, new = before.cells.get(name, ""), after.cells.get(name, "")
        if old != new:
            yield name, old, new
