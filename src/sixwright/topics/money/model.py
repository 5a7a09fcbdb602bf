"""What money needs and what it answers: parts, boxes, the line, break-even.

Every amount is an exact Fraction in the line's currency, None while it rests on something
unknown. It is rounded only where a document states it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from sixwright.kernel.intervals import Interval
from sixwright.line.boxes import Part, Sold
from sixwright.line.making import MoneyRules, PriceBreak, Rate, Way


@dataclass(frozen=True, slots=True)
class Inputs:
    """What decides the money of a line.

    Attributes
    ----------
    line, currency
        Id of the line and the currency that everything is answered in.
    sells, parts, ways, prices, rates, rules
        The nouns, by id, in the folder's order.
    contents
        Edition or set, then part: pieces in one box (from the line-up); None while unknown.
    orders
        Edition or set: orders assumed; None while unknown.
    today
        The day on which quotes are read.
    """

    line: str
    currency: str
    sells: Mapping[str, Sold]
    parts: Mapping[str, Part]
    contents: Mapping[str, Mapping[str, int | None]]
    orders: Mapping[str, int | None]
    ways: Mapping[str, Way]
    prices: tuple[PriceBreak, ...]
    rates: Mapping[str, Rate]
    rules: MoneyRules
    today: date


@dataclass(frozen=True, slots=True)
class PartMoney:
    """What one part costs the line.

    Attributes
    ----------
    way, tool
        Id of the chosen way, and of the tool that it shares with other ways, or None.
    need
        Pieces that the orders take, without spares.
    buy
        Pieces wanted with spares, whole.
    order
        Pieces bought: no less than the minimum. Of a shared tool: this part's share of the
        pooled order.
    minimum
        The least that the maker sells (of a shared tool: of all its parts together).
    unit_price
        A good piece, at the break that the order reaches.
    cost
        The order at that price, without tooling.
    tooling
        The tool's cost; of a shared tool, an equal share of it.
    surplus, surplus_cost
        Pieces bought beyond `buy`, and the money tied up in them.
    missing, missing_tooling
        The inputs that are missing for `cost` and for `tooling`, each as ``table/id/column``.
    guesses
        The cells among its quote's that are guesses and count in `cost` or `tooling`, each as
        ``table/id/column``.
    """

    way: str | None
    tool: str | None
    need: int | None
    buy: int | None
    order: int | None
    minimum: int | None
    unit_price: Fraction | None
    cost: Fraction | None
    tooling: Fraction | None
    surplus: int | None
    surplus_cost: Fraction | None
    missing: tuple[str, ...] = ()
    missing_tooling: tuple[str, ...] = ()
    guesses: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Purchase:
    """What is bought at once: one part, or the parts of one shared tool.

    Attributes
    ----------
    id
        The part's id, or the tool's where it is shared.
    buy, order, surplus
        Pieces wanted with spares, bought, and beyond what is wanted; of all its parts.
    cost, surplus_cost
        What the order costs, and what of it is tied up in surplus.
    cheaper_at, cheaper_cost
        The break above the order whose whole cost is least, and that cost; None where there
        is no break above.
    saving
        `cost` less `cheaper_cost`: above zero, buying more costs less; 0 without a break above.
    surplus_interval
        What is tied up, as rates, quotes past their date and guesses may move; None while unknown.
    missing
        The inputs that are missing, each as ``table/id/column``.
    """

    id: str
    parts: tuple[str, ...]
    tool: str | None
    buy: int | None
    order: int | None
    minimum: int | None
    cost: Fraction | None
    surplus: int | None
    surplus_cost: Fraction | None
    cheaper_at: int | None
    cheaper_cost: Fraction | None
    saving: Fraction | None
    surplus_interval: Interval | None = None
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class AtLeast:
    """What is known of a box's costs while something is missing: each is at least this.

    `least_price` is None where no price could do it, or the margin that is wanted is unknown.
    """

    parts: Fraction
    labour: Fraction
    overhead: Fraction
    unit_cost: Fraction
    duty: Fraction
    freight: Fraction
    fees: Fraction
    reserve: Fraction
    landed: Fraction
    minutes: Fraction
    fixed_share: Fraction = Fraction(0)
    least_price: Fraction | None = None


@dataclass(frozen=True, slots=True)
class BoxMoney:
    """Where the money of one box goes; every amount is for one box.

    Attributes
    ----------
    parts
        Its pieces, with spares and surplus charged by pieces used.
    minutes, labour
        Minutes on its parts and on assembly, and what they cost.
    overhead
        On parts and labour.
    unit_cost
        Ex-works: parts, labour and overhead.
    duty, freight, fees, reserve
        What lies between ex-works and landed.
    landed
        What a sold box costs in all, before the fixed costs.
    price, margin, margin_share
        The price, what is left of it after `landed`, and that as a share of the price.
    fixed_share
        Its share of tooling and development, by figures.
    margin_after_fixed_share
        The margin less `fixed_share`.
    least_price
        The price at which the margin after the fixed share is just the least wanted.
    margin_interval, after_interval
        The two margins as rates, quotes past their date and guesses may move; while something is
        missing, with no lower end; None where not even the price is known.
    at_least
        What is known of the costs.
    margin_most, after_most
        The two margins if all that is missing cost nothing; None where the price is unknown.
    missing, missing_fixed
        The inputs that are missing for `margin` and for `fixed_share`, each as
        ``table/id/column``.
    expired
        Ways in it whose quotes are past their last day, in the folder's order.
    guesses
        The cells that it rests on and that are guesses, each as ``table/id/column``.
    """

    parts: Fraction | None
    minutes: Fraction | None
    labour: Fraction | None
    overhead: Fraction | None
    unit_cost: Fraction | None
    duty: Fraction | None
    freight: Fraction | None
    fees: Fraction | None
    reserve: Fraction | None
    landed: Fraction | None
    price: Fraction | None
    margin: Fraction | None
    margin_share: Fraction | None
    fixed_share: Fraction | None
    margin_after_fixed_share: Fraction | None
    least_price: Fraction | None = None
    margin_interval: Interval | None = None
    after_interval: Interval | None = None
    missing: tuple[str, ...] = ()
    missing_fixed: tuple[str, ...] = ()
    expired: tuple[str, ...] = ()
    guesses: tuple[str, ...] = ()
    at_least: AtLeast | None = None
    margin_most: Fraction | None = None
    after_most: Fraction | None = None


@dataclass(frozen=True, slots=True)
class BreakEven:
    """How many boxes, with today's proportions between them, the line must sell.

    Attributes
    ----------
    quantity
        Boxes at the first multiple of the orders without a loss; None if there is none, or
        while something is unknown.
    known
        Whether everything it rests on is known.
    losses_after
        Later stretches where a loss returns, in boxes, from and to; `to` None: for ever.
    curve
        Boxes and profit, for a picture: exact at each point.
    band
        Boxes, and the least and the most that the profit may be there; empty where it is certain.
    """

    quantity: Fraction | None
    known: bool
    losses_after: tuple[tuple[Fraction, Fraction | None], ...] = ()
    curve: tuple[tuple[Fraction, Fraction], ...] = ()
    band: tuple[tuple[Fraction, Fraction, Fraction], ...] = ()


@dataclass(frozen=True, slots=True)
class Lead:
    """Between which numbers of boxes one way earns more than another, the mix as today.

    Attributes
    ----------
    known
        Whether everything it rests on is known, and both ways assume the same orders.
    ahead
        Stretches, in boxes, from and to, in which it earns more; `to` None: for ever.
    curve
        Boxes, and how much more it earns, for a picture: exact at each point.
    """

    known: bool
    ahead: tuple[tuple[Fraction, Fraction | None], ...] = ()
    curve: tuple[tuple[Fraction, Fraction], ...] = ()


@dataclass(frozen=True, slots=True)
class Relief:
    """A way that ties up little enough, and what it is called; the best of those by profit."""

    way: str
    name: str


@dataclass(frozen=True, slots=True)
class Answer:
    """What each part, box and the line cost and earn.

    Attributes
    ----------
    parts, sells
        By id, in the folder's order.
    purchases
        What is bought at once, in the order of the parts' ids.
    tooling, development, fixed
        The fixed costs and their sum.
    profit, cash_asked
        Of the line at the orders assumed; cash asked is fixed plus all part costs.
    profit_interval
        The profit as rates, quotes past their date and guesses may move; while something is
        missing, with no lower end; None where a price or orders are unknown.
    profit_most
        The profit if all that is missing cost nothing, as it is quoted now; None as above.
    rate_effects
        Currency: what the spread of its rate alone does to the profit (half-width).
    break_even
        The boxes that the line must sell.
    break_even_interval
        The same; its upper end is infinite where the line may never earn its costs back; None
        while break-even is unknown or there is none.
    expired
        Ways that are counted and whose quotes are past their last day.
    guesses
        The cells that the profit rests on and that are guesses, each as ``table/id/column``.
    reliefs
        By purchase whose minimum ties up too much: a way of its part that ties up little enough.
    missing
        The inputs that are missing for `profit`, each as ``table/id/column``.
    """

    parts: Mapping[str, PartMoney]
    sells: Mapping[str, BoxMoney]
    tooling: Fraction | None
    development: Fraction | None
    fixed: Fraction | None
    profit: Fraction | None
    cash_asked: Fraction | None
    break_even: BreakEven
    profit_interval: Interval | None = None
    profit_most: Fraction | None = None
    break_even_interval: Interval | None = None
    rate_effects: Mapping[str, Fraction] | None = None
    expired: tuple[str, ...] = ()
    guesses: tuple[str, ...] = ()
    purchases: tuple[Purchase, ...] = ()
    reliefs: Mapping[str, Relief] = field(default_factory=dict)
    missing: tuple[str, ...] = ()
