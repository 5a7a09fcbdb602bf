"""Rows edited, added and taken out, as changes: with all that a row takes along when it goes."""

import re
from collections.abc import Iterator, Mapping

from sixwright.kernel.errors import ChangeError, ConflictError, Difference, Problem
from sixwright.project.check_cells import suggestion_id
from sixwright.project.columns import CellType, ColumnSchema
from sixwright.project.records import Change, Record, Records
from sixwright.project.tables import BY_NAME, TABLES

_AMOUNTS = frozenset({CellType.MONEY, CellType.RATE_H})
_MARK = r"(?:[A-Za-z]{3}|[€£¥￥]|[A-Z]{0,3}\$)"
_BEFORE = re.compile(rf"{_MARK}\s*(?=[\d.])")
_CURRENCY = re.compile(rf"\s*{_MARK}(?:\s*/\s*h)?$")
_NUMBER = r"[-+\u2212]?\d[\d.,’'\s]*(?:[eE][-+]?\d+)?"
_BARE = re.compile(rf"~?\s*{_NUMBER}(?:\s+to\s+{_NUMBER})?")


def edit(records: Records, wanted: Change) -> Change:
    """The change that writes a text in a cell; it adds the row where there is none yet.

    A bare number over an amount with its currency is an amount in that currency.

    Parameters
    ----------
    wanted
        The cell, what the writer saw there, and what is to stand there; empty is unknown.

    Raises
    ------
    ChangeError
        If there is no such table.
    ConflictError
        If something else stands there now; it holds both texts.
    """
    table, id_, column = wanted.table, wanted.id, wanted.column or ""
    if table not in BY_NAME:
        raise ChangeError((Problem(table, "a table of a line", f"“{table}”"),))
    was = (wanted.was or "").strip()
    row = records.get(table, {}).get(id_)
    now = row.cells.get(column, "").strip() if row else ""
    value = _kept_currency(table, column, now, (wanted.value or "").strip())
    # A browser gives a line break back in another manner than it got it.
    if now.splitlines() not in (was.splitlines(), value.splitlines()):
        moved = Difference(table, id_, column, was, value, now)
        raise ConflictError("The cell has moved since it was read.", (moved,))
    if row is None:
        return Change(table, id_, add=_keys(table, id_) | {column: value})
    return Change(table, id_, column, now, value)


def _kept_currency(table: str, column: str, now: str, value: str) -> str:
    """The text; where it is a number over an amount, with the amount's currency (`` USD``)."""
    kinds = {known.name: known.cell for known in BY_NAME[table].columns}
    if kinds.get(column) not in _AMOUNTS or not _BARE.fullmatch(value):
        return value
    before, after = _BEFORE.match(now), _CURRENCY.search(now)
    return f"{before[0] if before else ''}{value}{after[0] if after else ''}"


def _keys(table: str, id_: str) -> dict[str, str]:
    return dict(zip(BY_NAME[table].key, id_.split("/"), strict=False))


def addition(records: Records, table: str, cells: Mapping[str, str]) -> Change:
    """The change that adds a row; an id that is not given is made from its name.

    Raises
    ------
    ChangeError
        If there is no such table, a cell that a row needs is empty, or the row is there already.
    """
    known = BY_NAME.get(table)
    if known is None or not known.key:
        raise ChangeError((Problem(table, "a table of a line", f"“{table}”"),))
    given = {name: text.strip() for name, text in cells.items() if text.strip()}
    if known.key == ("id",) and "id" not in given:
        given["id"] = _free_id(records.get(table, {}), given)
    lacking = [column for column in known.columns if column.required and not given.get(column.name)]
    if lacking:
        raise ChangeError(tuple(_needed(known.file, column) for column in lacking))
    id_ = "/".join(given.get(name, "") for name in known.key)
    if id_ in records.get(table, {}):
        raise ChangeError((Problem(known.file, "a row that is not there yet", f"“{id_}”"),))
    return Change(table, id_, add=given)


def _needed(file: str, column: ColumnSchema) -> Problem:
    return Problem(file, column.cell.value, "an empty cell", column=column.name)


def _free_id(rows: Mapping[str, Record], given: Mapping[str, str]) -> str:
    """An id made of what the row says of itself, that no other row has."""
    said = given.get("name") or " ".join(
        given.get(name, "") for name in ("part", "maker", "process")
    )
    plain = suggestion_id(said) or "new"
    numbered = (f"{plain}-{number}" for number in range(2, len(rows) + 3))
    return next((id_ for id_ in (plain, *numbered) if id_ not in rows), plain)


def removal(records: Records, table: str, id_: str) -> tuple[Change, ...]:
    """The changes that take out a row, all rows that are nothing without it, and its mentions.

    Raises
    ------
    ChangeError
        If there is no such row.
    """
    if id_ not in records.get(table, {}):
        raise ChangeError((Problem(table, "a row that is there", f"“{id_}”"),))
    gone = {(table, id_): None}
    for at in gone_with(records, gone):
        gone[at] = None
    out = tuple(Change(name, at, remove=True) for name, at in gone)
    return (*out, *_mentions(records, gone))


_At = tuple[str, str]


def gone_with(records: Records, gone: Mapping[_At, None]) -> list[_At]:
    """Rows that name one of these where they must name something, and those that name them."""
    found: dict[_At, None] = {}
    fresh = dict(gone)
    while fresh:
        named = [at for at in _bound(records, fresh) if at not in gone and at not in found]
        fresh = dict.fromkeys(named)
        found |= fresh
    return list(found)


def _bound(records: Records, gone: Mapping[_At, None]) -> Iterator[_At]:
    for table, column in _references():
        if column.required:
            for id_, row in records.get(table, {}).items():
                if any((name, row.cells.get(column.name, "")) in gone for name in column.refers):
                    yield table, id_


def _mentions(records: Records, gone: Mapping[_At, None]) -> Iterator[Change]:
    """Cells that may be empty and name a row that goes: they lose its id."""
    for table, column in _references():
        for id_, row in records.get(table, {}).items():
            text = row.cells.get(column.name, "").strip()
            if column.required or not text or (table, id_) in gone:
                continue
            words = text.split() if column.cell is CellType.WORDS else [text]
            left = [w for w in words if all((name, w) not in gone for name in column.refers)]
            if left != words:
                yield Change(table, id_, column.name, text, " ".join(left))


def _references() -> Iterator[tuple[str, ColumnSchema]]:
    for table in TABLES:
        yield from ((table.name, column) for column in table.columns if column.refers)
