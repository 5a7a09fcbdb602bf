"""A cell's text as an exact quantity, in the unit of its column.

Everything is a rational number: ``0.1`` in a cell is one tenth, ``11 1/2 in`` is 292.1 mm.
"""

import re
from collections.abc import Mapping
from fractions import Fraction

from sixwright.kernel.currency import Money, currency_named
from sixwright.kernel.errors import QuantityError

# Exact by definition: the international yard and pound agreement of 1959 (inch 25.4 mm, pound
# 0.45359237 kg); the troy ounce is 31.1034768 g. Prefixes of the SI Brochure, 9th edition, 2019.
UNITS: Mapping[str, Mapping[str, Fraction]] = {
    "mm": {
        "mm": Fraction(1),
        "cm": Fraction(10),
        "m": Fraction(1000),
        "in": Fraction("25.4"),
        "ft": Fraction("304.8"),
    },
    "g": {
        "mg": Fraction("0.001"),
        "g": Fraction(1),
        "kg": Fraction(1000),
        "lb": Fraction("453.59237"),
        "oz av": Fraction("28.349523125"),
        "oz tr": Fraction("31.1034768"),
    },
    "minutes": {"s": Fraction(1, 60), "min": Fraction(1), "h": Fraction(60)},
    "days": {"d": Fraction(1), "days": Fraction(1), "wk": Fraction(7)},
    "px": {"px": Fraction(1)},
    "deg": {"deg": Fraction(1), "°": Fraction(1)},
}
# The most digits of a number: enough for any price in any currency and any length in any unit,
# and few enough that nothing grows without bound from one cell. docs/limits.md states them.
MOST_WHOLE, MOST_PLACES, MOST_CHARACTERS = 15, 12, 48
TOO_LONG = (
    f"a number of at most {MOST_WHOLE} digits before the decimal mark and {MOST_PLACES} after it"
)
_SHOWN = 40  # characters of a text that is too long
# A guess marked so may be a quarter less or more: own choice, docs/topics/money.md.
ABOUT, ABOUT_HALF = "~", Fraction(1, 4)
INCH_MARKS = frozenset('"″”')

_SIGN = "[-\N{MINUS SIGN}+]?"
_MIXED = re.compile(rf"({_SIGN})(?:(\d+)\s+)?(\d+)/(\d+)")
_POINT = re.compile(rf"({_SIGN})(\d+(?:\.\d+)?(?:[eE][-+]?\d{{1,2}})?)")
_COMMA = re.compile(rf"({_SIGN})(\d+),(\d+)")
_GROUPED = re.compile(r"[1-9]\d{0,2}(?:[.,'’\s]\d{3})+")
_TO = re.compile(r"(\S.*?)\s+to\s+(\S.*)", re.DOTALL)
_AMOUNT = re.compile(r"(.*[\d.,])(?:\s*(\S.*))?", re.DOTALL)
_CODE = re.compile(r"[A-Z]{3}")
# A currency before its amount, as in “USD 20” or “€ 20”.
_BEFORE = re.compile(r"([A-Za-z]{3}|[€£¥￥]|[A-Z]{0,3}\$)\s*(?=[-+\d.])")
_HOUR = re.compile(r"\s*(?:/\s*h(?:our|r)?|(?:per|an) hour)$", re.IGNORECASE)
_TIMES = re.compile(r"\s*[x×*]\s*", re.IGNORECASE)


class PointNumber(str):
    """Text of a number that has a decimal point whatever the line's locale, as TOML has them."""

    __slots__ = ()


