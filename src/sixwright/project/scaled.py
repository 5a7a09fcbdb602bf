"""A cell's number times a factor, as text: exact, and rounded only as is said."""

import re
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from sixwright.kernel.currency import decimal_text
from sixwright.kernel.errors import QuantityError
from sixwright.kernel.quantities import number, share

# Digits after the mark that a number is rounded to; docs/editing.md states them.
PLACES = 6
_TO = re.compile(r"(\s+to\s+)")
_PARTS = re.compile(r"(~?\s*(?:[A-Za-z]{3}\s*|[A-Z]{0,3}[$€£¥￥]\s*)?)(.*\d)(\D*)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Scaled:
    """A text after a factor, and whether it was rounded."""

    text: str
    is_rounded: bool


def factor_of(text: str, *, comma: bool) -> Fraction:
    """A factor as it is written: ``0.7`` or ``70 %``.

    Raises
    ------
    QuantityError
        If it is no number above 0.
    """
    try:
        found = share(text, comma=comma)
    except QuantityError as error:
        raise QuantityError("a factor, as in 0.7 or 70 %", text) from error
    if found <= 0:
        raise QuantityError("a factor above 0", text)
    return found


def scaled(text: str, factor: Fraction, *, whole: bool, comma: bool) -> Scaled:
    """A number with its unit or currency, times a factor; both ends of a guess.

    Parameters
    ----------
    text
        As a cell has it: ``289 USD``, ``~3.50 USD``, ``3 to 4 USD``, ``11 1/2 in``, ``8 %``.
    factor
        Above 0.
    whole
        Whether it counts things: it stays a whole number then.
    comma
        Whether the line's locale writes a decimal comma.

    Raises
    ------
    QuantityError
        If the text is no number.

    Source
    ------
    Own choice: a half goes up, to the next whole number or in the last of six places.
    """
    pieces = _TO.split(text.strip())
    made = [_scaled(piece, factor, whole=whole, comma=comma) for piece in pieces[::2]]
    texts = [made[at // 2].text if at % 2 == 0 else piece for at, piece in enumerate(pieces)]
    return Scaled("".join(texts), is_rounded=any(each.is_rounded for each in made))


def _scaled(text: str, factor: Fraction, *, whole: bool, comma: bool) -> Scaled:
    found = _PARTS.fullmatch(text)
    if found is None:
        raise QuantityError("a number", text)
    product = number(found[2], comma=comma) * factor
    rounded = half_up(product, 0 if whole else PLACES)
    if product and not rounded and not whole:
        raise QuantityError("a number that the factor leaves above 0.000001", text)
    shown = decimal_text(rounded)
    shown = shown.replace(".", ",") if comma else shown
    return Scaled(f"{found[1]}{shown}{found[3]}", is_rounded=rounded != product)


def half_up(value: Fraction, places: int) -> Fraction:
    """A number with so many digits after the mark; a half goes up."""
    unit = 10**places
    return Fraction(floor(value * unit + Fraction(1, 2)), unit)
