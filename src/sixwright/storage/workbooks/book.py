"""A workbook as text: every sheet's cells, and what a cell could not say.

Cells are read in one pass that keeps only what holds something, so that a stray cell in the last
row, a merge of the whole sheet or gigabytes of nothing take neither memory nor time.
"""

import warnings
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from sixwright.storage.workbooks.archive import opened, told, unbroken
from sixwright.storage.workbooks.cells import Room, SheetCells
from sixwright.storage.workbooks.parsing import Parsed, rows_of
from sixwright.storage.workbooks.sheet import Area, Sheet


def read_book(path: Path) -> tuple[Sheet, ...]:
    """Every sheet of a workbook (XLSX), in its order, with the values last computed.

    Raises
    ------
    FolderError
        If the file cannot be opened, is no workbook, is broken or holds more than is read; with
        the sheet and row.
    """
    with opened(path) as reader, warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of dates that are none: they are errors of their cells
        with told(path.name, path.name), unbroken("a workbook that lists its sheets"):
            listed = [(sheet, rel.target) for sheet, rel in reader.parser.find_sheets()
                      if "chartsheet" not in rel.Type]  # fmt: skip
        room = Room()
        return tuple(_sheet(path.name, reader, sheet, target, room) for sheet, target in listed)


def book_property(path: Path, name: str) -> str | None:
    """A property of a workbook's own (File, Properties, Custom); None where it has none.

    Raises
    ------
    FolderError
        As `read_book`.
    """
    with (
        opened(path) as reader,
        told(path.name, path.name),
        unbroken("a workbook whose properties can be read"),
    ):
        reader.read_custom()
        found = {each.name: each.value for each in reader.wb.custom_doc_props.props}
    return None if found.get(name) is None else str(found[name])


def _sheet(file: str, reader: Any, sheet: Any, target: str, room: Room) -> Sheet:
    parsed, cells = Parsed(), SheetCells(reader.wb, room)
    with told(file, f"{file}, sheet “{sheet.name}”", row=lambda: parsed.row):
        with unbroken("a sheet that is in the file"):
            part = reader.archive.open(target)
        with part:
            for row in _unbroken_rows(rows_of(part, reader, parsed)):
                for cell in row:
                    cells.add(cell)
    rows = cells.rows()
    return Sheet(
        name=sheet.name,
        rows=rows,
        hidden=sheet.state != "visible",
        numeric=frozenset(cells.numeric),
        unread=cells.unread,
        formats=cells.formats,
        merged=tuple(sorted(_clipped(parsed.merged, len(rows), cells.width))),
        typed=True,
        hidden_rows=frozenset(at - 1 for at in parsed.hidden_rows if at <= len(rows)),
        hidden_columns=frozenset(
            at
            for first, last in parsed.hidden_columns
            for at in range(max(first, 1) - 1, min(last, cells.width))
        ),
    )


def _unbroken_rows(rows: Iterator[list[dict[str, Any]]]) -> Iterator[list[dict[str, Any]]]:
    """The rows, one step of the library after another."""
    while True:
        with unbroken("cells as a spreadsheet writes them"):
            row = next(rows, None)
        if row is None:
            return
        yield row


def _clipped(merged: Iterable[Area], height: int, width: int) -> Iterator[Area]:
    """Merged ranges as far as the sheet holds something, from 0."""
    for top, bottom, left, right in merged:
        if 1 <= top <= height and 1 <= left <= width:
            yield top - 1, min(bottom, height) - 1, left - 1, min(right, width) - 1