def number(text: str, *, comma: bool = False) -> Fraction:
    """A plain number, or a fraction as in ``11 1/2``.

    Parameters
    ----------
    comma
        Whether the line's locale writes a decimal comma; a point is then still taken, save where
        it could part thousands (``1.250``).

    Raises
    ------
    QuantityError
        If the text is no number, or one that can be read in two ways.
    """
    bare = text.strip()
    if len(bare) > MOST_CHARACTERS:
        raise QuantityError(TOO_LONG, f"{bare[:_SHOWN]}…")
    value = _number(bare, text, comma=comma)
    if abs(value) >= 10**MOST_WHOLE or (value and abs(value) < Fraction(1, 10**MOST_PLACES)):
        raise QuantityError(TOO_LONG, text)
    if "/" not in bare and (value * 10**MOST_PLACES).denominator != 1:
        raise QuantityError(TOO_LONG, text)
    return value


def _number(bare: str, text: str, *, comma: bool) -> Fraction:
    if comma and (found := _COMMA.fullmatch(bare)):
        return _signed(found[1], Fraction(f"{found[2]}.{found[3]}"))
    ambiguous = "." in bare if comma else any(mark in bare for mark in ",'’ ")
    if ambiguous and _GROUPED.fullmatch(bare.lstrip("+-\N{MINUS SIGN}")):
        mark = "comma" if comma else "point"
        raise QuantityError(f"a number with a decimal {mark} and no mark between thousands", text)
    if found := _MIXED.fullmatch(bare):
        if int(found[4]) == 0:
            raise QuantityError("a fraction whose lower number is not 0", text)
        return _signed(found[1], int(found[2] or 0) + Fraction(int(found[3]), int(found[4])))
    if found := _POINT.fullmatch(bare):
        return _signed(found[1], Fraction(found[2]))
    mark = "point or comma" if comma else "point"
    raise QuantityError(f"a number (with a decimal {mark})", text)


def _signed(sign: str, value: Fraction) -> Fraction:
    return -value if sign in {"-", "\N{MINUS SIGN}"} else value


def quantity(text: str, unit: str, *, comma: bool = False) -> Fraction:
    """A number in `unit`, or with a unit of its own that is converted.

    Parameters
    ----------
    unit
        One of ``mm g minutes days px deg``, or empty for a number without one.

    Raises
    ------
    QuantityError
        If the text is no number, its unit is not one that converts, or it is one that misleads:
        an inch mark (also a ditto mark, a quote and seconds), or ``oz`` that does not say which.

    Source
    ------
    The international yard and pound agreement of 1959: 1 in = 25.4 mm, 1 lb = 0.45359237 kg.
    """
    bare = text.strip()
    if bare and bare[-1] in INCH_MARKS:
        raise QuantityError(f"inches written as in “{bare[:-1].strip()} in”, because the mark "
                            "is also a quote", text)  # fmt: skip
    found = _AMOUNT.fullmatch(bare)
    if found is None:
        return number(text, comma=comma)
    own = " ".join((found[2] or unit).split())
    if own == "oz":
        raise QuantityError("oz av (28.35 g) or oz tr (31.10 g), because oz alone is either", text)
    known = UNITS.get(unit, {})
    if own != unit and own not in known:
        names = ", ".join(known)
        raise QuantityError(f"a number in one of {names}" if known else "a number alone", text)
    return _of(text, found[1], comma=comma) * known.get(own, Fraction(1))


def _of(whole: str, part: str, *, comma: bool) -> Fraction:
    """The number that a part of a cell states; an error shows the whole cell."""
    try:
        return number(part, comma=comma)
    except QuantityError as error:
        raise QuantityError(error.expected, whole) from error


def lengths(text: str, unit: str, *, comma: bool = False) -> tuple[Fraction, ...]:
    """Lengths in a row: ``352 257 90``, ``35 cm 26 cm 9 cm``, ``35 x 26 x 9 cm``.

    Between × signs a unit at the end that stands alone is the unit of all.

    Parameters
    ----------
    unit
        As `quantity` takes it.

    Raises
    ------
    QuantityError
        If one of them is no length, or some of them have a unit and others none.
    """
    known, parts = UNITS.get(unit, {}), _TIMES.split(text.strip())
    if len(parts) == 1:
        parts = []
        for word in text.split():
            if word in known and parts:
                parts[-1] += f" {word}"
            else:
                parts.append(word)
        return tuple(quantity(part, unit, comma=comma) for part in parts)
    found = [_AMOUNT.fullmatch(part) for part in parts]
    own = [match[2] if match else None for match in found]
    if own[-1] and not any(own[:-1]):
        parts = [*(f"{part} {own[-1]}" for part in parts[:-1]), parts[-1]]
    elif any(own) and not all(own):
        raise QuantityError("lengths that all have their unit, or share one at the end", text)
    return tuple(quantity(part, unit, comma=comma) for part in parts)


