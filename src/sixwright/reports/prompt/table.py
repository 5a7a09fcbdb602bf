"""A table in columns of text; one that is too wide is printed in several parts."""

from collections.abc import Callable, Iterator
from textwrap import wrap
from typing import Any

from sixwright.reports.document import Cell, Row, Table

GAP = "  "
NAME_MOST, NAME_LEAST = 30, 14

Word = Callable[[Any], str]


def table_lines(table: Table, word: Word, *, width: int) -> Iterator[str]:
    """The lines of a table.

    Parameters
    ----------
    table
        Heads and rows.
    word
        Makes a value's text.
    width
        Characters in a line; at least 60.
    """
    grid = [[_text(cell, word) for cell in row.cells] for row in table.rows]
    body = max((len(row[0]) for row in grid), default=0)
    names = max(min(body, NAME_MOST), _longest_word(table, 0))
    widths = [names, *(_column_width(table, grid, i) for i in range(1, len(table.columns)))]
    said = max((len(_verdict(row)) for row in table.rows), default=0)
    widths[0] = _squeezed(widths, width - said)
    for number, part in enumerate(_parts(widths, width - said)):
        if number:
            yield ""
        yield from _part(table, grid, widths, part)


def _squeezed(widths: list[int], width: int) -> int:
    """The width of the names: less than they ask for, where the table then fits in one part."""
    others = sum(widths[1:]) + len(GAP) * (len(widths) - 1)
    return widths[0] if width - others < NAME_LEAST else min(widths[0], width - others)


def _text(cell: Cell, word: Word) -> str:
    if cell.nothing:
        return "·"
    if cell.value is None:
        return "unknown"
    return word(cell.value)


def _column_width(table: Table, grid: list[list[str]], column: int) -> int:
    body = max((len(row[column]) for row in grid if column < len(row)), default=1)
    return max(min(body, NAME_MOST), _longest_word(table, column))


def _longest_word(table: Table, column: int) -> int:
    """The longest word of a head: a head is broken between words, not into letters."""
    return min(max((len(word) for word in _head(table, column).split()), default=1), NAME_MOST)


def _head(table: Table, column: int) -> str:
    head = table.columns[column]
    return f"{head.head}, {head.unit}" if head.unit else head.head


def _parts(widths: list[int], width: int) -> Iterator[list[int]]:
    """Columns that fit side by side, the first one in each part."""
    part: list[int] = []
    used = widths[0]
    for column in range(1, len(widths)):
        needed = len(GAP) + widths[column]
        if part and used + needed > width:
            yield [0, *part]
            part, used = [], widths[0]
        part.append(column)
        used += needed
    yield [0, *part]


def _part(
    table: Table, grid: list[list[str]], widths: list[int], columns: list[int]
) -> Iterator[str]:
    heads = [wrap(_head(table, i), max(widths[i], 1)) or [""] for i in columns]
    deep = max(len(head) for head in heads)
    for level in range(deep):
        words = [([""] * (deep - len(head)) + head)[level] for head in heads]
        yield _line(words, table, widths, columns)
    yield "─" * (sum(widths[i] for i in columns) + len(GAP) * (len(columns) - 1))
    for row, texts in zip(table.rows, grid, strict=True):
        yield from _row(row, texts, table, widths, columns)


def _row(
    row: Row, texts: list[str], table: Table, widths: list[int], columns: list[int]
) -> Iterator[str]:
    if row.kind == "group":
        yield texts[0]
        return
    cells = [wrap(texts[i], widths[i]) or [""] for i in columns]
    for level in range(max(len(cell) for cell in cells)):
        words = [cell[level] if level < len(cell) else "" for cell in cells]
        yield _line(words, table, widths, columns) + ("" if level else _verdict(row))


def _verdict(row: Row) -> str:
    """What stands behind a row whose verdict no cell of it says."""
    told = any(cell.verdict for cell in row.cells)
    return f"{GAP}{row.verdict}" if row.verdict and not told else ""


def _line(words: list[str], table: Table, widths: list[int], columns: list[int]) -> str:
    padded = [
        word.rjust(widths[i]) if table.columns[i].numeric else word.ljust(widths[i])
        for i, word in zip(columns, words, strict=True)
    ]
    return GAP.join(padded).rstrip()
