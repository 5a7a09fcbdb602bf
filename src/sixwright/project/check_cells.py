"""Each cell held against its column: the typed value, or a problem with its place."""

import re
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction
from functools import lru_cache

from sixwright.kernel.currency import CURRENCIES, Money
from sixwright.kernel.days import ISO_DATE, day
from sixwright.kernel.errors import Problem, QuantityError
from sixwright.kernel.quantities import (
    PointNumber,
    lengths,
    money,
    money_per_hour,
    number,
    quantity,
    share,
)
from sixwright.project.columns import ANY
from sixwright.project.records import Record, Records
from sixwright.project.tables import BY_NAME, CellType, ColumnSchema

ID = re.compile(r"[a-z][a-z0-9-]*")
LOCALE = re.compile(r"[a-z]{2,3}(-[A-Z][a-z]{3})?(-[A-Z]{2})?")
SCALE = re.compile(r"1:([1-9]\d{0,3})")
PUBLIC = re.compile(r"([a-z][a-z0-9-]*)=(\d{1,9})")
BOOLEANS = {"yes": True, "no": False}
# Kinds whose words hold the usual bounds, without them.
_UNBOUNDED = {CellType.COUNT: "a whole number", CellType.SHARE: "a share (0.08 is 8 %)"}
MOST_WORDS, MOST_LETTERS = 6, 100  # suggestions are for misspelt names; a long cell is no name
MOST_NAMES = 2_000  # that are compared with it
ALIKE = 0.6  # of two names, twice what they share through both their letters


@dataclass(frozen=True, slots=True)
class Notation:
    """How the row's numbers are written: its currency, and whether a comma is decimal."""

    currency: str | None
    comma: bool = False


_COLUMNS = {
    (table.name, column.name): column for table in BY_NAME.values() for column in table.columns
}


class TypedCells:
    """The typed cells of one row; what cannot be typed is a problem and reads as None."""

    def __init__(self, row: Record, notation: Notation, problems: list[Problem]) -> None:
        self.row = row
        self.notation = notation
        self._problems = problems

    def get(self, name: str) -> object:
        """The value of a cell in its column's type, or None where it is empty or wrong."""
        held = self.row.cells.get(name, "")
        text = held.strip()
        column = _COLUMNS[self.row.table, name]
        is_point = isinstance(held, PointNumber)
        notation = replace(self.notation, comma=False) if is_point else self.notation
        if not text:
            if column.required:
                self.complain(name, column.cell.value, "an empty cell")
            return None
        try:
            return allowed_value(self.row.table, name, text, notation)
        except QuantityError as error:
            near = suggestion(error.found, (*column.choices, *column.also))
            if column.cell is CellType.ID:
                near = suggestion_id(text)
            self.complain(name, error.expected, f"“{error.found}”", near)
            return None

    def complain(self, name: str, expected: str, found: str, near: str | None = None) -> None:
        """Add a problem at one of this row's cells."""
        self._problems.append(problem_at(self.row, name, expected, found, near))


@lru_cache(maxsize=65_536)
def allowed_value(table: str, name: str, text: str, notation: Notation) -> object:
    """A cell's text as its column's type, and in its range; remembered, as most texts recur.

    Raises
    ------
    QuantityError
        If it is not what the column holds.
    """
    column = _COLUMNS[table, name]
    value = typed(text, column, notation)
    is_bare = column.cell is CellType.SHARE and column.allowed in {None, ANY} and text[-1] != "%"
    if is_bare and isinstance(value, Fraction) and abs(value) > 1:
        raise QuantityError("a share (0.1 or 10 %); one above 1 with its sign, as in 150 %", text)
    amount = getattr(value, "amount", value)
    number_ = None if isinstance(amount, bool) or not isinstance(amount, int | Fraction) else amount
    if number_ is not None and not column.range.allows(Fraction(number_)):
        raise QuantityError(_expected(column), text)
    return value


