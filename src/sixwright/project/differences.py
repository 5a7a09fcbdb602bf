"""What has changed between two states of a folder, cell by cell."""

from collections.abc import Iterator, Mapping

from sixwright.project.records import Change, Record, Records


def differences(before: Records, after: Records) -> tuple[Change, ...]:
    """The changes that lead from one state of the rows to another, table by table.

    Source
    ------
    Own choice: rows are told apart by their ids, so that a renamed row is one gone and one new.
    """
    return tuple(
        change
        for table in dict.fromkeys((*before, *after))
        for change in _of_table(table, before.get(table, {}), after.get(table, {}))
    )


def _of_table(
    table: str, before: Mapping[str, Record], after: Mapping[str, Record]
) -> Iterator[Change]:
    for id_, row in after.items():
        old = before.get(id_)
        if old is None:
            yield Change(table, id_, add=row.cells)
        elif old.cells != row.cells:
            yield from _of_row(old, row)
    yield from (Change(table, id_, remove=True) for id_ in before if id_ not in after)


def _of_row(old: Record, new: Record) -> Iterator[Change]:
    for column in dict.fromkeys((*old.cells, *new.cells)):
        was, value = old.cells.get(column, "").strip(), new.cells.get(column, "").strip()
        if was != value:
            yield Change(new.table, new.id, column, was, value)
