"""Lines of numbers in a text of hundreds of megabytes, a few megabytes at a time."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sixwright.kernel.errors import MeshError
from sixwright.numerics.mesh.model import Flags, Longs
from sixwright.numerics.rotations import Floats

Bytes = NDArray[np.uint8]

CHUNK_BYTES = 1 << 22
MOST_LINE_BYTES = 1 << 20  # a face of a hundred thousand corners; nobody models one
_NEWLINE, _SPACE, _SLASH = 10, 32, ord("/")


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Some whole lines of a text, and where their words stand.

    Attributes
    ----------
    text
        (b,), the lines' bytes.
    line
        (l,), of each line that is not blank, its number in the file, from 1.
    first
        (l + 1,), the number of each line's first word among all, then how many words there are.
    start, end
        (w,), where each word begins and ends in the text.
    """

    text: Bytes
    line: Longs
    first: Longs
    start: Longs
    end: Longs

    @property
    def counts(self) -> Longs:
        """(l,): words of each line."""
        return np.diff(self.first)

    def begins(self, word: bytes) -> Flags:
        """(l,): whether the line's first word is this one, in small letters."""
        at, length = self.start[self.first[:-1]], self.end[self.first[:-1]] - self.start[
            self.first[:-1]
        ]  # fmt: skip
        same: Flags = length == len(word)
        for i, letter in enumerate(word):
            here = self.text.take(at + i, mode="clip")
            same &= (here == letter) | (here == letter - 32)
        return same


def rows_of(text: bytes, *, start: int = 0, line: int = 1) -> Iterator[Rows]:
    """The lines of a text, in blocks of whole lines.

    Parameters
    ----------
    start, line
        Where to begin, and the number of the line there.

    Raises
    ------
    MeshError
        If a line is longer than any mesh's.
    """
    whole = np.frombuffer(text, np.uint8)
    while start < len(whole):
        end = start + CHUNK_BYTES
        if end < len(whole):
            cut = text.rfind(b"\n", start, end)
            if cut < 0:
                end = text.find(b"\n", end, start + MOST_LINE_BYTES + CHUNK_BYTES) + 1
                if not end:
                    raise MeshError(
                        "lines of text", f"line {line:,} without an end", "it is no mesh as text"
                    )
            else:
                end = cut + 1
        part = whole[start : min(end, len(whole))]
        yield _rows(part, line)
        line += int((part == _NEWLINE).sum())
        start = end


def _rows(text: Bytes, line: int) -> Rows:
    blank = text <= _SPACE
    edge = np.flatnonzero(blank[1:] != blank[:-1]) + 1
    if len(text) and not blank[0]:
        edge = np.concatenate([[0], edge])
    if len(edge) % 2:
        edge = np.append(edge, len(text))
    start, end = edge[0::2], edge[1::2]
    newline = np.flatnonzero(text == _NEWLINE)
    of_line = np.searchsorted(newline, start)
    first = np.flatnonzero(np.diff(of_line, prepend=-1))
    return Rows(text, of_line[first] + line, np.append(first, len(start)), start, end)


def numbers(
    rows: Rows, chosen: Flags, kind: type[np.float64] | type[np.int64], *, skip: int, least: int
) -> tuple[NDArray[Any], Longs]:
    """All numbers of some lines, one after another, and how many each line has.

    Parameters
    ----------
    chosen
        (l,): which lines.
    kind
        Type of the numbers; of words with slashes, as ``7/3/1``, what stands before the first.
    skip
        Words to pass over at each line's begin.
    least
        Numbers that a line must have.

    Raises
    ------
    MeshError
        If a line has fewer, or a word is no number.
    """
    lines = np.flatnonzero(chosen)
    counts = rows.counts[lines] - skip
    if (counts < least).any():
        at = int(lines[np.argmax(counts < least)])
        raise _not_so(rows, at, f"{least} numbers or more", f"“{_words(rows, at)}”")
    text = _kept(rows, lines, skip)
    # An empty text is read as one number.
    found: NDArray[Any] = np.fromstring(text, kind, sep=" ") if counts.sum() else np.zeros(0, kind)
    return found, counts


