"""Exact amounts that may be unknown: sums, products, differences, and rates of exchange.

What rests on something unknown is unknown, never zero; no share of it, a duty of 0, is zero.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from sixwright.kernel.currency import Money
from sixwright.topics.money.model import Inputs

Known = Fraction | None


def plus(*amounts: Known | int) -> Known:
    """A sum; unknown where a term is."""
    return weighted((1, amount) for amount in amounts)


def times(*factors: Known | int) -> Known:
    """A product; unknown where a factor is, but nothing where one is nothing."""
    if 0 in factors:
        return Fraction(0)
    product = Fraction(1)
    for factor in factors:
        if factor is None:
            return None
        product *= factor
    return product


def known(*amounts: Known) -> Fraction:
    """The sum of what is known: of costs, the least that they come to."""
    return sum((amount for amount in amounts if amount is not None), Fraction(0))


def least(terms: Iterable[tuple[int | None, Known | int]]) -> Fraction:
    """The sum of what is known of counts times amounts: of costs, the least that they come to."""
    whole = ((count, each) for count, each in terms if count is not None and each is not None)
    return weighted(whole) or Fraction(0)


def less(amount: Known, taken: Known) -> Known:
    """A difference; unknown where either is."""
    return None if amount is None or taken is None else amount - taken


def weighted(terms: Iterable[tuple[int | None, Known | int]]) -> Known:
    """The sum of counts times amounts; unknown where a count or an amount is.

    All are added as whole numbers of one common denominator: thousands of terms then cost as many
    additions of integers, and one reduction of a fraction.
    """
    numerators: dict[int, int] = defaultdict(int)
    for count, amount in terms:
        if count is None or amount is None:
            return None
        numerators[amount.denominator] += count * amount.numerator
    whole = lcm(*numerators)
    return Fraction(sum(top * (whole // bottom) for bottom, top in numerators.items()), whole)


@dataclass(frozen=True, slots=True)
class Purse:
    """What one unit of each currency is worth in the line's currency, where that is known."""

    currency: str
    worth: Mapping[str, Fraction]

    def line_amount(self, money: Money | None) -> Fraction | None:
        """The amount in the line's currency; None where it or its rate is unknown."""
        if money is None:
            return None
        if money.amount == 0 or money.currency == self.currency:
            return money.amount
        worth = self.worth.get(money.currency)
        return None if worth is None else money.amount * worth

    def missing(self, money: Money | None, name: str) -> tuple[str, ...]:
        """What is missing of an amount: itself, or its rate."""
        if money is None:
            return (name,)
        return () if self.line_amount(money) is not None else (_rate(money.currency),)


def _rate(currency: str) -> str:
    return f"rates/{currency}/per_unit"


def purse(inputs: Inputs) -> Purse:
    """The rates of a line; a rate of zero counts as unknown.

    Parameters
    ----------
    inputs
        The line with its rates.

    Source
    ------
    `per_unit` says how many of a currency buy one unit of the line's (docs/topics/money.md).
    """
    worth = {rate.currency: 1 / rate.per_unit for rate in inputs.rates.values() if rate.per_unit}
    return Purse(inputs.currency, worth)
