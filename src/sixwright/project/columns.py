"""What a table of the folder is: its file, its columns, and what each column's cells are."""

from dataclasses import dataclass
from enum import StrEnum


class Cell(StrEnum):
    """What a cell's text must be."""

    ID = "an id (a lower-case letter, then letters, digits and hyphens)"
    TEXT = "text"
    WORDS = "words separated by spaces"
    COUNT = "a whole number, zero or more"
    NUMBER = "a number"
    SHARE = "a share from 0 up (0.08 is 8 %)"
    MONEY = "an amount of money"
    RATE_H = "an amount of money an hour, as in 84 CNY/h"
    BOOLEAN = "yes or no"
    DATE = "a date as 2026-09-14 (year, month, day)"
    CURRENCY = "a currency code of ISO 4217"
    KIND = "a kind of part"
    CHOICE = "one of the words listed"
    REAL = "a number, of either sign"
    SIZE3 = "three lengths in mm, separated by spaces"
    PUBLIC = "groups and counts, as in keys=6 heads=2"
    LOCALE = "a locale, as in en-GB"
    SCALE = "a scale, as in 1:6"


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name, what its cells are, whether they may be empty, what they refer to.

    Attributes
    ----------
    refers
        Tables whose ids a cell (or each of its words) must be one of.
    unit
        The bare unit of the name's suffix: mm, g, px, deg, or minutes.
    also
        Words allowed besides ids (``all``).
    """

    name: str
    cell: Cell
    required: bool = False
    refers: tuple[str, ...] = ()
    unit: str = ""
    also: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    label: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """One table: the file, its columns, and the columns that make a row's id."""

    name: str
    file: str
    key: tuple[str, ...]
    columns: tuple[Column, ...]
    required: bool = False
