"""Every table of a line out to a workbook (XLSX), and an edited workbook back as changes."""

import os
import re
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import Any, Protocol

from sixwright.kernel.errors import BusyError, FolderError, InputError, Problem
from sixwright.project.records import Change, Records, Row
from sixwright.project.tables import TABLES, Cell, Column, Table
from sixwright.storage.book import Sheet, number_text, read_book

# A fixed moment, so that the same folder gives the same bytes twice.
CREATED = datetime(2000, 1, 1, tzinfo=UTC).replace(tzinfo=None)
LONGEST_CELL = 32_767  # characters, ECMA-376 part 1, 18.18.94 as spreadsheets hold it
NUMBERS = {Cell.COUNT, Cell.NUMBER, Cell.SHARE, Cell.MONEY}
_PLAIN = re.compile(r"-?\d+(\.\d+)?")
_LONGEST_NUMBER = 11  # characters that a spreadsheet shows in full


class HasRecords(Protocol):
    """A folder, as far as a workbook is concerned."""

    @property
    def records(self) -> Records:
        """Table, then id, then row."""


def to_xlsx(folder: HasRecords, file: Path) -> None:
    """Write every table of the folder to a workbook, one sheet a table.

    Numbers that a spreadsheet keeps as they are written become numbers; all else, ids and text
    that would start a formula among it, is written as text. The same folder gives the same
    bytes.

    Raises
    ------
    InputError
        If a cell is longer than a spreadsheet can hold.
    BusyError
        If the file is held open elsewhere; it is then as before.
    """
    from xlsxwriter import Workbook

    _check_lengths(folder.records)
    content = BytesIO()
    # Text inside the cell elements: openpyxl changes some texts of a shared list of strings.
    book = Workbook(content, {"constant_memory": True})
    book.set_properties({"created": CREATED})
    styles = {
        "header": book.add_format({"bold": True, "bottom": 1, "num_format": "@"}),
        "text": book.add_format({"num_format": "@", "valign": "top"}),
        "number": book.add_format({"valign": "top"}),
    }
    for table in TABLES:
        _write_table(book.add_worksheet(table.name), table, folder.records, styles)
    book.close()
    _replace(file, content.getvalue())


def from_xlsx(folder: HasRecords, file: Path) -> list[Change]:
    """The changes that make the folder say what the workbook says.

    A sheet or a column that the workbook lacks changes nothing; a row that its sheet lacks is
    removed; a sheet that is no table is left alone.

    Raises
    ------
    FolderError
        With every cell that cannot be taken: a row without its id, an id given twice, a formula
        whose value the file does not hold.
    """
    sheets = {sheet.name: sheet for sheet in read_book(file)}
    problems: list[Problem] = []
    edits: list[Change] = []
    removals: list[Change] = []
    for table in TABLES:
        if table.name in sheets:
            rows = _rows_of(sheets[table.name], table, file.name, problems)
            before = folder.records.get(table.name, {})
            edits += _edits(table, before, rows)
            gone = [id_ for id_ in before if id_ not in rows] if table.key else []
            removals += [Change(table.name, id_, remove=True) for id_ in gone]
    if not any(table.name in sheets for table in TABLES):
        names = ", ".join(table.name for table in TABLES)
        found = "the sheets " + ", ".join(f"“{name}”" for name in sheets)
        problems.append(Problem(file.name, f"sheets named as the tables are ({names})", found))
    if problems:
        raise FolderError(tuple(problems))
    return edits + removals[::-1]


def _check_lengths(records: Records) -> None:
    for row in (row for rows in records.values() for row in rows.values()):
        for name, text in row.cells.items():
            if len(text) > LONGEST_CELL:
                place = f"{row.table}, row “{row.id}”, column “{name}”"
                most = f"at most {LONGEST_CELL} characters to go into a workbook"
                raise InputError(f"{place} must be {most}; received {len(text)}.")


