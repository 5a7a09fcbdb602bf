"""Blocks of the page of an empty folder: a spreadsheet as it is read, shown on its own sheet."""

from dataclasses import dataclass

from sixwright.kernel.sentences import Sentence


@dataclass(frozen=True, slots=True)
class Drop:
    """Where a spreadsheet can be dropped on a page, or chosen."""


@dataclass(frozen=True, slots=True)
class ReadAsk:
    """Something that a spreadsheet leaves open, or that can be read otherwise; one of several.

    Attributes
    ----------
    what, name
        What is asked (``currency``, ``kind`` …) and of which word or column.
    options
        Values and their words.
    value
        How it is read now; empty where it must be said.
    """

    what: str
    name: str
    label: str
    options: tuple[tuple[str, str], ...]
    value: str = ""


@dataclass(frozen=True, slots=True)
class ReadColumn:
    """A column of a spreadsheet: what it is read as, and why.

    `start` and `currency` are of a column of prices, and None elsewhere.
    """

    name: str
    meaning: str
    why: str
    start: str | None = None
    currency: str | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """A spreadsheet as it is read, shown on the sheet itself; nothing of it is written yet.

    Attributes
    ----------
    asks
        What is open, then what can be said otherwise.
    meanings, currencies
        What a column can be read as, and codes of currencies.
    rows
        Number in the spreadsheet, what the row is read as, and its cells.
    more
        How many further rows are not shown.
    first
        What must be said before a line can be made; None where it can be made now.
    held
        What names the spreadsheet and all that was said of it.
    """

    asks: tuple[ReadAsk, ...]
    columns: tuple[ReadColumn, ...]
    meanings: tuple[tuple[str, str], ...]
    currencies: tuple[str, ...]
    rows: tuple[tuple[int, str, tuple[str, ...]], ...]
    more: int = 0
    first: Sentence | None = None
    held: str = ""
