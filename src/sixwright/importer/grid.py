"""The spreadsheet a producer already has, as sheets of text; and which sheet lists the parts."""

import csv
import io
import re
from collections.abc import Iterator, Sequence
from itertools import islice
from pathlib import Path

from sixwright.importer.words import BREAK, TOTAL, meaning_of, plain
from sixwright.kernel.errors import Problem
from sixwright.storage.files.within import MOST_TABLE, read_named
from sixwright.storage.workbooks.archive import unreadable, why_not
from sixwright.storage.workbooks.book import read_book
from sixwright.storage.workbooks.cells import MOST_COLUMNS, MOST_ROWS
from sixwright.storage.workbooks.sheet import Sheet

_SHEET = "a spreadsheet as XLSX or CSV"
_HEADER_WITHIN = 40  # rows; titles, addresses and dates above a table are fewer


def read_sheets(path: Path) -> tuple[Sheet, ...]:
    """Every sheet of an XLSX, or the one table of a CSV.

    Raises
    ------
    FolderError
        If the file cannot be read.
    """
    if path.suffix.lower() in {".xlsx", ".xlsm"}:
        return read_book(path)
    if path.suffix.lower() in {".xls", ".ods", ".numbers"}:
        found = f"a file of the type {path.suffix}; save it as XLSX or CSV"
        raise unreadable(path.name, Problem(path.name, _SHEET, found))
    try:
        content = read_named(path, most=MOST_TABLE)
    except OSError as error:
        raise unreadable(path.name, Problem(path.name, _SHEET, why_not(error))) from error
    return (_csv_sheet(path, content),)


def _csv_sheet(path: Path, content: bytes) -> Sheet:
    text = _decoded(content)
    if "\0" in text:
        raise unreadable(path.name, Problem(path.name, _SHEET, "another file"))
    # A line of the file may be a title; the separator is the one that most lines have most of.
    mark = max((",", ";", "\t"), key=lambda mark: _cells(text, mark))
    try:
        read = csv.reader(io.StringIO(text, newline=""), delimiter=mark)
        rows = list(islice(read, MOST_ROWS + 1))  # no more in memory than is taken
        count = len(rows) + sum(1 for _ in read)
    except csv.Error as error:
        raise unreadable(path.name, Problem(path.name, _SHEET, str(error))) from error
    width = max((len(row) for row in rows), default=0)
    if count > MOST_ROWS or width > MOST_COLUMNS:
        expected = f"cells in at most {MOST_ROWS} rows and {MOST_COLUMNS} columns"
        found = f"{count} rows and {width} columns"
        raise unreadable(path.name, Problem(path.name, expected, found))
    padded = tuple(tuple(row + [""] * (width - len(row))) for row in rows)
    return Sheet(name=path.stem, rows=padded)


def _cells(text: str, mark: str) -> int:
    """How many cells the rows have that share the commonest width above one."""
    rows = csv.reader(io.StringIO(text[:200_000], newline=""), delimiter=mark)
    try:
        widths = [len(row) for row in rows if len(row) > 1]
    except csv.Error:
        return 0
    return max((width * widths.count(width) for width in set(widths)), default=0)


def _decoded(content: bytes) -> str:
    """Text of the file: by its byte-order mark, as UTF-8, or as Western Windows text."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def is_known(header: str) -> bool:
    """Whether a column's name is one that parts lists use."""
    return meaning_of(header) is not None or bool(BREAK.fullmatch(plain(header)))


def header_row(sheet: Sheet) -> int | None:
    """The row that names the columns, from 0: of the first rows, the one that says most."""
    best: tuple[tuple[int, int], int] | None = None
    for at, row in enumerate(sheet.rows[:_HEADER_WITHIN]):
        texts = [text for text in row if text.strip()]
        if len(texts) < 2 or TOTAL.fullmatch(texts[0].strip()):
            continue
        named = sum(is_known(text) for text in texts)
        words = sum(not re.fullmatch(r"[\d.,\s%-]+", text) for text in texts)
        if best is None or (named, words) > best[0]:
            best = (named, words), at
    return None if best is None else best[1]


def parts_sheet(sheets: tuple[Sheet, ...]) -> Sheet | None:
    """The visible sheet that looks most like a list of parts; a hidden one only if all are."""
    candidates = [sheet for sheet in sheets if not sheet.hidden] or list(sheets)
    scored = [(_score(sheet), -at, sheet) for at, sheet in enumerate(candidates)]
    scored = [entry for entry in scored if entry[0] > (0, 0)]
    return max(scored, key=lambda entry: entry[:2])[2] if scored else None


def _score(sheet: Sheet) -> tuple[int, int]:
    at = header_row(sheet)
    if at is None:
        return (0, 0)
    below = [row for row in sheet.rows[at + 1 :] if any(text.strip() for text in row)]
    named = sum(is_known(text) for text in sheet.rows[at] if text.strip())
    return (named * (1 if below else 0) + bool(below), len(below))


def column_names(sheet: Sheet, at: int) -> list[str]:
    """A name for each column: its header, the merged cell above it, or its letter; no two alike."""
    names: list[str] = []
    for column, text in enumerate(sheet.rows[at]):
        name = " ".join(text.split()) or _merged_above(sheet, at, column)
        if not name and any(row[column].strip() for row in sheet.rows[at + 1 :]):
            name = f"column {letter(column)}"
        taken = sum(other == name or other.startswith(f"{name} (") for other in names)
        names.append(f"{name} ({taken + 1})" if name and name in names else name)
    return names


def _merged_above(sheet: Sheet, at: int, column: int) -> str:
    """The text of a merged cell that reaches down to the header row, in this column alone."""
    for top, bottom, left, right in sheet.merged:
        if top <= at <= bottom and left == right == column:
            return " ".join(sheet.rows[top][left].split())
    return ""


def heading_above(sheet: Sheet, at: int, column: int) -> str:
    """What stands above a column and its neighbours: a merged cell, or a text before blanks."""
    for top, bottom, left, right in sheet.merged:
        if top <= bottom < at <= bottom + 2 and left <= column <= right and left < right:
            return " ".join(sheet.rows[top][left].split())
    if not at:
        return ""
    above = sheet.rows[at - 1]
    start = next((each for each in range(column, -1, -1) if above[each].strip()), None)
    if start is None or any(top <= at - 1 <= bottom and left <= start <= right
                            for top, bottom, left, right in sheet.merged):  # fmt: skip
        return ""
    return " ".join(above[start].split())


def is_total(texts: Sequence[str]) -> bool:
    """Whether a row is a total: its first cell of words says so."""
    first = next((text.strip() for text in texts if re.search(r"[^\W\d]", text)), "")
    return bool(TOTAL.fullmatch(first.rstrip(" :")))


def letter(column: int) -> str:
    """The letters that spreadsheets give to a column, from 0."""
    return ("" if column < 26 else letter(column // 26 - 1)) + chr(ord("A") + column % 26)


def data_rows(sheet: Sheet, at: int) -> Iterator[tuple[int, tuple[str, ...]]]:
    """The rows below the header that hold anything, with their place from 0."""
    bottoms = [bottom for top, bottom, _, _ in sheet.merged if top <= at < bottom]
    first = max([at, *bottoms]) + 1
    for number, row in enumerate(sheet.rows[first:], first):
        if any(text.strip() for text in row):
            yield number, row