def _columns(table: Table, rows: Mapping[str, Row]) -> list[str]:
    """The table's columns and then the user's own, in the order they are met."""
    named = dict.fromkeys(column.name for column in table.columns)
    named.update(dict.fromkeys(name for row in rows.values() for name in row.cells if name))
    return list(named)


def _write_table(sheet: Any, table: Table, records: Records, styles: Mapping[str, Any]) -> None:
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


def _counts(column: Column | None) -> bool:
    return column is not None and column.cell in NUMBERS


def _write_cell(
    sheet: Any, at: tuple[int, int], cell: tuple[Table, Row, str], styles: Mapping[str, Any]
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


def _replace(file: Path, content: bytes) -> None:
    part = file.with_name(f".{file.name}.part")
    try:
        part.write_bytes(content)
        os.replace(part, file)  # noqa: PTH105  one call, on every system
    except PermissionError as error:
        part.unlink(missing_ok=True)
        raise BusyError(f"{file.name} is held open by another program: nothing written.") from error


def _rows_of(
    sheet: Sheet, table: Table, file: str, problems: list[Problem]
) -> dict[str, dict[str, str]]:
    """The sheet's rows by id: column to text, for the columns it has."""
    place = f"{file}, sheet “{sheet.name}”"
    header = dict(_header(sheet, place, problems))
    rows: dict[str, dict[str, str]] = {}
    lacking = [key for key in table.key if key not in header.values()]
    if lacking:
        expected = " and ".join(f"the column “{key}”" for key in lacking)
        problems.append(Problem(place, expected, "none of that name", row=1))
        return rows
    kinds = {column.name: column.cell for column in table.columns}
    for number, texts in enumerate(sheet.rows[1:], 2):
        for at, name in header.items():
            if (number - 1, at) in sheet.unread:
                why = sheet.unread[number - 1, at]
                problems.append(Problem(place, "a value", why, row=number, column=name))
        cells = {name: _taken(texts[at], kinds.get(name)) for at, name in header.items()}
        if any(cells.values()):
            _add_row(rows, cells, table, (place, number), problems)
    return rows


def _header(sheet: Sheet, place: str, problems: list[Problem]) -> Iterator[tuple[int, str]]:
    """The columns that have a name; a name given twice is a problem."""
    met: set[str] = set()
    for at, name in enumerate(sheet.rows[0] if sheet.rows else ()):
        if name in met:
            problems.append(Problem(place, "each column once", f"“{name}” twice", row=1))
        elif name:
            yield at, name
        met.add(name) if name else None


def _taken(text: str, cell: Cell | None) -> str:
    """A cell's text; what a spreadsheet shows for yes and no becomes those words."""
    if cell is Cell.BOOLEAN and text in {"TRUE", "FALSE"}:
        return "yes" if text == "TRUE" else "no"
    return text


def _add_row(
    rows: dict[str, dict[str, str]],
    cells: dict[str, str],
    table: Table,
    place: tuple[str, int],
    problems: list[Problem],
) -> None:
    id_ = "/".join(cells[key] for key in table.key) if table.key else table.name
    empty = [key for key in table.key if not cells[key]]
    if empty:
        problems += [
            Problem(place[0], "an id", "an empty cell", row=place[1], column=key) for key in empty
        ]
    elif id_ in rows:
        problems.append(Problem(place[0], "each row once", f"“{id_}” again", row=place[1]))
    else:
        rows[id_] = cells


def _edits(
    table: Table, before: Mapping[str, Row], after: Mapping[str, Mapping[str, str]]
) -> Iterator[Change]:
    for id_, cells in after.items():
        if id_ not in before:
            yield Change(table.name, id_, add={name: text for name, text in cells.items() if text})
            continue
        old = before[id_].cells
        for name, text in cells.items():
            if text != old.get(name, ""):
                yield Change(table.name, id_, column=name, was=old.get(name, ""), value=text)
