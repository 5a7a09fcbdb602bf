"""How a table is laid on paper: its columns' widths, upright or turned, whole or in parts."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sixwright.reports.document import Cell, Table

# Widths of Inter's glyphs, in ems, each rounded up: tabular figures, marks, letters, capitals.
FIGURE_EM, MARK_EM, LETTER_EM, CAPITAL_EM, FULL_EM = 0.66, 0.38, 0.61, 0.78, 1.05
TEXT_PT = 7.8  # the size that print.typ sets tables in
PAD_PT = 9.0  # what a cell keeps free at its two sides
WORDS_LEAST_PT, WORDS_MOST_PT = 46.0, 150.0
NAME_LEAST_PT = 70.0
HEAD_WORD_MOST_PT = 58.0  # longer words of a head are hyphenated

Word = Callable[[Any], str]


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper's name, and the width of the text on it upright and turned, pt."""

    name: str
    upright_pt: float
    turned_pt: float


@dataclass(frozen=True, slots=True)
class Part:
    """Columns that lie side by side, by their place in the table, with their widths in pt."""

    columns: tuple[int, ...]
    widths_pt: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """A table on paper: on a turned page or not, and in one part or several."""

    turned: bool
    parts: tuple[Part, ...]


def lay(table: Table, word: Word, paper: Paper) -> Laid:
    """The table upright where it fits, else turned, else turned and in parts.

    Parameters
    ----------
    word
        Makes a value's text.
    paper
        Must be wide enough for a name and one column.
    """
    least = [_least(table, word, i) for i in range(len(table.columns))]
    if table.even:
        least[1:] = [max(least[1:], default=0.0)] * (len(least) - 1)
    for turned, width in ((False, paper.upright_pt), (True, paper.turned_pt)):
        if sum(least) <= width:
            every = tuple(range(len(least)))
            return Laid(turned, (Part(every, _spread(table, least, every, width)),))
    width = paper.turned_pt
    parts = tuple(
        Part(columns, _spread(table, least, columns, width)) for columns in _split(least, width)
    )
    return Laid(turned=True, parts=parts)


def _least(table: Table, word: Word, column: int) -> float:
    """The least width of a column: numbers are never broken, words between words only."""
    head = table.columns[column]
    heads = [width_pt(each) for each in f"{head.head} {head.unit}".split()]
    cells = [
        row.cells[column] for row in table.rows if row.kind != "group" and column < len(row.cells)
    ]
    texts = [_text(cell, word) for cell in cells]
    if head.numeric:
        body = max((_numeric(cell, word) for cell in cells), default=0.0)
    else:
        words = max((width_pt(each) for text in texts for each in text.split()), default=0.0)
        details = [word(cell.detail) for cell in cells if cell.detail is not None]
        most = max((width_pt(text) for text in (*texts, *details)), default=0.0)
        broad = column == 0 or head.wide
        enough = NAME_LEAST_PT if broad else WORDS_LEAST_PT
        body = min(max(words, min(most, enough)), WORDS_MOST_PT)
    return max(body, min(max(heads, default=0.0), HEAD_WORD_MOST_PT)) + PAD_PT


def _numeric(cell: Cell, word: Word) -> float:
    """The width of a number; a sentence beside a mark may be broken between its words."""
    text = _text(cell, word)
    if cell.remarks:
        return max(width_pt(each) for each in text.split(" ")) + TEXT_PT
    mark = TEXT_PT if cell.verdict else 0.0
    return min(width_pt(text) + mark, WORDS_MOST_PT)


def _text(cell: Cell, word: Word) -> str:
    if cell.nothing:
        return "·"
    return "unknown" if cell.value is None else word(cell.value)


def _spread(
    table: Table, least: Sequence[float], columns: Sequence[int], width: float
) -> tuple[float, ...]:
    """Widths that share out what is left: to the words first, evenly to all where there are none.

    A table of a few columns keeps to its own width, so that a row can be read across.
    """
    wanted = [min(least[i] * 1.6, least[i] + 22.0) for i in columns]
    wordy = [n for n, i in enumerate(columns) if i == 0 or table.columns[i].wide]
    if len(table.columns) <= 3:
        for n in wordy:
            wanted[n] = max(wanted[n], 0.32 * width)
    room, asked = width - sum(least[i] for i in columns), sum(wanted)
    if asked <= width:
        spare = 0.0 if len(table.columns) <= 3 else width - asked
        return tuple(
            each + (spare / len(wordy) if n in wordy else 0.0) for n, each in enumerate(wanted)
        )
    ask = asked - sum(least[i] for i in columns)
    return tuple(
        least[i] + room * (each - least[i]) / ask for i, each in zip(columns, wanted, strict=True)
    )


def _split(least: Sequence[float], width: float) -> Iterator[tuple[int, ...]]:
    """Columns in parts that fit, as even as can be, the first one in each."""
    others = list(range(1, len(least)))
    for count in range(2, len(others) + 1):
        size = -(-len(others) // count)
        parts = [(0, *others[i : i + size]) for i in range(0, len(others), size)]
        if all(sum(least[i] for i in part) <= width for part in parts):
            yield from parts
            return
    yield from ((0, i) for i in others)


def width_pt(text: str) -> float:
    """How wide a text is at most, in a table's size, pt."""
    return TEXT_PT * sum(_em(mark) for mark in text)


def _em(mark: str) -> float:
    if mark.isdigit():
        return FIGURE_EM
    if ord(mark) >= 0x2E80:
        return FULL_EM
    if mark.isalpha():
        return CAPITAL_EM if mark.isupper() or mark in "mwMW" else LETTER_EM
    return MARK_EM if mark in " \u00a0\u202f.,:;'’·|()[]/-" else LETTER_EM
