"""Rows added to a table of many rows, and every other byte as it was."""

import re
from collections.abc import Collection, Iterator, Mapping

from sixwright.kernel.errors import FolderError, Problem
from sixwright.kernel.spreadsheet_text import safe_text
from sixwright.project.voices_rows import COLUMNS
from sixwright.storage.edits.csv_edit import CsvStyle
from sixwright.storage.tables.csv_text import CsvText, cell_text, parse_csv
from sixwright.storage.tables.large_tables import MOST_ROWS, large_rows

# Empty lines, then a line that holds something; a quoted cell may hold line breaks of its own.
_HEADER = re.compile(r'\s*(?:[^"\r\n]|"[^"]*")+(?:\r\n|\r|\n|\Z)')
RowTexts = Mapping[str, str]
SOURCE = "source"


def ids_of(name: str, content: bytes | None) -> dict[str, str]:
    """The source of each row that a file has, by the row's id.

    Parameters
    ----------
    name
        Of the file: one of `COLUMNS`.
    content
        Its bytes; None where it is not there yet.

    Raises
    ------
    FolderError
        If it is no table.
    """
    if content is None:
        return {}
    problems: list[Problem] = []
    table = large_rows(name, {name: content}, problems)
    if table is None:
        raise FolderError(tuple(problems))
    header, rows = table
    at = {column: i for i, column in enumerate(header)}
    if "id" not in at:
        raise FolderError((Problem(name, "the column “id”", "none of that name", 1, "id"),))

    def cell(row: object, column: str) -> str:
        i = at.get(column, -1)
        return row[i].strip() if isinstance(row, list) and 0 <= i < len(row) else ""

    return {cell(row, "id"): cell(row, SOURCE) for _, row in rows}


def with_rows(  # noqa: PLR0913  a file, what comes into it, and how it is written
    name: str,
    content: bytes | None,
    rows: Mapping[str, RowTexts],
    style: CsvStyle,
    *,
    again: Collection[str] = (),
    source: str = "",
) -> bytes:
    """The file with these rows behind its own, as its header has them.

    Parameters
    ----------
    name
        Of the file: one of `COLUMNS`.
    content
        Its bytes; None where it is not there yet.
    rows
        Id, then column: text. A text that a spreadsheet would run gets an apostrophe.
    style
        How a new file is written.
    again
        Ids of rows that are there and now come from `source`.
    source
        The import that they come from.
    """
    if content is None:
        header = style.delimiter.join(COLUMNS[name])
        content = (style.mark + header + style.newline).encode()
    parsed = (
        parse_csv(content, frozenset(COLUMNS[name]), most_rows=MOST_ROWS)
        if again
        else _head(name, content)
    )
    columns = [*parsed.header]
    text = _resourced(parsed, again, source) if again else parsed.text
    missing = [c for c in COLUMNS[name] if c not in columns and (rows or again)]
    if missing:
        first = parsed.records[0]
        end = len(parsed.text[: first.end].rstrip("\r\n"))
        text = text[:end] + "".join(parsed.delimiter + c for c in missing) + text[end:]
        columns += missing
    if text and not text.endswith(("\n", "\r")):
        text += parsed.newline
    lines = (_line(id_, cells, columns, parsed) for id_, cells in rows.items())
    return (text + "".join(lines)).encode("utf-8")


def _head(name: str, content: bytes) -> CsvText:
    """The file with its header alone taken apart: all that appending needs."""
    text = content.decode("utf-8")
    header = _HEADER.match(text)
    end = len(text) if header is None else header.end()
    parsed = parse_csv(text[:end].encode(), frozenset(COLUMNS[name]))
    return CsvText(text, parsed.delimiter, parsed.newline, parsed.records)


def _line(id_: str, cells: RowTexts, columns: list[str], parsed: CsvText) -> str:
    known = {**{name: safe_text(text) for name, text in cells.items()}, "id": id_}
    told = (cell_text(known.get(column, ""), parsed.delimiter) for column in columns)
    return parsed.delimiter.join(told) + parsed.newline


def _resourced(parsed: CsvText, again: Collection[str], source: str) -> str:
    """The text in which these rows name another source."""
    return "".join(_pieces(parsed, set(again), source))


def _pieces(parsed: CsvText, again: set[str], source: str) -> Iterator[str]:
    header = list(parsed.header)
    at, in_, done = header.index("id"), header.index(SOURCE), 0
    for record in parsed.records[1:]:
        if len(record.cells) > at and record.cells[at].strip() in again:
            cells = [*record.cells, *[""] * (in_ + 1 - len(record.cells))]
            cells[in_] = source
            body = parsed.delimiter.join(cell_text(cell, parsed.delimiter) for cell in cells)
            stands = parsed.text[record.start : record.end]
            end = stands[len(stands.rstrip("\r\n")) :]
            yield parsed.text[done : record.start] + body + end
            done = record.end
    yield parsed.text[done:]
