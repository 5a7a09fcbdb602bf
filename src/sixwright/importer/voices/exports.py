"""An export of votes or comments as one table of text: CSV in any usual encoding, XLSX or JSON."""

import csv
import io
import json
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from sixwright.kernel.errors import FolderError, Problem
from sixwright.storage.files.within import MOST_NAMED, read_named
from sixwright.storage.workbooks.archive import unreadable, why_not
from sixwright.storage.workbooks.book import read_book
from sixwright.storage.workbooks.cells import MOST_COLUMNS
from sixwright.storage.workbooks.sheet import value_text

MOST_ROWS = 1_000_000  # as tables of many rows hold
DEEPEST = 40  # of brackets in JSON; an export has three or four
_EXPECTED = "votes or comments as CSV, XLSX or JSON"
_MARKS = (",", ";", "\t", "|")
_BOMS = ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"\xef\xbb\xbf", "utf-8-sig"))
_HALF = re.compile("[\ud800-\udfff]")
SEVERAL = "; "  # between the entries of a list in one cell


@dataclass(frozen=True, slots=True)
class Export:
    """One table.

    Attributes
    ----------
    name
        Of the file.
    header
        Names of the columns; an empty one is named by its place.
    rows
        Each as long as the header; rows without any text are left out.
    numbers
        Of each row, where it stands in the file: a spreadsheet's row, or an entry's number.
    empty
        Rows that were left out.
    """

    name: str
    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...]
    empty: int

    @property
    def signature(self) -> str:
        """The same for exports with the same columns, whatever their rows."""
        return sha256("\0".join(self.header).encode()).hexdigest()[:12]


def read_export(path: Path) -> Export:
    """The table of an export.

    Raises
    ------
    FolderError
        If the file cannot be opened, is too large, or holds no table.
    """
    try:
        if path.suffix.lower() in {".xlsx", ".xlsm"}:
            sheets = [sheet for sheet in read_book(path) if not sheet.hidden and sheet.rows]
            if not sheets:
                raise _refused(path, _EXPECTED, "an empty workbook")
            return _table(path, max(sheets, key=lambda sheet: len(sheet.rows)).rows, first=1)
        content = read_named(path, most=MOST_NAMED)
    except OSError as error:
        raise _refused(path, _EXPECTED, why_not(error)) from error
    text = _decoded(content)
    if "\0" in text or (text and text[0] < "\t"):
        raise _refused(path, _EXPECTED, "another kind of file")
    if text.lstrip()[:1] in {"[", "{"}:
        return _json(path, text)
    return _table(path, _csv(path, text), first=1)


def _refused(path: Path, expected: str, found: str) -> FolderError:
    return unreadable(path.name, Problem(path.name, expected, found))


def _decoded(content: bytes) -> str:
    """By its byte-order mark, as UTF-8, as UTF-16 without a mark, or as Western Windows text."""
    for mark, encoding in _BOMS:
        if content.startswith(mark):
            return content.decode(encoding, errors="replace")
    half = content[:2000]
    if half[1::2].count(0) > len(half) // 3:
        return content.decode("utf-16-le", errors="replace")
    if half[::2].count(0) > len(half) // 3:
        return content.decode("utf-16-be", errors="replace")
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def _csv(path: Path, text: str) -> list[list[str]]:
    head = text[:200_000]
    mark = max(_MARKS, key=lambda mark: _columns(head, mark))
    try:
        return list(csv.reader(io.StringIO(text, newline=""), delimiter=mark))
    except csv.Error as error:
        raise _refused(path, _EXPECTED, str(error)) from error


def _columns(head: str, mark: str) -> int:
    """Cells in the rows of the width that most rows have."""
    try:
        widths = [len(row) for row in csv.reader(io.StringIO(head, newline=""), delimiter=mark)]
    except csv.Error:
        return 0
    wide = [width for width in widths if width > 1]
    return max((width * wide.count(width) for width in set(wide)), default=0)


def _table(path: Path, rows: Iterable[Iterable[str]], *, first: int) -> Export:
    """The rows below the header, which is the first row with text."""
    told = [[cell.strip() for cell in row] for row in rows]
    at = next((i for i, row in enumerate(told) if any(row)), None)
    if at is None:
        raise _refused(path, _EXPECTED, "an empty file")
    width = max(len(row) for row in told)
    _check_size(path, len(told), width)
    header = _names(told[at] + [""] * (width - len(told[at])))
    kept = [(i, row) for i, row in enumerate(told) if i > at and any(row)]
    return Export(
        path.name,
        header,
        tuple(tuple(row + [""] * (width - len(row))) for _, row in kept),
        tuple(i + first for i, _ in kept),
        len(told) - at - 1 - len(kept),
    )


def _check_size(path: Path, rows: int, columns: int) -> None:
    if rows > MOST_ROWS or columns > MOST_COLUMNS:
        expected = f"at most {MOST_ROWS} rows and {MOST_COLUMNS} columns"
        raise _refused(path, expected, f"{rows} rows and {columns} columns")


def _names(cells: list[str]) -> tuple[str, ...]:
    """A name for each column, no two alike."""
    names: list[str] = []
    for i, cell in enumerate(cells, 1):
        name = " ".join(cell.split()) or f"column {i}"
        again = sum(other == name or other.startswith(f"{name} (") for other in names)
        names.append(f"{name} ({again + 1})" if name in names else name)
    return tuple(names)


def _json(path: Path, text: str) -> Export:
    """Entries of the longest list of objects; nested names are joined by dots."""
    try:
        whole = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise _refused(path, _EXPECTED, f"JSON that cannot be read ({error})") from error
    entries = max(_lists(whole), key=len, default=[])
    if not entries:
        raise _refused(path, "a list of objects, one a vote or comment", "none")
    flat = [dict(_flat("", entry)) for entry in entries]
    names = list(dict.fromkeys(name for entry in flat for name in entry))
    _check_size(path, len(flat), len(names))
    return _table(path, [names, *([entry.get(n, "") for n in names] for entry in flat)], first=0)


def _lists(value: object, depth: int = 0) -> Iterable[list[object]]:
    if depth > DEEPEST:
        return
    if isinstance(value, list):
        if value and all(isinstance(entry, dict) for entry in value):
            yield value
        for entry in value[:1000]:
            yield from _lists(entry, depth + 1)
    elif isinstance(value, dict):
        for entry in value.values():
            yield from _lists(entry, depth + 1)


def _flat(name: str, value: object, depth: int = 0) -> Iterable[tuple[str, str]]:
    if isinstance(value, Mapping) and depth < DEEPEST:
        for key, entry in value.items():
            yield from _flat(f"{name}.{key}" if name else str(key), entry, depth + 1)
    elif isinstance(value, list):
        plain = [value_text(entry) for entry in value if not isinstance(entry, dict | list)]
        yield _whole(name), _whole(SEVERAL.join(plain))
    else:
        yield _whole(name), "" if value is None else _whole(value_text(value))


def _whole(text: str) -> str:
    """The text; where half a character stands, as JSON can say, a mark that one was lost."""
    return text.encode("utf-8", "replace").decode("utf-8") if _HALF.search(text) else text
