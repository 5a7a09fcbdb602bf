"""Every table of a line out to a workbook (XLSX); `take_back` takes it back."""

import json
import re
from collections.abc import Mapping
from datetime import UTC, datetime
from hashlib import sha256
from io import BytesIO
from pathlib import Path
from typing import Any, Protocol

from sixwright.kernel.errors import InputError
from sixwright.project.columns import NUMERIC
from sixwright.project.records import Record, Records
from sixwright.project.tables import TABLES, ColumnSchema, TableSchema
from sixwright.storage.files.disk import REAL_DISK, Disk
from sixwright.storage.files.leaving import write_out
from sixwright.storage.files.spreadsheet_locks import refusal
from sixwright.storage.workbooks.sheet import number_text

# A fixed moment, so that the same folder gives the same bytes twice.
CREATED = datetime(2000, 1, 1, tzinfo=UTC).replace(tzinfo=None)
# The property of a workbook that holds the checksum of the rows it was written from.
STATE = "sixwright state of the line"
LONGEST_CELL = 32_767  # characters, ECMA-376 part 1, 18.18.94 as spreadsheets hold it
_PLAIN = re.compile(r"-?\d+(\.\d+)?")
_LONGEST_NUMBER = 11  # characters that a spreadsheet shows in full


class HasRecords(Protocol):
    """A folder, as far as a workbook is concerned."""

    @property
    def records(self) -> Records:
        """Table, then id, then row."""


def to_xlsx(
    folder: HasRecords, file: Path, *, line: Path | None = None, disk: Disk = REAL_DISK
) -> None:
    """Write every table of the folder to a workbook, one sheet a table.

    Numbers that a spreadsheet keeps as they are written become numbers; all else, ids and text
    that would start a formula among it, is written as text. The same folder gives the same
    bytes. Which state of the folder it is stands in the workbook's properties.

    Parameters
    ----------
    line
        The folder that a link in it must not lead out of.

    Raises
    ------
    InputError
        If a cell is longer than a spreadsheet can hold.
    BusyError
        If the file is held open elsewhere; it is then as before.
    DiskError
        If the disk is full or refuses; it is then as before.
    """
    from xlsxwriter.exceptions import FileCreateError

    _check_lengths(folder.records)
    try:
        content = _content(folder.records)
    except FileCreateError as error:
        raise refusal("a temporary file", error.args[0]) from error
    except OSError as error:
        raise refusal("a temporary file", error) from error
    write_out({file: content}, line=line, disk=disk)


def _content(records: Records) -> bytes:
    """The bytes of the workbook; what makes them works in temporary files."""
    from xlsxwriter import Workbook

    content = BytesIO()
    # Text inside the cell elements: openpyxl changes some texts of a shared list of strings.
    book = Workbook(content, {"constant_memory": True})
    book.set_properties({"created": CREATED})
    book.set_custom_property(STATE, checksum(records))
    styles = {
        "header": book.add_format({"bold": True, "bottom": 1, "num_format": "@"}),
        "text": book.add_format({"num_format": "@", "valign": "top"}),
        "number": book.add_format({"valign": "top"}),
    }
    for table in TABLES:
        _write_table(book.add_worksheet(table.name), table, records, styles)
    book.close()
    return content.getvalue()


def checksum(records: Records) -> str:
    """SHA-256 of what the rows say, whatever their order, as hexadecimal digits."""
    said = [
        [name, id_, sorted((column, text) for column, text in row.cells.items() if text)]
        for name, rows in sorted(records.items())
        for id_, row in sorted(rows.items())
    ]
    return sha256(json.dumps(said).encode()).hexdigest()


def _check_lengths(records: Records) -> None:
    for row in (row for rows in records.values() for row in rows.values()):
        for name, text in row.cells.items():
            if len(text) > LONGEST_CELL:
                place = f"{row.table}, row “{row.id}”, column “{name}”"
                most = f"at most {LONGEST_CELL} characters to go into a workbook"
                raise InputError(f"{place} must be {most}; received {len(text)}.")


def _columns(table: TableSchema, rows: Mapping[str, Record]) -> list[str]:
    """The table's columns and then the user's own, in the order they are met."""
    named = dict.fromkeys(column.name for column in table.columns)
    named.update(dict.fromkeys(name for row in rows.values() for name in row.cells if name))
    return list(named)


def _write_table(
    sheet: Any, table: TableSchema, records: Records, styles: Mapping[str, Any]
) -> None:
    rows = records.get(table.name, {})
    names = _columns(table, rows)
    kinds = {column.name: column for column in table.columns}
    for at, name in enumerate(names):
        texts = [name, *(row.cells.get(name, "") for row in rows.values())]
        width = max(len(line) for text in texts for line in text.splitlines() or [""])
        style = styles["number" if _counts(kinds.get(name)) else "text"]
        sheet.set_column(at, at, min(max(width + 2, 8), 60), style)
    sheet.freeze_panes(1, max(1, len(table.key)))
    for at, name in enumerate(names):
        sheet.write_string(0, at, name, styles["header"])
    for at_row, row in enumerate(rows.values(), 1):
        for at, name in enumerate(names):
            _write_cell(sheet, (at_row, at), (table, row, name), styles)


def _counts(column: ColumnSchema | None) -> bool:
    return column is not None and column.cell in NUMERIC


def _write_cell(
    sheet: Any,
    at: tuple[int, int],
    cell: tuple[TableSchema, Record, str],
    styles: Mapping[str, Any],
) -> None:
    table, row, name = cell
    text = row.cells.get(name, "")
    column = next((column for column in table.columns if column.name == name), None)
    if text and (column is None or _counts(column)) and _is_kept_as_number(text):
        sheet.write_number(*at, float(text), styles["number"])
    elif text:
        sheet.write_string(*at, text, styles["text"])


def _is_kept_as_number(text: str) -> bool:
    """Whether a spreadsheet would give this very text back, and show it in full."""
    short = len(text) <= _LONGEST_NUMBER and _PLAIN.fullmatch(text) and text.isascii()
    return bool(short) and number_text(float(text)) == text
