"""The quote of each part, as the cells of a producer's spreadsheet state it."""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from sixwright.importer.cells import PartRow
from sixwright.importer.columns import NOTHING, UNKNOWN, ColumnGuess, Columns
from sixwright.importer.numbers import SEVERAL, currency_in, date_in, number_in
from sixwright.kernel.currency import decimal_text
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
    "valid_until": "one day (written as 2027-03-31, it is)",
}
NO_CURRENCY = "its currency is not known"


@dataclass(frozen=True, slots=True)
class Unread:
    """A cell that was not taken: its text, and why."""

    text: str
    why: str = "it cannot be read"


@dataclass(frozen=True, slots=True)
class Quote:
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


def quote_of(
    row: PartRow, columns: Columns, *, part: str, currency: str | None, numeric: Callable[..., bool]
) -> Quote | None:
    """What the row says of how its part is made; None where it says nothing.

    Parameters
    ----------
    currency
        The line's, for a quote that states none.
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

    way["currency"] = _currency(cells, currency)
    for guess, text in cells.items():
        made = _field(guess, text, mark(guess), way["currency"])
        if made is None:
            unread[guess] = _why(guess, text, way["currency"])
        else:
            way.update(made)
    prices = dict(_prices(cells, mark, way, unread))
    id_ = f"{part}-{slug(way.get('maker', ''), otherwise='way')}"
    way = {"id": id_, "part": part} | {name: text for name, text in way.items() if text}
    rows = tuple(
        {"way": id_, "from_quantity": str(start), "unit_price": price}
        for start, price in sorted(prices.items())
    )
    return Quote(way, rows, unread)


def _currency(cells: Mapping[ColumnGuess, str], line: str | None) -> str:
    """The quote's: its own cell's, a column's, or the line's; none where the cell is unclear."""
    own = [text for guess, text in cells.items() if guess.meaning == "currency"]
    if own:
        return currency_in(own[0].upper()) or ""
    stated = (guess.currency for guess in sorted(cells, key=lambda guess: guess.meaning))
    return next(filter(None, stated), None) or line or ""


def _why(guess: ColumnGuess, text: str, currency: str) -> Unread:
    """Why a cell is not taken: of money, mostly for its currency."""
    if guess.meaning not in {"price", "tooling"}:
        return Unread(text, f"it is not {_MEANT[guess.meaning]}")
    if not currency:
        return Unread(text, NO_CURRENCY)
    stated = currency_in(text) or guess.currency
    if stated and stated != currency:
        return Unread(text, f"it is in {stated} and the quote in {currency}")
    if guess.mark and not stated:
        return Unread(text, f"{guess.mark} stands for several currencies")
    return Unread(text)


def _is_in(guess: ColumnGuess, text: str, currency: str) -> bool:
    """Whether a cell of money is in this currency, as far as the sheet states it."""
    stated = currency_in(text) or guess.currency or currency
    return stated == currency != "" and currency in SEVERAL.get(guess.mark, {currency})


def _cells(row: PartRow, columns: Columns) -> Iterator[tuple[ColumnGuess, str]]:
    for meaning in (*_TEXTS, "currency", "tool", "tooling", "minimum", "price", "minutes", "yield",
                    "lead_days", "lead_weeks", "valid_until"):  # fmt: skip
        for guess in columns.of(meaning):
            text = row.cells[guess.at].strip()
            if text and text.casefold() not in NOTHING | UNKNOWN:
                yield guess, text


def _field(guess: ColumnGuess, text: str, mark: str, currency: str) -> dict[str, str] | None:
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
        made = amount(value) if _is_in(guess, text, currency) else None
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
        known = all(start is not None and price is not None for start, price in read)
        if not known or not _is_in(guess, text, way["currency"]):
            unread[guess] = _why(guess, text, way["currency"]) if known else Unread(text)
            continue
        for start, price in read:
            quantity = int(start or 0)
            if quantity in met:
                unread[guess] = Unread(text, f"a price from {quantity} pieces on is stated already")
            elif price is not None:
                met.add(quantity)
                yield quantity, price
