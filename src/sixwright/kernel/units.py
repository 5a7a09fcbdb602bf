"""What a number counts or measures: things, a unit's symbol, a share, an amount of money."""

from dataclasses import dataclass
from enum import StrEnum


class Sort(StrEnum):
    """How a number with this unit is read aloud."""

    THINGS = "things"
    SYMBOL = "symbol"
    SHARE = "share"
    MONEY = "money"


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit by its sort and its names.

    Attributes
    ----------
    name
        As data have it: several things (``boxes``), a symbol (``mm``), a currency's code, or what
        a share is a share of.
    one
        A single thing (``box``); empty for other sorts.
    """

    sort: Sort
    name: str
    one: str = ""

    def __str__(self) -> str:
        """The name that data have."""
        return self.name


def things(one: str, many: str) -> Unit:
    """A unit that counts things: ``things("box", "boxes")``."""
    return Unit(Sort.THINGS, many, one)


def symbol(name: str) -> Unit:
    """A unit of measure by its symbol: ``symbol("mm")``."""
    return Unit(Sort.SYMBOL, name)


def share(of: str = "share") -> Unit:
    """A part of a whole, told in per cent."""
    return Unit(Sort.SHARE, of)


def currency(code: str) -> Unit:
    """An amount of money in a currency."""
    return Unit(Sort.MONEY, code)


# Stands in a rule for the currency of the line that is judged.
LINE_CURRENCY = Unit(Sort.MONEY, "")
