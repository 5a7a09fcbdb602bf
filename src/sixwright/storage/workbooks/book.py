"""A workbook as text: every sheet's cells, and what a cell could not say."""

import re
import zipfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any

from sixwright.kernel.errors import FolderError, Problem

# ECMA-376 part 1, 22.4.2.4: a character that XML cannot hold, or a carriage return, is _xHHHH_.
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
# Spreadsheets keep 15 significant digits of a number.
_DIGITS = 15
_BOOK = "a workbook (XLSX)"

Position = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet, from its first row and column on; positions are (row, column) from 0.

    Attributes
    ----------
    rows
        Text of each cell; an empty text where there is none. Rows are equally long.
    numeric
        Cells that hold a number, whose text therefore has a decimal point and no thousands mark.
    unread
        Cells that state no value, and why: a formula nobody has computed, or an error.
    formats
        How numbers are shown, where the format names a currency.
    merged
        First and last row, first and last column of each merged range.
    typed
        Whether the file tells text from formulas; a CSV does not.
    hidden_rows, hidden_columns
        Those that the file does not show, by place.
    """

    name: str
    rows: tuple[tuple[str, ...], ...]
    hidden: bool = False
    numeric: frozenset[Position] = frozenset()
    unread: dict[Position, str] = field(default_factory=dict)
    formats: dict[Position, str] = field(default_factory=dict)
    merged: tuple[tuple[int, int, int, int], ...] = ()
    typed: bool = False
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()


def number_text(value: float) -> str:
    """A number as plain decimal text without trailing zeros: 289.0 is ``289``."""
    if isinstance(value, int):
        return str(value)
    text = format(Decimal(f"{value + 0.0:.{_DIGITS}g}"), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def value_text(value: object) -> str:
    """The text of a cell's value: dates by ISO 8601, numbers plain, text as it stands.

    Source
    ------
    ISO 8601 calendar dates; ECMA-376 part 1, 22.4.2.4 for escaped characters.
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        return number_text(value)
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ")
    if isinstance(value, date | time):
        return value.isoformat()
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), str(value))


def read_book(path: Path) -> tuple[Sheet, ...]:
    """Every sheet of a workbook (XLSX), in its order, with the values last computed.

    Raises
    ------
    FolderError
        If the file cannot be opened or is no workbook.
    """
    from openpyxl import load_workbook

    with _opened(path):
        values = load_workbook(path, data_only=True)
        formulas = load_workbook(path) if _has_formulas(path) else None
    return tuple(
        _sheet(values[name], formulas[name] if formulas else None)
        for name in (sheet.title for sheet in values.worksheets)
    )


def book_property(path: Path, name: str) -> str | None:
    """A property of a workbook's own (File, Properties, Custom); None where it has none.

    Raises
    ------
    FolderError
        As `read_book`.
    """
    from openpyxl import load_workbook

    with _opened(path):
        book = load_workbook(path, read_only=True)
        book.close()
    found = {each.name: each.value for each in book.custom_doc_props.props}
    return None if found.get(name) is None else str(found[name])


@contextmanager
def _opened(path: Path) -> Iterator[None]:
    """Whatever keeps a workbook from being opened, as one error."""
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        yield
    except OSError as error:
        raise unreadable(path.name, Problem(path.name, _BOOK, why_not(error))) from error
    except (zipfile.BadZipFile, InvalidFileException, KeyError, ValueError) as error:
        found = "a file that is none, or a protected one"
        raise unreadable(path.name, Problem(path.name, _BOOK, found)) from error


def unreadable(file: str, problem: Problem) -> FolderError:
    """The error of a spreadsheet that cannot be read."""
    return FolderError((problem,), f"The spreadsheet {file} cannot be read")


def why_not(error: OSError) -> str:
    """Why the system does not open a file."""
    if isinstance(error, FileNotFoundError):
        return "no such file"
    return f"a file that cannot be opened ({error.strerror})"


def _has_formulas(path: Path) -> bool:
    """Whether any sheet has a formula; reading it costs less than opening the book twice."""
    with zipfile.ZipFile(path) as archive:
        sheets = (name for name in archive.namelist() if name.startswith("xl/worksheets/"))
        return any(re.search(rb"<f[ >/]", archive.read(name)) for name in sheets)


def _cells(sheet: Any) -> Iterable[Any]:
    """Rows of cells up to the last that hold a value; formatted empty ones may go far beyond."""
    held = [at for at, cell in sheet._cells.items() if cell.value is not None]  # noqa: SLF001
    areas = [(area.max_row, area.max_col) for area in sheet.merged_cells.ranges]
    if not held:
        return ()
    last_row, last_column = (max(at[axis] for at in held + areas) for axis in (0, 1))
    rows: Iterable[Any] = sheet.iter_rows(1, last_row, 1, last_column)
    return rows


def _sheet(sheet: Any, formulas: Any) -> Sheet:
    rows: list[tuple[str, ...]] = []
    numeric: set[Position] = set()
    unread: dict[Position, str] = {}
    formats: dict[Position, str] = {}
    for at_row, row in enumerate(_cells(sheet)):
        texts: list[str] = []
        for at_column, cell in enumerate(row):
            value, at = cell.value, (at_row, at_column)
            if isinstance(value, int | float) and not isinstance(value, bool):
                numeric.add(at)
                if re.search(r"[$€£¥]|[A-Z]{3}", cell.number_format.replace("General", "")):
                    formats[at] = cell.number_format
            if cell.data_type == "e":
                unread[at] = f"the error {value}"
                value = None
            elif value is None and formulas is not None:
                written = formulas.cell(at_row + 1, at_column + 1)
                if written.data_type == "f":
                    unread[at] = "a formula whose value the file does not hold"
            texts.append(value_text(value))
        rows.append(tuple(texts))
    merged = tuple(
        (area.min_row - 1, area.max_row - 1, area.min_col - 1, area.max_col - 1)
        for area in sheet.merged_cells.ranges
    )
    return Sheet(
        name=sheet.title,
        rows=tuple(rows),
        hidden=sheet.sheet_state != "visible",
        numeric=frozenset(numeric),
        unread=unread,
        formats=formats,
        merged=tuple(sorted(merged)),
        typed=True,
        hidden_rows=frozenset(
            at - 1 for at, row in sheet.row_dimensions.items() if row.hidden and at <= len(rows)
        ),
        hidden_columns=frozenset(_hidden_columns(sheet, len(rows[0]) if rows else 0)),
    )


def _hidden_columns(sheet: Any, width: int) -> Iterator[int]:
    """Columns that are not shown; the file states them as ranges."""
    for column in sheet.column_dimensions.values():
        if column.hidden:
            yield from range(column.min - 1, min(column.max, width))
