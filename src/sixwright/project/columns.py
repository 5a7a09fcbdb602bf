"""What a table of the folder is: its file, its columns, and what each column's cells are.

A table is declared once, in a module of `project/tables/`; reading, typing, naming, editing,
export, the schema of line.toml, the pages of tables and docs/folder.md derive from it.
"""

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from sixwright.kernel.sentences import with_article


class CellType(StrEnum):
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
    SIZE3 = "three lengths, as in 352 257 90 (mm) or 35 x 26 x 9 cm"
    FACTORS = "two factors of a price, the lower first, as in 0.8 1.5"
    PUBLIC = "groups and counts, as in keys=6 heads=2"
    LOCALE = "a locale, as in en-GB"
    SCALE = "a scale, as in 1:6"


# Kinds of cell that hold one number, and those of which an empty cell is an unknown value.
NUMERIC = frozenset(
    {
        CellType.COUNT,
        CellType.NUMBER,
        CellType.REAL,
        CellType.SHARE,
        CellType.MONEY,
        CellType.RATE_H,
    }
)
STATED = NUMERIC | {CellType.DATE, CellType.SIZE3, CellType.FACTORS, CellType.CURRENCY}
LISTS = frozenset({CellType.WORDS, CellType.SIZE3, CellType.FACTORS, CellType.PUBLIC})
UNKNOWN = "not known"
NONE = "none"


@dataclass(frozen=True, slots=True)
class Range:
    """What a number must be: its bounds, and the words for them.

    Attributes
    ----------
    low, high
        Bounds, in the column's unit; None where there is none.
    is_above, is_below
        Whether the bound itself is excluded.
    """

    words: str
    low: Fraction | None = None
    high: Fraction | None = None
    is_above: bool = False
    is_below: bool = False

    def allows(self, value: Fraction) -> bool:
        """Whether a number lies within."""
        if self.low is not None and (value < self.low or (self.is_above and value == self.low)):
            return False
        return self.high is None or value < self.high or (not self.is_below and value == self.high)


_0, _1, _7 = Fraction(0), Fraction(1), Fraction(7)
ANY = Range("of either sign")
NOT_NEGATIVE = Range("0 or more", _0)
ABOVE_0 = Range("above 0", _0, is_above=True)
ABOVE_0_TO_1 = Range("above 0 and at most 1", _0, _1, is_above=True)
BELOW_1 = Range("0 or more and below 1", _0, _1, is_below=True)
BETWEEN_0_AND_1 = Range("above 0 and below 1", _0, _1, is_above=True, is_below=True)
ONE_TO_7 = Range("from 1 to 7", _1, _7)


@dataclass(frozen=True, slots=True)
class ColumnSchema:
    """One column: all that is said of it anywhere.

    Attributes
    ----------
    name, label
        What the file calls it, and what a page calls it.
    required
        Whether its cells may not be empty.
    refers
        Tables whose ids a cell (or each of its words) must be one of.
    also
        Words allowed besides ids (``all``), or instead of `choices` (``none``).
    unit
        The bare unit of the name's suffix: mm, g, px, deg, or minutes.
    choices
        Words, one of which (of `CellType.WORDS`: some of which) a cell must be.
    allowed
        Bounds of its numbers, where they are not the usual ones: 0 or more; any for
        `CellType.REAL`.
    meaning
        What it says, in a few words of a producer.
    empty
        What an empty cell means; left out, that it is not known for numbers, dates and sizes, and
        that there is none for the rest.
    asked
        Whether the form of a new row asks for it, though it may be empty.
    fixed
        Whether it is only read on pages: it makes the row what it is, or sixwright writes it.
    may_be_guess
        Whether its amount may be a guess: ``~3.50 USD`` or ``3 to 4 USD``.
    """

    name: str
    cell: CellType
    required: bool = False
    refers: tuple[str, ...] = ()
    unit: str = ""
    also: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    label: str = ""
    allowed: Range | None = None
    meaning: str = ""
    empty: str = ""
    asked: bool = False
    fixed: bool = False
    may_be_guess: bool = False

    @property
    def when_empty(self) -> str:
        """What an empty cell means, in words."""
        return self.empty or (UNKNOWN if self.cell in STATED else NONE)

    @property
    def is_unknown_when_empty(self) -> bool:
        """Whether something rests on it, so that an empty cell is an unknown value."""
        return self.when_empty == UNKNOWN

    @property
    def in_full(self) -> str:
        """Its meaning, with its unit, its bounds and the words that it takes (Markdown)."""
        unit = f" ({self.unit})" if self.unit and self.unit not in self.meaning else ""
        bounds = f"; {self.allowed.words}" if self.allowed is not None else ""
        words = ", ".join(f"`{word}`" for word in self.choices)
        if self.choices and self.also:
            words += f", or `{'` or `'.join(self.also)}`"
        return f"{self.meaning}{unit}{bounds}{': ' + words if words else ''}"

    @property
    def range(self) -> Range:
        """What its numbers must be."""
        return self.allowed or (ANY if self.cell is CellType.REAL else NOT_NEGATIVE)


@dataclass(frozen=True, slots=True)
class TableSchema:
    """One table: the file, its columns, the columns that make a row's id, and its words.

    Attributes
    ----------
    required
        Whether a line must have the file.
    one, title, meaning
        What one row is (“price break”), what the page of the table is called, and what the table
        holds.
    called
        How a row is called, with columns in braces (``{part} in {sells}``); a column that refers
        to a row stands for that row's name. Left out: by its name, else by its id.
    currency
        The column that says the currency of its bare amounts: a code, or a row that has one.
        Left out: the line's.
    one_currency
        Whether its amounts may be in no other currency than that.
    always
        Whether the list of tables shows it before it has rows.
    read_only
        Whether it is written by what it records, not row by row.
    """

    name: str
    file: str
    key: tuple[str, ...]
    columns: tuple[ColumnSchema, ...]
    required: bool = False
    one: str = ""
    title: str = ""
    meaning: str = ""
    called: str = ""
    currency: str = ""
    one_currency: bool = False
    always: bool = False
    read_only: bool = False

    @property
    def a_row(self) -> str:
        """One row of it, with its article: “an edition”."""
        return with_article(self.one or self.name)


@dataclass(frozen=True, slots=True)
class SchemaGroup:
    """The tables that one topic, or the line itself, brings to the folder.

    Attributes
    ----------
    title, about
        The heading and the first lines of their section in docs/folder.md (Markdown).
    tables
        In the order in which they are listed.
    keys
        Single-valued keys of line.toml, dotted (``money.duty``).
    large
        Tables of hundreds of thousands of rows, which are read in one pass and only where they
        are asked for; pages and workbooks leave them out.
    """

    title: str
    about: str
    tables: tuple[TableSchema, ...]
    keys: tuple[ColumnSchema, ...] = ()
    large: tuple[TableSchema, ...] = ()
