"""The quote of each part, as the cells of a producer's spreadsheet state it."""

import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from sixwright.importer.cells import PartRow
from sixwright.importer.column_contents import NOTHING, UNKNOWN
from sixwright.importer.column_guess import ColumnGuess, SheetColumns
from sixwright.importer.money_columns import MONEY, resolved, stated_in_cell
from sixwright.importer.numbers import currency_in, date_in, number_in
from sixwright.kernel.currency import SEVERAL, decimal_text
from sixwright.kernel.ids import slug

_BREAK = re.compile(r"(?P<price>[^@/;|\n]+?)\s*@\s*(?P<start>\d[\d.,]*)(?:\s*(?:pcs?|pieces))?")
_TEXTS = ("maker", "process")
# What a cell of a quote should be, where it can be anything else.
_MEANT = {
    "currency": "one currency",
    "tool": "a name with a letter or digit in it",
    "minimum": "a whole number of pieces",
    "yield": "a share above 0 and at most 100 %",
    "minutes": "a number of minutes",
    "lead_days": "a whole number of days",
    "lead_weeks": "a number of weeks that makes whole days",
    "valid_until": "a single day (a day is written as 2027-03-31)",
}
NO_CURRENCY = "its currency is not known"


@dataclass(frozen=True, slots=True)
class Unread:
    """A cell that was not taken: its text, and why."""

    text: str
    why: str = "it cannot be read"


@dataclass(frozen=True, slots=True)
class QuoteRows:
    """A row of ways.csv, its rows of prices.csv, and the cells that could not be read."""

    way: Mapping[str, str]
    prices: tuple[Mapping[str, str], ...]
    unread: Mapping[ColumnGuess, Unread]


def whole(value: Fraction | None) -> str | None:
    """The text of a whole number from 0 up; None for any other."""
    return None if value is None or value < 0 or value.denominator != 1 else str(value)


def amount(value: Fraction | None) -> str | None:
    """The text of a number from 0 up; None for any other."""
    return None if value is None or value < 0 else decimal_text(value)


@dataclass(frozen=True, slots=True)
class SheetCurrencies:
    """What a sheet says of currencies: the line's, those stated anywhere, and how cells are shown.

    Attributes
    ----------
    line
        Of a quote that states none; None where it is not known.
    stated
        Every currency of the sheet, and the line's.
    formats
        Row and column to the number format, where it names a currency.
    """

    line: str | None
    stated: frozenset[str]
    formats: Mapping[tuple[int, int], str]

    def of_cell(self, row: int, guess: ColumnGuess, text: str) -> tuple[str | None, str]:
        """The currency that a cell states itself, or a mark that stands for several."""
        return stated_in_cell(text, self.formats.get((row, guess.at), ""))


def quote_of(
    row: PartRow,
    columns: SheetColumns,
    *,
    part: str,
    money: SheetCurrencies,
    numeric: Callable[..., bool],
) -> QuoteRows | None:
    """What the row says of how its part is made; None where it says nothing.

    Parameters
    ----------
    money
        What the sheet says of currencies.
    numeric
        Whether the cell of a column in this row is a number of the spreadsheet's own.
    """
    cells = dict(_cells(row, columns))
    if not cells:
        return None
    unread: dict[ColumnGuess, Unread] = {}
    way: dict[str, str] = {}

    def mark(guess: ColumnGuess) -> str:
        return "." if numeric(row.number, guess.at) else columns.mark

    way["currency"] = _currency(row.number, cells, money)
    told = any(guess.meaning == "currency" for guess in cells)
    held = {
        guess: _outside((row.number, guess, text), way["currency"], money, told=told)
        for guess, text in cells.items()
        if guess.meaning in MONEY
    }
    for guess, text in cells.items():
        made = None if held.get(guess) else _field(guess, text, mark(guess))
        if made is None:
            unread[guess] = held.get(guess) or _not_meant(guess, text)
        else:
            way.update(made)
    taken = {guess: text for guess, text in cells.items() if guess not in unread}
    prices = dict(_prices(taken, mark, way, unread))
    id_ = f"{part}-{slug(way.get('maker', ''), otherwise='way')}"
    way = {"id": id_, "part": part} | {name: text for name, text in way.items() if text}
    rows = tuple(
        {"way": id_, "from_quantity": str(start), "unit_price": price}
        for start, price in sorted(prices.items())
    )
    return QuoteRows(way, rows, unread)


def _not_meant(guess: ColumnGuess, text: str) -> Unread:
    """A cell that is not what its column holds."""
    meant = _MEANT.get(guess.meaning)
    return Unread(text, f"it is not {meant}") if meant else Unread(text)