def _expected(column: ColumnSchema) -> str:
    """What a number must be: its kind with the usual bounds, or with the column's own."""
    if column.cell is CellType.COUNT and column.allowed is None:
        return column.cell.value
    return f"{_UNBOUNDED.get(column.cell, column.cell.value)}, {column.range.words}"


def problem_at(
    row: Record, column: str, expected: str, found: str, near: str | None = None
) -> Problem:
    """A problem at a cell: by row and column in a table's file, by key in line.toml."""
    place = row.place
    if place.row is None and place.file.endswith(".toml"):
        key = ".".join(part for part in (place.key, column) if part)
        return Problem(place.file, expected, found, key=key, suggestion=near)
    return Problem(place.file, expected, found, place.row, column, None, near)


def suggestion(text: str, names: Collection[str]) -> str | None:
    """The name that a text is a likely misspelling of; none among thousands, or of a long text."""
    from rapidfuzz import fuzz, process

    if len(text.split()) > MOST_WORDS or len(text) > MOST_LETTERS or len(names) > MOST_NAMES:
        return None
    found = process.extractOne(text.lower(), [*names], scorer=fuzz.ratio, score_cutoff=100 * ALIKE)
    return found[0] if found else None


def suggestion_id(text: str) -> str | None:
    """The text as an id could say it."""
    plain = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")
    return plain if ID.fullmatch(plain) else None


def typed(text: str, column: ColumnSchema, notation: Notation) -> object:
    """A cell's text as its column's type.

    Raises
    ------
    QuantityError
        If it is not what the column holds.
    """
    return READERS[column.cell](text, column, notation)


def _id(text: str, column: ColumnSchema, _: Notation) -> str:
    """An id; one that names another row is held against the rows there are, not its form."""
    if not column.refers and not ID.fullmatch(text):
        raise QuantityError(column.cell.value, text)
    return text


def _choice(text: str, column: ColumnSchema, _: Notation) -> str:
    if text not in column.choices:
        raise QuantityError(f"one of {', '.join(column.choices)}", text)
    return text


def _words(text: str, column: ColumnSchema, _: Notation) -> tuple[str, ...]:
    """Words; where the column lists them, some of those, or one of `also` alone."""
    words = tuple(dict.fromkeys(text.split()))
    if not column.choices or (len(words) == 1 and words[0] in column.also):
        return tuple(text.split())
    wrong = next((word for word in words if word not in column.choices), None)
    if wrong is None:
        return words
    expected = f"words of {', '.join(column.choices)}"
    if column.also:
        expected += f"; or {' or '.join(column.also)} alone"
    raise QuantityError(expected, wrong)


def _currency(text: str, column: ColumnSchema, _: Notation) -> str:
    if text not in CURRENCIES:
        raise QuantityError(column.cell.value, text)
    return text


def _locale(text: str, column: ColumnSchema, _: Notation) -> str:
    if not LOCALE.fullmatch(text):
        raise QuantityError(column.cell.value, text)
    return text


def _scale(text: str, column: ColumnSchema, _: Notation) -> int:
    found = SCALE.fullmatch(text)
    if found is None:
        raise QuantityError(column.cell.value, text)
    return int(found[1])


def _boolean(text: str, column: ColumnSchema, _: Notation) -> bool:
    if text.lower() not in BOOLEANS:
        raise QuantityError(column.cell.value, text)
    return BOOLEANS[text.lower()]


def _count(text: str, column: ColumnSchema, notation: Notation) -> int:
    try:
        value = number(text, comma=notation.comma)
    except QuantityError as error:
        raise QuantityError(_expected(column), text) from error
    if value.denominator != 1:
        raise QuantityError(_expected(column), text)
    return int(value)


def _date(text: str, column: ColumnSchema, _: Notation) -> date:
    """A calendar date; refused where the text has two readings, or none."""
    found = day(text)
    if found is None:
        is_date = ISO_DATE.fullmatch(text) is not None
        raise QuantityError("a day that the calendar has" if is_date else column.cell.value, text)
    return found


