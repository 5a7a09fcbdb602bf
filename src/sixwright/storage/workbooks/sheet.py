"""A sheet of a workbook as text: its cells, and what a cell could not say."""

import re
from dataclasses import dataclass, field
from datetime import date, datetime, time
from decimal import Decimal

# ECMA-376 part 1, 22.4.2.4: a character that XML cannot hold, or a carriage return, is _xHHHH_.
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")
# Spreadsheets keep 15 significant digits of a number.
_DIGITS = 15

Position = tuple[int, int]
Area = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet, from its first row and column on; positions are (row, column) from 0.

    Attributes
    ----------
    rows
        Text of each cell; an empty text where there is none. Rows are equally long.
    numeric
        Cells that hold a number, whose text therefore has a decimal point and no thousands mark.
    unread
        Cells that state no value, and why: a formula nobody has computed, or an error.
    formats
        How numbers are shown, where the format names a currency.
    merged
        First and last row, first and last column of each merged range.
    typed
        Whether the file tells text from formulas; a CSV does not.
    hidden_rows, hidden_columns
        Those that the file does not show, by place.
    """

    name: str
    rows: tuple[tuple[str, ...], ...]
    hidden: bool = False
    numeric: frozenset[Position] = frozenset()
    unread: dict[Position, str] = field(default_factory=dict)
    formats: dict[Position, str] = field(default_factory=dict)
    merged: tuple[Area, ...] = ()
    typed: bool = False
    hidden_rows: frozenset[int] = frozenset()
    hidden_columns: frozenset[int] = frozenset()


def number_text(value: float) -> str:
    """A number as plain decimal text without trailing zeros: 289.0 is ``289``."""
    if isinstance(value, int):
        return str(value)
    text = format(Decimal(f"{value + 0.0:.{_DIGITS}g}"), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def value_text(value: object) -> str:
    """The text of a cell's value: dates by ISO 8601, numbers plain, text as it stands.

    Source
    ------
    ISO 8601 calendar dates; ECMA-376 part 1, 22.4.2.4 for escaped characters.
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, int | float):
        return number_text(value)
    if isinstance(value, datetime):
        return value.date().isoformat() if value.time() == time() else value.isoformat(" ")
    if isinstance(value, date | time):
        return value.isoformat()
    return _ESCAPED.sub(lambda found: chr(int(found[1], 16)), str(value))