def _currency(row: int, cells: Mapping[ColumnGuess, str], money: SheetCurrencies) -> str:
    """The quote's: its own cell's, its columns', its amounts', or the line's; none if unclear.

    A column of currencies goes before what a column's name states, and that before what single
    cells state.
    """
    own = [text for guess, text in cells.items() if guess.meaning == "currency"]
    if own:
        return currency_in(own[0].upper()) or ""
    paid = [guess for guess in sorted(cells, key=lambda guess: guess.meaning)
            if guess.meaning in MONEY]  # fmt: skip
    named = next(filter(None, (guess.currency for guess in paid)), None)
    return named or _of_amounts(row, paid, cells, money) or money.line or ""


def _of_amounts(
    row: int, paid: list[ColumnGuess], cells: Mapping[ColumnGuess, str], money: SheetCurrencies
) -> str | None:
    """The currency that most amounts of a row state themselves."""
    stated: Counter[str] = Counter()
    for guess in paid:
        code, mark = money.of_cell(row, guess, cells[guess])
        if code := code or (resolved(mark, money.stated) if mark else None):
            stated[code] += 1
    return stated.most_common(1)[0][0] if stated else None


def _outside(
    cell: tuple[int, ColumnGuess, str], currency: str, money: SheetCurrencies, *, told: bool
) -> Unread | None:
    """Why an amount is not taken as one in the quote's currency; None where it is.

    Parameters
    ----------
    told
        Whether a column of currencies says it, so that the column's own name does not.
    """
    row, guess, text = cell
    if not currency:
        return Unread(text, NO_CURRENCY)
    code, mark = money.of_cell(row, guess, text)
    code = code or (None if told or mark else guess.currency)
    if code and code != currency:
        return Unread(text, f"it is in {code} and the quote in {currency}")
    if mark and currency not in SEVERAL[mark]:
        return Unread(text, f"it is marked {mark} and the quote is in {currency}")
    if not told and guess.mark and currency not in SEVERAL[guess.mark]:
        return Unread(text, f"{guess.mark} stands for several currencies")
    return None


def _cells(row: PartRow, columns: SheetColumns) -> Iterator[tuple[ColumnGuess, str]]:
    for meaning in (*_TEXTS, "currency", "tool", "tooling", "minimum", "price", "minutes", "yield",
                    "lead_days", "lead_weeks", "valid_until"):  # fmt: skip
        for guess in columns.of(meaning):
            text = row.cells[guess.at].strip()
            if text and text.casefold() not in NOTHING | UNKNOWN:
                yield guess, text


def _field(guess: ColumnGuess, text: str, mark: str) -> dict[str, str] | None:
    """The cells of ways.csv that a cell of the sheet fills; None where it cannot be read."""
    meaning, value = guess.meaning, number_in(text, mark)
    made: str | None = None
    if meaning == "price":
        return {}
    if meaning in _TEXTS:
        made = text
    elif meaning == "currency":
        return {} if currency_in(text.upper()) else None
    elif meaning == "tool":
        made = slug(text, otherwise="") or None
    elif meaning == "tooling":
        made = amount(value)
    elif meaning == "yield":
        made = _share(text, mark)
    elif meaning == "valid_until":
        day = date_in(text)
        made = day.isoformat() if day else None
    elif meaning == "minutes":
        made = amount(number_in(re.sub(r"\s*min(utes?|s)?\.?$", "", text), mark))
    elif meaning == "lead_weeks":
        meaning, made = "lead_days", whole(value * 7 if value is not None else None)
    else:
        made = whole(value)
    return None if made is None else {meaning: made}


def _share(text: str, mark: str) -> str | None:
    """A share of good pieces; 82 and 82 % are both 0.82."""
    value = number_in(text.rstrip("% "), mark)
    if value is None or not 0 < value <= 100:
        return None
    return decimal_text(value / 100 if "%" in text or value > 1 else value)


def _prices(
    cells: Mapping[ColumnGuess, str],
    mark: Callable[[ColumnGuess], str],
    way: Mapping[str, str],
    unread: dict[ColumnGuess, Unread],
) -> Iterator[tuple[int, str]]:
    """Quantity and price of each break; a lone price starts at the minimum, or at one piece."""
    met: set[int] = set()
    columns = sorted((guess for guess in cells if guess.meaning == "price"),
                     key=lambda guess: (guess.start is None, guess.start or 0))  # fmt: skip
    for guess in columns:
        text, lone = cells[guess], max(int(way.get("minimum", "") or 1), 1)
        breaks = [(found["price"], found["start"]) for found in _BREAK.finditer(text)]
        pairs = breaks or [(text, str(guess.start or lone))]
        read = [
            (whole(number_in(start, mark(guess) if breaks else ".")),
             amount(number_in(price, mark(guess)))) for price, start in pairs
        ]  # fmt: skip
        if not all(start is not None and price is not None for start, price in read):
            unread[guess] = Unread(text)
            continue
        for start, price in read:
            quantity = int(start or 0)
            if quantity in met:
                unread[guess] = Unread(text, f"a price from {quantity} pieces on is stated already")
            elif price is not None:
                met.add(quantity)
                yield quantity, price