def _size(text: str, column: ColumnSchema, notation: Notation) -> tuple[Fraction, ...]:
    sizes = lengths(text, column.unit, comma=notation.comma)
    if len(sizes) != 3:
        raise QuantityError(column.cell.value, text)
    if not all(size > 0 for size in sizes):
        raise QuantityError("three lengths above 0", text)
    return sizes


def _factors(text: str, column: ColumnSchema, notation: Notation) -> tuple[Fraction, ...]:
    factors = [number(word, comma=notation.comma) for word in text.split()]
    if len(factors) != 2 or not 0 <= factors[0] <= 1 <= factors[1]:
        raise QuantityError(f"{column.cell.value}, with 1 between them", text)
    return tuple(factors)


def _money(text: str, column: ColumnSchema, notation: Notation) -> Money | None:
    found = money(text, notation.currency, comma=notation.comma)
    return _settled(found, text, column)


def _rate_h(text: str, column: ColumnSchema, notation: Notation) -> Money | None:
    found = money_per_hour(text, notation.currency, comma=notation.comma)
    return _settled(found, text, column)


def _settled(found: Money | None, text: str, column: ColumnSchema) -> Money | None:
    """An amount; a guess only where the column takes one."""
    if found is not None and found.guess:
        if not column.may_be_guess:
            raise QuantityError("an amount that you settle, not a guess", text)
        if not column.range.allows(found.guess[0]):
            raise QuantityError(_expected(column), text)
    return found


def _public(text: str, column: ColumnSchema, _: Notation) -> tuple[tuple[str, int], ...]:
    found = [PUBLIC.fullmatch(word) for word in text.split()]
    groups = [match[1] for match in found if match]
    if not all(found) or len(set(groups)) != len(groups):
        raise QuantityError(column.cell.value, text)
    return tuple((match[1], int(match[2])) for match in found if match)


READERS: Mapping[CellType, Callable[[str, ColumnSchema, Notation], object]] = {
    CellType.ID: _id,
    CellType.TEXT: lambda text, _, __: text,
    CellType.WORDS: _words,
    CellType.COUNT: _count,
    CellType.NUMBER: lambda text, column, row: quantity(text, column.unit, comma=row.comma),
    CellType.REAL: lambda text, column, row: quantity(text, column.unit, comma=row.comma),
    CellType.SHARE: lambda text, _, row: share(text, comma=row.comma),
    CellType.MONEY: _money,
    CellType.RATE_H: _rate_h,
    CellType.BOOLEAN: _boolean,
    CellType.DATE: _date,
    CellType.CURRENCY: _currency,
    CellType.KIND: _choice,
    CellType.CHOICE: _choice,
    CellType.SIZE3: _size,
    CellType.FACTORS: _factors,
    CellType.PUBLIC: _public,
    CellType.LOCALE: _locale,
    CellType.SCALE: _scale,
}


def references(records: Records, unread: frozenset[str]) -> Iterator[Problem]:
    """Cells that name a row which is not there: an error of reading, with the likely name."""
    for table, rows in records.items():
        columns = [column for column in BY_NAME[table].columns if column.refers]
        for column in columns:
            if any(BY_NAME[name].file in unread for name in column.refers):
                continue
            known = dict.fromkeys(column.also)
            for name in column.refers:
                known |= dict.fromkeys(records.get(name, {}))
            for row in rows.values():
                yield from _unknown(row, column, known)


def _unknown(row: Record, column: ColumnSchema, known: Mapping[str, None]) -> Iterator[Problem]:
    text = row.cells.get(column.name, "").strip()
    words = text.split() if column.cell is CellType.WORDS else [text] if text else []
    for word in words:
        if word not in known:
            near = suggestion(word, known)
            yield problem_at(row, column.name, _called(column), f"“{word}”", near)


def _called(column: ColumnSchema) -> str:
    """What a cell that refers must name: ``the id of an edition or a set``."""
    ids = "the id of " + " or ".join(BY_NAME[table].a_row for table in column.refers)
    few = ", or “" + "”, “".join(column.also) + "”" if len(column.also) == 1 else ""
    return f"the name of a landmark, or {ids}" if len(column.also) > 1 else ids + few
