"""Long tables on a page: the first rows, and the rest on demand.

A page shows so many rows of each table. Which ones is said in its address: `?<table>=400` starts a
table at its 401st row, `?at=part-17` at the row that bears this anchor.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import overload
from urllib.parse import parse_qsl, urlencode

from sixwright.kernel.ids import slug
from sixwright.kernel.sentences import Count, Sentence, Value
from sixwright.reports.document import Block, Document, Fold, Items, Row, RowsAround, Table

# So many rows of a table are laid out at once (own choice: a screen holds some thirty).
MOST_ROWS = 200
AT = "at"


@dataclass(frozen=True, slots=True)
class Windows:
    """Which rows of a page's tables are wanted.

    Attributes
    ----------
    start
        A table's name in its address, to the place of its first row shown, from 0.
    at
        The anchor of a row that must be among those shown; empty for none.
    printed
        Whether nobody can ask for the other rows there.
    """

    start: Mapping[str, int] = field(default_factory=dict)
    at: str = ""
    printed: bool = False


def windows_of(query: str) -> Windows:
    """What a page's address asks for; what it does not understand is left aside."""
    asked = dict(parse_qsl(query.removeprefix("?")))
    start = {name: int(text) for name, text in asked.items()
             if text.isascii() and text.isdecimal() and len(text) <= 9}  # fmt: skip
    return Windows(start, asked.get(AT, ""))


def windowed(document: Document, windows: Windows, *, most: int = MOST_ROWS) -> Document:
    """The document with no more than so many rows of each table."""
    cutting = _Cutting(windows, most)
    return replace(document, blocks=tuple(_block(block, cutting) for block in document.blocks))


@dataclass(frozen=True, slots=True)
class _Cutting:
    """Which rows are wanted, how many at most, and how often a name was given to a table."""

    windows: Windows
    most: int
    names: Counter[str] = field(default_factory=Counter)

    def name(self, table: Table) -> str:
        """A table's name in addresses: another one for each table of the page."""
        # Counts of rows in its title come and go.
        name = slug(re.sub(r"\d+", "", table.name), otherwise="rows")
        self.names[name] += 1
        return name if self.names[name] == 1 else f"{name}-{self.names[name]}"


def _block(block: Block, cutting: _Cutting) -> Block:
    windows, most = cutting.windows, cutting.most
    match block:
        case Table() if len(block.rows) > most:
            return _cut(block, windows, most, cutting.name(block))
        case Items() if len(block.items) > most:
            return _fewer(block, windows, most)
        case Fold():
            return replace(block, blocks=tuple(_block(b, cutting) for b in block.blocks))
        case _:
            return block


def _fewer(listed: Items, windows: Windows, most: int) -> Items:
    """The first of many findings, or those about the one that is asked for."""
    anchors = [item.anchor for item in listed.items]
    start = anchors.index(windows.at) if windows.at in anchors else 0
    shown = listed.items[start : start + most]
    return replace(listed, items=shown, more=len(listed.items) - len(shown))


def _cut(table: Table, windows: Windows, most: int, name: str) -> Table:
    """A part of the rows; the sums at the end stay, and so does the heading of the first row."""
    rows = table.rows
    tail = next((i for i in range(len(rows), 0, -1) if rows[i - 1].kind != "total"), 0)
    if tail <= most:
        return table
    start = _place_of(rows, windows.at)
    start = windows.start.get(name, 0) if start is None else max(0, start - most // 2)
    start = min(start, tail - 1)
    end = min(tail, start + most)
    before = _address(name, max(0, start - most)) if start else ""
    after = _address(name, end) if end < tail else ""
    values: dict[str, Value] = {
        "first": Count(start + 1), "last": Count(end), "total": Count(tail, "row", "rows")
    }  # fmt: skip
    said = "These are {first} to {last} of {total}"
    said += "; its page has them all." if windows.printed else "."
    return replace(
        table,
        rows=(*_heading(rows, start), *rows[start:end], *rows[tail:]),
        caption=(Sentence(said, values), *table.caption),
        stretch=None if windows.printed else RowsAround(name, before, after),
    )


def _heading(rows: Sequence[Row], start: int) -> tuple[Row, ...]:
    """The heading that the first row shown stands under, where it is not shown itself."""
    if not start or isinstance(rows, Lazy) or rows[start].kind == "group":
        return ()
    above = (rows[i] for i in range(start - 1, -1, -1) if rows[i].kind == "group")
    return tuple(row for row in (next(above, None),) if row is not None)


def _place_of(rows: Sequence[Row], anchor: str) -> int | None:
    if not anchor:
        return None
    if isinstance(rows, Lazy):
        return rows.place_of(anchor)
    return next((i for i, row in enumerate(rows) if row.anchor == anchor), None)


def _address(name: str, start: int) -> str:
    return f"?{urlencode({name: start})}#{name}"


class Lazy(Sequence[Row]):
    """The rows of a long table, made only where they are shown.

    Parameters
    ----------
    anchors
        Of each row, in order.
    make
        Makes the row of a place.
    """

    def __init__(self, anchors: Sequence[str], make: Callable[[int], Row]) -> None:
        self._anchors, self._make = anchors, make

    def __len__(self) -> int:
        return len(self._anchors)

    @overload
    def __getitem__(self, at: int) -> Row: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[Row, ...]: ...
    def __getitem__(self, at: int | slice) -> Row | tuple[Row, ...]:
        if isinstance(at, slice):
            return tuple(self._make(i) for i in range(*at.indices(len(self))))
        return self._make(range(len(self))[at])

    def __iter__(self) -> Iterator[Row]:
        return (self._make(i) for i in range(len(self)))

    def place_of(self, anchor: str) -> int | None:
        """Where the row with an anchor stands; None where there is none."""
        return next((i for i, known in enumerate(self._anchors) if known == anchor), None)
