"""The cells of a sheet that hold something, within stated limits, as they come."""

import re
from math import isfinite
from typing import Any

from sixwright.storage.workbooks.archive import UnusableError
from sixwright.storage.workbooks.sheet import Position, value_text

# The most that the sheets of a workbook may hold; docs/limits.md states them.
MOST_ROWS = 250_000
MOST_COLUMNS = 1_000
MOST_CELLS = 2_000_000
LONGEST_CELL = 32_767  # characters, ECMA-376 part 1, 18.18.94 as spreadsheets hold it
MOST_TEXT = 64_000_000  # characters of all cells
_CURRENCY = re.compile(r"[$€£¥]|[A-Z]{3}")
_UNCOMPUTED = "a formula whose value the file does not hold"
_SHOWN = 40  # characters of a cell that is refused


class Room:
    """What the sheets of a workbook may still hold."""

    def __init__(self) -> None:
        self.cells, self.text = MOST_CELLS, MOST_TEXT

    def take(self, text: str) -> None:
        """Count a cell that holds something.

        Raises
        ------
        UnusableError
            If the workbook holds more than is read.
        """
        self.cells -= 1
        self.text -= len(text)
        if len(text) > LONGEST_CELL:
            raise UnusableError(f"at most {LONGEST_CELL} characters in a cell", f"{len(text)}")
        if self.cells < 0:
            raise UnusableError(f"at most {MOST_CELLS} cells that hold something", "more")
        if self.text < 0:
            raise UnusableError(f"at most {MOST_TEXT} characters in all cells", "more")


class SheetCells:
    """Texts by row and column from 0, and what is known of them beside.

    Attributes
    ----------
    width
        One more than the last column that holds something.
    """

    def __init__(self, book: Any, room: Room) -> None:
        self.width = 0
        self.numeric: set[Position] = set()
        self.unread: dict[Position, str] = {}
        self.formats: dict[Position, str] = {}
        self._book, self._room = book, room
        self._texts: dict[int, dict[int, str]] = {}

    def add(self, cell: dict[str, Any]) -> None:
        """Take a cell where it holds something; blanks alone that lie far out are dropped.

        Raises
        ------
        UnusableError
            If it lies beyond what is read, or has a style that the workbook has not.
        """
        value = cell["value"]
        why = _why_unread(cell)
        text = "" if why else value_text(value)
        if not why and not text:
            return
        at = cell["row"] - 1, cell["column"] - 1
        if not (0 <= at[0] < MOST_ROWS and 0 <= at[1] < MOST_COLUMNS):
            if text.isspace():
                return
            expected = f"cells in at most {MOST_ROWS} rows and {MOST_COLUMNS} columns"
            found = f"one in column {at[1] + 1} that holds “{text[:_SHOWN]}”"
            raise UnusableError(expected, found)
        self._room.take(text)
        self.width = max(self.width, at[1] + 1)
        self._texts.setdefault(at[0], {})[at[1]] = text
        if why:
            self.unread[at] = why
        elif isinstance(value, int | float) and not isinstance(value, bool):
            self.numeric.add(at)
            shown = self._shown(cell["style_id"])
            if _CURRENCY.search(shown.replace("General", "")):
                self.formats[at] = shown

    def _shown(self, style: int) -> str:
        """How numbers of a style are shown."""
        from openpyxl.styles.numbers import BUILTIN_FORMATS, BUILTIN_FORMATS_MAX_SIZE

        try:
            number = self._book._cell_styles[style].numFmtId  # noqa: SLF001
            if number < BUILTIN_FORMATS_MAX_SIZE:
                return str(BUILTIN_FORMATS.get(number, "General"))
            return str(self._book._number_formats[number - BUILTIN_FORMATS_MAX_SIZE])  # noqa: SLF001
        except IndexError as error:
            raise UnusableError("a style that the workbook has", f"style {style}") from error

    def rows(self) -> tuple[tuple[str, ...], ...]:
        """All rows, equally long; those without any cell are one and the same."""
        empty = ("",) * self.width
        dense = [empty] * (max(self._texts, default=-1) + 1)
        for at, texts in self._texts.items():
            dense[at] = tuple(texts.get(column, "") for column in range(self.width))
        return tuple(dense)


def _why_unread(cell: dict[str, Any]) -> str | None:
    """Why a cell states no value, where it should."""
    value = cell["value"]
    if cell["data_type"] == "e":
        return f"the error {value}"
    if value is None:
        return _UNCOMPUTED if cell["formula"] else None
    return (
        "a number beyond all limits" if isinstance(value, float) and not isfinite(value) else None
    )