def _kept(rows: Rows, lines: Longs, skip: int) -> bytes:
    """The chosen lines' text without the words to pass over, and without what follows a slash."""
    text = rows.text.copy()
    for word in range(skip):
        at = rows.first[:-1][lines] + word
        _blank_out(text, rows.start[at], rows.end[at])
    if (text == _SLASH).any():
        _drop_after_slashes(text, rows)
    if len(lines) < len(rows.line):
        keep = np.zeros(len(rows.line) + 1, np.bool_)
        keep[lines] = True
        # Each line reaches from its first word to the next line's; blanks between are harmless.
        begins = rows.start[rows.first[:-1]]
        reach = np.diff(begins, append=len(text))
        text = text[begins[0] :][np.repeat(keep[:-1], reach)]
    return text.tobytes()


def _blank_out(text: Bytes, start: Longs, end: Longs) -> None:
    longest = int((end - start).max(initial=0))
    for i in range(longest):
        at = start + i
        text[at[at < end]] = _SPACE


def _drop_after_slashes(text: Bytes, rows: Rows) -> None:
    """Blank out each word from its first slash on."""
    slash = np.flatnonzero(text == _SLASH)
    word = np.searchsorted(rows.start, slash, side="right") - 1
    first = np.diff(word, prepend=-1) > 0
    _blank_out(text, slash[first], rows.end[word[first]])


def first_three(values: Floats, counts: Longs, columns: tuple[int, ...] = (0, 1, 2)) -> Floats:
    """(l, 3): three columns of lines that may have more, from what `parsed` gives.

    Raises
    ------
    IndexError
        If a line has fewer.
    """
    start = np.cumsum(counts) - counts
    three: Floats = values[start[:, None] + np.array(columns)]
    return three


def parsed(
    rows: Rows, chosen: Flags, kind: type[np.float64] | type[np.int64], *, skip: int, least: int
) -> tuple[NDArray[Any], Longs]:
    """As `numbers`, and where a word is no number, the sentence that says which.

    Raises
    ------
    MeshError
        As `numbers`.
    """
    try:
        found, counts = numbers(rows, chosen, kind, skip=skip, least=least)
    except (ValueError, DeprecationWarning):
        found, counts = np.zeros(0, kind), rows.counts[chosen] - skip
    if len(found) == counts.sum():
        return found, counts
    raise _first_that_is_none(rows, np.flatnonzero(chosen), kind, skip)


def _first_that_is_none(
    rows: Rows, lines: Longs, kind: type[np.float64] | type[np.int64], skip: int
) -> MeshError:
    """The refusal of the first word that is no number."""
    for at in lines.tolist():
        for word in _words(rows, at, most=1 << 20).split()[skip:]:
            try:
                kind(word.split("/")[0] if kind is np.int64 else word)
            except (ValueError, OverflowError):
                return _not_so(rows, at, "numbers with a decimal point", f"“{word[:40]}”")
    return _not_so(rows, int(lines[0]), "numbers", "“" + _words(rows, int(lines[0])) + "”")


def _words(rows: Rows, at: int, most: int = 60) -> str:
    """A line's text, shortened."""
    start = int(rows.start[rows.first[at]])
    end = int(rows.end[rows.first[at + 1] - 1])
    text = rows.text[start : min(end, start + most)].tobytes().decode("utf-8", "replace")
    return text if end - start <= most else text[:-1] + "…"


def _not_so(rows: Rows, at: int, expected: str, found: str) -> MeshError:
    return MeshError(
        f"{expected} in line {rows.line[at]:,}",
        found,
        "the file was damaged, or it is not the mesh that its name says",
    )