def share(text: str, *, comma: bool = False) -> Fraction:
    """A part of a whole: ``0.08`` or ``8 %``.

    Raises
    ------
    QuantityError
        If the text is neither.
    """
    bare = text.strip()
    if bare.endswith("%"):
        return _of(text, bare[:-1], comma=comma) / 100
    return number(text, comma=comma)


def money(text: str, currency: str | None, *, comma: bool = False) -> Money | None:
    """An amount: ``289 USD``, or a number alone in `currency`; or a guess at one.

    The code may stand before it and be in small letters; ``€`` and ``£`` name their currency, and
    ``$`` and ``¥``, which stand for several, name `currency` where that is one of them.

    A guess is ``~3.50 USD``, which may be a quarter less or more, or ``3 to 4 USD``, of which
    the middle is likely.

    Returns
    -------
    Money or None
        None where neither the text nor the column names a currency: it is then unknown.

    Raises
    ------
    QuantityError
        If the text is no amount, or its currency is no code of ISO 4217.

    Source
    ------
    Own choice: docs/topics/money.md, “What is not certain”.
    """
    bare = text.strip()
    if bare.startswith(ABOUT):
        likely = _amount(bare[1:].strip(), currency, text, comma=comma)
        return likely and _guess(likely, (likely.amount * (1 - ABOUT_HALF),
                                          likely.amount * (1 + ABOUT_HALF)))  # fmt: skip
    ends = _TO.fullmatch(bare)
    if ends is None:
        return _amount(bare, currency, text, comma=comma)
    high = _amount(ends[2], currency, text, comma=comma)
    low = _amount(ends[1], high.currency if high else currency, text, comma=comma)
    if low is None or high is None:
        return None
    if low.currency != high.currency or low.amount > high.amount:
        raise QuantityError("a guess with the lower amount first, as in 3 to 4 USD", text)
    return _guess(Money((low.amount + high.amount) / 2, high.currency), (low.amount, high.amount))


def _guess(likely: Money, ends: tuple[Fraction, Fraction]) -> Money:
    return Money(likely.amount, likely.currency, ends)


def _amount(bare: str, currency: str | None, text: str, *, comma: bool) -> Money | None:
    """An amount that is no guess; an error shows the whole cell."""
    before = _BEFORE.match(bare)
    rest = bare[before.end() :] if before else bare
    found = _AMOUNT.fullmatch(rest)
    after = (found[2] if found else None) or ""
    amount = _of(text, found[1] if found else rest, comma=comma)
    stated = [mark for mark in (before[1] if before else "", after) if mark]
    codes = {currency_named(mark, currency) for mark in stated}
    if None in codes or len(codes) > 1:
        raise QuantityError("an amount and a currency code of ISO 4217, as in 289 USD", text)
    named = next(iter(codes), currency)
    return Money(amount, named) if named else None


def money_per_hour(text: str, currency: str | None, *, comma: bool = False) -> Money | None:
    """An amount an hour: ``84 CNY/h``, or ``84 CNY`` alone.

    Raises
    ------
    QuantityError
        If it is no amount, or one of another time.
    """
    amount = _HOUR.sub("", text.strip())
    try:
        return money(amount, currency, comma=comma)
    except QuantityError as error:
        raise QuantityError("an amount of money an hour, as in 84 CNY/h", text) from error
