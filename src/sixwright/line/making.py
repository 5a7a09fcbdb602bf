"""How parts are made and what that costs: ways, prices, rates and the house rules of money."""

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from sixwright.kernel.currency import Money


@dataclass(frozen=True, slots=True)
class Way:
    """One way to make a part: maker, process, quote.

    Attributes
    ----------
    tool
        Ways that name one tool pay its tooling once and pool their quantities.
    tooling
        In the way's currency; None while unknown.
    minimum
        The least the maker sells, good pieces; None while unknown (0 says there is none).
    yield_share
        Good pieces of those made, above 0 to 1.
    minutes
        Assembly or painting minutes a piece, paid by the producer.
    lead_days
        Days from order to delivery.
    valid_until
        Last day of the quote; None says that none was given.
    """

    id: str
    part: str
    maker: str
    process: str = ""
    currency: str | None = None
    tool: str | None = None
    tooling: Money | None = None
    minimum: int | None = None
    yield_share: Fraction | None = Fraction(1)
    minutes: Fraction | None = None
    lead_days: int | None = None
    valid_until: date | None = None


@dataclass(frozen=True, slots=True)
class PriceBreak:
    """Price of a piece from a quantity on, in the way's currency; None while unknown."""

    way: str
    from_quantity: int
    unit_price: Money | None


@dataclass(frozen=True, slots=True)
class Rate:
    """How many of `currency` buy one unit of the line's currency.

    `spread` is the relative half-width of its 95 % interval.
    """

    currency: str
    per_unit: Fraction | None
    spread: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class MoneyRules:
    """The `[money]` keys of line.toml as money.md defines them; None while unknown.

    Money is in the currency it was stated in; shares are plain (0.08 is 8 %).
    """

    development: Money | None = None
    spares: Fraction | None = None
    overhead: Fraction | None = None
    duty: Fraction | None = None
    reserve: Fraction | None = None
    margin_least: Fraction | None = None
    surplus_most: Money | None = None
    labour_rate_h: Money | None = None
    fee_share: Fraction | None = None
    fee_each: Money | None = None
    freight_per_m3: Money | None = None
    freight_volume_factor: Fraction | None = None
    freight_each: Money | None = None
    expired: tuple[Fraction, Fraction] | None = None
    chance_least: Money | None = None
