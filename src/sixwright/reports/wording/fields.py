"""A cell of the folder as a field to write in: its text, its name, its unit, what it may be."""

from collections.abc import Iterator
from dataclasses import dataclass

from sixwright.project.columns import NONE, NUMERIC, UNKNOWN, CellType, ColumnSchema
from sixwright.project.currencies import currency_of
from sixwright.project.names import cell_name, column_of, row_name, way_name
from sixwright.project.records import Records
from sixwright.reports.document import CellAddress

HINTS = {
    CellType.WORDS: "words with spaces between",
    CellType.SHARE: "0.08 is 8 %",
    CellType.RATE_H: "as in 84 CNY/h",
    CellType.DATE: "as in 2026-09-14",
    CellType.SIZE3: "three lengths, as in 352 257 90 mm or 35 x 26 x 9 cm",
    CellType.FACTORS: "two factors, as in 0.8 1.5",
    CellType.PUBLIC: "as in keys=6",
    CellType.CURRENCY: "as in USD",
    CellType.LOCALE: "as in en-GB",
}


@dataclass(frozen=True, slots=True)
class Field:
    """What a page needs to let a cell be changed.

    Attributes
    ----------
    place
        The cell.
    text
        What stands there, as the file has it; empty where it is unknown.
    label
        What the cell is called.
    kind
        ``number``, ``choice`` (one of `options`) or ``text``.
    unit
        What a bare number is in; or a hint of how the text is written.
    """

    place: CellAddress
    text: str
    label: str
    kind: str
    unit: str


@dataclass(frozen=True, slots=True)
class FieldOption:
    """One text that a cell may have, and its words."""

    value: str
    words: str


def field(records: Records, place: CellAddress) -> Field | None:
    """The field of a cell; None where the folder has no such table or column.

    A row that is not there yet has an empty field: writing in it adds the row.
    """
    column = column_of(place.table, place.column)
    row = records.get(place.table, {}).get(place.id)
    own = row is not None and place.column in row.cells
    if column is None and not own:
        return None
    text = row.cells.get(place.column, "").strip() if row else ""
    label = cell_name(records, place.table, place.id, place.column)
    if column is None:
        return Field(place, text, label, "text", "")
    return Field(place, text, label, _kind(column), _unit(records, place, column, text))


def _kind(column: ColumnSchema) -> str:
    if column.cell in NUMERIC:
        return "number"
    one = column.cell is not CellType.WORDS
    return "choice" if one and (column.refers or column.choices or _is_boolean(column)) else "text"


def _is_boolean(column: ColumnSchema) -> bool:
    return column.cell is CellType.BOOLEAN


def _unit(records: Records, place: CellAddress, column: ColumnSchema, text: str) -> str:
    if column.cell is CellType.MONEY:
        return "" if text[-3:].isalpha() else currency_of(records, place.table, place.id)
    return hint(column)


def hint(column: ColumnSchema) -> str:
    """What a bare number is in, or how the text is written; words that are listed, in full."""
    if column.cell is CellType.WORDS and column.choices:
        either = f"; or {' or '.join(column.also)}" if column.also else ""
        return f"{', '.join(column.choices)}{either}"
    return column.unit or HINTS.get(column.cell, "")


def options(records: Records, place: CellAddress) -> tuple[FieldOption, ...]:
    """What a cell may be, where that can be listed; the empty text too, where it may be unknown."""
    column = column_of(place.table, place.column)
    if column is None or _kind(column) != "choice":
        return ()
    empty = () if column.required else (FieldOption("", _when_empty(column)),)
    return (*empty, *_listed(records, place, column))


def _when_empty(column: ColumnSchema) -> str:
    words = column.when_empty
    return words if words in {UNKNOWN, NONE} else f"left empty: {words}"


def _listed(records: Records, place: CellAddress, column: ColumnSchema) -> Iterator[FieldOption]:
    if _is_boolean(column):
        yield from (FieldOption("yes", "yes"), FieldOption("no", "no"))
    yield from (FieldOption(word, word) for word in (*column.also, *column.choices))
    for table in column.refers:
        for id_, row in records.get(table, {}).items():
            if place.table == table and place.id == id_:
                continue
            if (place.table, table) == ("parts", "ways") and row.cells.get("part") != place.id:
                continue
            yield FieldOption(id_, named(records, place.table, table, id_))


def named(records: Records, at: str, table: str, id_: str) -> str:
    """What a row is called in a cell that refers to it; a way needs no name beside its part."""
    return (
        way_name(records, id_)
        if (at, table) == ("parts", "ways")
        else row_name(records, table, id_)
    )
