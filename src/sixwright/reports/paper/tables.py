"""How a table is laid on paper: its columns' widths, upright or turned, whole or in parts."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sixwright.reports.document import Cell, Table

# Widths of Inter's glyphs, in ems, each rounded up: tabular figures, marks, letters, capitals.
FIGURE_EM, MARK_EM, LETTER_EM, CAPITAL_EM, FULL_EM = 0.66, 0.38, 0.61, 0.78, 1.05
TEXT_PT = 7.8  # the size that blocks.typ sets tables in
PAD_PT = 9.0  # what a cell keeps free at its two sides
WORDS_LEAST_PT, WORDS_MOST_PT = 46.0, 150.0
WIDE_MOST_PT = 320.0  # of a column that is to be wide, where there is room
NAME_LEAST_PT = 70.0
NUMBERS_APART_PT = 14.0
FEW = 3  # columns of a table that keeps to its own width
HEAD_WORD_MOST_PT = 58.0  # longer words of a head are hyphenated

Word = Callable[[Any], str]


@dataclass(frozen=True, slots=True)
class Paper:
    """A paper's name, and the width of the text on it upright and turned, pt."""

    name: str
    upright_pt: float
    turned_pt: float


@dataclass(frozen=True, slots=True)
class Want:
    """The least width of a column and the one at which nothing in it is broken, pt.

    Attributes
    ----------
    words
        Whether it holds words, which are served before numbers.
    """

    least: float
    wanted: float
    words: bool


@dataclass(frozen=True, slots=True)
class ColumnGroup:
    """Columns that lie side by side, by their place in the table, with their widths in pt."""

    columns: tuple[int, ...]
    widths_pt: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Laid:
    """A table on paper: on a turned page or not, and in one part or several."""

    turned: bool
    parts: tuple[ColumnGroup, ...]


def lay(table: Table, word: Word, paper: Paper) -> Laid:
    """The table upright where it fits, else turned, else turned and in parts.

    Parameters
    ----------
    word
        Makes a value's text.
    paper
        Must be wide enough for a name and one column.
    """
    wants = [_want(table, word, i) for i in range(len(table.columns))]
    if table.even:
        most = max((want.least for want in wants[1:]), default=0.0)
        wants[1:] = [_apart(most)] * (len(wants) - 1)
    every = tuple(range(len(wants)))
    for turned, width in ((False, paper.upright_pt), (True, paper.turned_pt)):
        if sum(want.least for want in wants) <= width:
            return Laid(turned, (ColumnGroup(every, _spread(wants, width)),))
    width = paper.turned_pt
    parts = tuple(
        ColumnGroup(columns, _spread([wants[i] for i in columns], width))
        for columns in _split(wants, width)
    )
    return Laid(paper.turned_pt > paper.upright_pt, parts)


def _want(table: Table, word: Word, column: int) -> Want:
    """What a column needs: numbers are never broken, words only between words."""
    head = table.columns[column]
    heads = [width_pt(each) for each in f"{head.head} {head.unit}".split()]
    named = min(max(heads, default=0.0), HEAD_WORD_MOST_PT)
    cells = [
        row.cells[column] for row in table.rows if row.kind != "group" and column < len(row.cells)
    ]
    if head.numeric:
        body = max((_numeric(cell, word) for cell in cells), default=0.0)
        return _apart(max(body, named) + PAD_PT)
    texts = [_text(cell, word) for cell in cells]
    texts += [word(cell.detail) for cell in cells if cell.detail is not None]
    words = max((width_pt(each) for text in texts for each in text.split()), default=0.0)
    most = max((width_pt(text) for text in texts), default=0.0)
    enough = NAME_LEAST_PT if column == 0 or head.wide else WORDS_LEAST_PT
    least = max(min(words, WORDS_MOST_PT), min(most, enough), named) + PAD_PT
    wanted = min(most, WIDE_MOST_PT if head.wide else WORDS_MOST_PT)
    return Want(least, max(least, wanted + PAD_PT), words=True)


def _apart(least: float) -> Want:
    return Want(least, least + NUMBERS_APART_PT, words=False)


def _numeric(cell: Cell, word: Word) -> float:
    """The width of a number and its small print, which may be broken where it has spaces."""
    text = _text(cell, word)
    if cell.verdict:
        return width_pt(text) + 1.5 * TEXT_PT
    small = word(cell.detail).split(" ") if cell.detail is not None else []
    longest = max(width_pt(each) for each in (*text.split(" "), *small))
    return max(longest, min(width_pt(text), WORDS_LEAST_PT))


def _text(cell: Cell, word: Word) -> str:
    if cell.nothing:
        return "·"
    said = "unknown" if cell.value is None else word(cell.value)
    return f"{said}, page 99" if cell.link is not None else said


def _spread(wants: Sequence[Want], width: float) -> tuple[float, ...]:
    """Widths between the least and the wanted; what nobody wants goes to all alike.

    A table of a few columns keeps to its own width, so that a row can be read across.
    """
    widths = [want.least for want in wants]
    for words in (True, False):
        asked = [want.wanted - want.least if want.words == words else 0.0 for want in wants]
        room = width - sum(widths)
        share = min(room / sum(asked), 1.0) if sum(asked) else 0.0
        widths = [each + share * more for each, more in zip(widths, asked, strict=True)]
    spare = 0.0 if len(wants) <= FEW else (width - sum(widths)) / len(wants)
    return tuple(each + max(spare, 0.0) for each in widths)


def _split(wants: Sequence[Want], width: float) -> Iterator[tuple[int, ...]]:
    """Columns in parts that fit, as even as can be, the first one in each."""
    others = list(range(1, len(wants)))
    for count in range(2, len(others) + 1):
        size = -(-len(others) // count)
        parts = [(0, *others[i : i + size]) for i in range(0, len(others), size)]
        if all(sum(wants[i].least for i in part) <= width for part in parts):
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
