"""A table's file with some rows edited, and every other byte as it was."""

import re
from collections.abc import Mapping
from dataclasses import dataclass

from sixwright.kernel.errors import InternalError
from sixwright.project.tables import TableSchema
from sixwright.storage.edits.row_edits import RowEdits
from sixwright.storage.tables.csv_text import BYTE_ORDER_MARK, CsvText, cell_text, parse_csv

_NEWLINE = re.compile(r"(?:\r\n|\n|\r)\Z")


@dataclass(frozen=True, slots=True)
class CsvStyle:
    """How a new file is written: as the line's other files are."""

    mark: str = ""
    delimiter: str = ","
    newline: str = "\r\n"  # RFC 4180, section 2.1


def style_of(content: bytes, table: TableSchema) -> CsvStyle:
    """How a file of the line is written.

    Raises
    ------
    InputError
        If it is no table's file.
    """
    text = parse_csv(content, _known(table))
    mark = BYTE_ORDER_MARK if text.text.startswith(BYTE_ORDER_MARK) else ""
    return CsvStyle(mark, text.delimiter, text.newline)


def edited_csv(
    content: bytes | None, table: TableSchema, edits: RowEdits, style: CsvStyle
) -> bytes:
    """The file after the edits; rows that they do not name stay byte for byte.

    A known column that the file lacks is added to the header alone: rows that were not edited
    stay shorter than it, which reads as empty cells.

    Raises
    ------
    InputError
        If the content is no table's file.
    """
    if content is None:
        header = style.delimiter.join(column.name for column in table.columns)
        content = (style.mark + header + style.newline).encode()
    sheet = _Sheet(parse_csv(content, _known(table)), table)
    for before, after in edits.changed:
        sheet.change(before.place.row, after.cells, after.id)
    for row in edits.removed:
        sheet.remove(row.place.row)
    for row, behind in edits.added:
        sheet.add(row.cells, row.id, behind)
    return sheet.text().encode("utf-8")


def _known(table: TableSchema) -> frozenset[str]:
    return frozenset(column.name for column in table.columns)


@dataclass(eq=False, slots=True)
class _Written:
    """A record as it is written: what stands before it, its text, its line end."""

    gap: str
    body: str
    end: str
    id: str
    gone: bool = False


class _Sheet:
    """The records of a file, edited one by one."""

    def __init__(self, parsed: CsvText, table: TableSchema) -> None:
        self._delimiter = parsed.delimiter
        self._newline = parsed.newline
        self._columns = list(parsed.columns)
        self._cell = re.compile(
            rf'((?:"(?:[^"]|"")*")?[^{parsed.delimiter}\r\n]*)({parsed.delimiter}|\Z)'
        )
        self._lines: list[_Written] = []
        self._by_number: dict[int, _Written] = {}
        at = 0
        for record in parsed.records:
            body = _NEWLINE.sub("", parsed.text[record.start : record.end])
            end = parsed.text[record.start + len(body) : record.end]
            cells = dict(zip(self._columns, record.cells, strict=False))
            id_ = "/".join(cells.get(key, "").strip() for key in table.key) if at else ""
            line = _Written(parsed.text[at : record.start], body, end, id_)
            self._lines.append(line)
            self._by_number[record.number] = line
            at = record.end
        self._tail = parsed.text[at:]
        self._open = self._lines[-1].end == ""

    def change(self, number: int | None, cells: Mapping[str, str], id_: str) -> None:
        """Give a row's cells the texts that differ from theirs."""
        line = self._line(number)
        raw = self._split(line.body)
        cells = {name: text for name, text in cells.items() if name}
        for name in (name for name, text in cells.items() if text):
            self._index(name)
        raw += [""] * (1 + self._last(cells) - len(raw))
        for at, name in enumerate(self._columns):
            new = cells.get(name, "")
            if name in cells and at < len(raw) and _bare(raw[at]) != new:
                raw[at] = cell_text(new, self._delimiter)
        line.body, line.id = self._delimiter.join(raw), id_

    def remove(self, number: int | None) -> None:
        """Take a row out."""
        self._line(number).gone = True

    def add(self, cells: Mapping[str, str], id_: str, behind: str) -> None:
        """Put a new row behind another, as wide as the header."""
        for name in (name for name, text in cells.items() if text):
            self._index(name)
        texts = [cell_text(cells.get(name, ""), self._delimiter) for name in self._columns]
        line = _Written("", self._delimiter.join(texts), self._newline, id_)
        before = next(
            at for at, other in enumerate(self._lines) if other.id == behind and not other.gone
        )
        self._lines.insert(before + 1, line)

    def text(self) -> str:
        """All of the file; the last row ends as the last row did, a header as it did."""
        stand = [line for line in self._lines if not line.gone]
        for line in stand[:-1]:
            line.end = line.end or self._newline
        for line in stand[1:][-1:]:
            line.end = "" if self._open else line.end or self._newline
        parts = [line.gap + ("" if line.gone else line.body + line.end) for line in self._lines]
        return "".join(parts) + self._tail

    def _line(self, number: int | None) -> _Written:
        if number is None or number not in self._by_number:
            raise InternalError(f"row must be one of the file's; received {number!r}.")
        return self._by_number[number]

    def _split(self, body: str) -> list[str]:
        """The cells of a record as they are written."""
        cells, at, mark = [], 0, self._delimiter
        while mark:
            found = self._cell.match(body, at)
            if found is None:
                raise InternalError(f"record must be one that was read; received {body!r}.")
            cells.append(found[1])
            at, mark = found.end(), found[2]
        return cells

    def _index(self, name: str) -> int:
        """Where a column stands; one that the header lacks is added to it."""
        if name not in self._columns:
            self._columns.append(name)
            self._lines[0].body += self._delimiter + cell_text(name, self._delimiter)
        return self._columns.index(name)

    def _last(self, cells: Mapping[str, str]) -> int:
        """The last column that a row has text in."""
        return max((self._columns.index(name) for name, text in cells.items() if text), default=0)


def _bare(raw: str) -> str:
    """What a cell says, without its quotes."""
    quoted = re.match(r'"((?:[^"]|"")*)"', raw)
    return quoted[1].replace('""', '"') + raw[quoted.end() :] if quoted else raw
