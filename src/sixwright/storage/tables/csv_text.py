"""A table's file as text: its records, and where each one stands, so that others stay as they are.

Comma, semicolon or tab; quotes and line ends as RFC 4180 has them; a byte-order mark is kept.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from sixwright.kernel.errors import InputError, LimitError

BYTE_ORDER_MARK = "\ufeff"
DELIMITERS = (",", ";", "\t")
# The most that a table may hold; docs/limits.md states them.
MOST_ROWS = 250_000
MOST_COLUMNS = 1_000
LONGEST_CELL = 32_767  # characters, as spreadsheets hold it
MOST_LINES = 1_048_576  # of a file, empty ones too, as spreadsheets count


@dataclass(frozen=True, slots=True)
class CsvRecord:
    """One record: its row as a spreadsheet counts (the header is 1), its cells, its span.

    Attributes
    ----------
    start, end
        Positions in the text; `end` is behind the line end.
    """

    number: int
    cells: tuple[str, ...]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class CsvText:
    """A file in records.

    Attributes
    ----------
    text
        All of the file, its byte-order mark included.
    newline
        The line end that the header has.
    records
        The header and then all others; records without any text are left out.
    """

    text: str
    delimiter: str
    newline: str
    records: tuple[CsvRecord, ...]

    @property
    def header(self) -> tuple[str, ...]:
        """Names of the columns, without spaces around them."""
        return tuple(cell.strip() for cell in self.records[0].cells) if self.records else ()

    @property
    def columns(self) -> tuple[str, ...]:
        """The same, and for a column without a name its number: its cells are kept like others."""
        names = list(self.header)
        for at, name in enumerate(names):
            number = f"column {at + 1}"
            names[at] = name or (number if number not in names else f"{number} without a name")
        return tuple(names)


def parse_csv(
    content: bytes, known: frozenset[str] = frozenset(), *, most_rows: int = MOST_ROWS
) -> CsvText:
    """Take a file apart.

    Parameters
    ----------
    content
        The file's bytes, UTF-8.
    known
        Names of columns that the table may have: they tell which mark separates cells.
    most_rows
        Rows that hold something.

    Raises
    ------
    LimitError
        If it holds more rows, columns or characters in a cell than are read.
    InputError
        If the bytes are not UTF-8, or a quote is not closed; the text says where.

    Source
    ------
    RFC 4180, section 2.
    """
    text = decoded(content)
    first = len(BYTE_ORDER_MARK) if text.startswith(BYTE_ORDER_MARK) else 0
    delimiter = max(DELIMITERS, key=lambda mark: _recognised(text, first, mark, known))
    records = tuple(_held(_records(text, first, delimiter), most_rows))
    end = re.search(r"\r\n|\n|\r", text[first:])
    return CsvText(text, delimiter, end[0] if end else "\n", records)


def _held(records: Iterator[CsvRecord], most_rows: int) -> Iterator[CsvRecord]:
    """Those that hold any text."""
    held = 0
    for record in records:
        if any(record.cells):
            held += 1
            if held > most_rows + 1:  # and the header
                raise LimitError(f"at most {most_rows} rows", "more")
            yield record


def decoded(content: bytes) -> str:
    """The text of a file that must be UTF-8.

    Raises
    ------
    InputError
        If it is not, or holds NUL; the text says in which line.
    """
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        found = f"the byte 0x{content[error.start]:02x} in line {line}"
        raise InputError(f"{found}, as another encoding writes it") from error
    if (at := content.find(b"\0")) >= 0:  # the history could not hold it, nor a page show it
        line = content.count(b"\n", 0, at) + 1
        raise InputError(f"the byte 0x00 in line {line}, as a damaged file has it")
    return text


def _recognised(text: str, first: int, delimiter: str, known: frozenset[str]) -> tuple[int, int]:
    """How many known columns a header has when split at a mark, and how many cells."""
    try:
        header = next(_records(text, first, delimiter), None)
        cells = [cell.strip() for cell in header.cells] if header else []
    except LimitError:  # of a header that is too wide, what a mere split makes of it
        cells = [cell.strip() for cell in text[first:].split("\n", 1)[0].split(delimiter)]
    except InputError:
        return 0, 0
    return sum(cell in known for cell in cells), len(cells)


def _records(text: str, start: int, delimiter: str) -> Iterator[CsvRecord]:
    """The records of a text from `start` on."""
    cell = re.compile(rf'(?:"((?:[^"]++|"")*+)")?([^{delimiter}\r\n]*)({delimiter}|\r\n|\n|\r|\Z)')
    at, number = start, 1
    while at < len(text):
        cells, begin, mark = [], at, delimiter
        while mark == delimiter:
            found = cell.match(text, at)
            if found is None or (found[1] is None and found[2].startswith('"')):
                raise InputError(f"a quote that opens in row {number} and is not closed")
            if found[1] is not None and found[2].strip():
                raise InputError(
                    f"a quote that opens in row {number} and does not close at a cell's end"
                )
            cells.append((found[1] or "").replace('""', '"') + found[2])
            at, mark = found.end(), found[3]
            if len(cells) > MOST_COLUMNS:
                raise LimitError(f"at most {MOST_COLUMNS} columns", "more", number)
            if len(cells[-1]) > LONGEST_CELL:
                most, is_ = f"at most {LONGEST_CELL} characters in a cell", len(cells[-1])
                raise LimitError(most, f"{is_}", number)
        yield CsvRecord(number, tuple(cells), begin, at)
        number += 1
        if number > MOST_LINES:
            raise LimitError(f"at most {MOST_LINES} lines", "more")


def cell_text(cell: str, delimiter: str) -> str:
    """A cell as it is written: quoted where it would be misread without."""
    bare = not any(mark in cell for mark in (delimiter, '"', "\r", "\n", *DELIMITERS))
    return cell if bare else '"' + cell.replace('"', '""') + '"'
