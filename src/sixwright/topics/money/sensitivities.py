"""What is not certain about the money of a line, and what it does: rates, old quotes, guesses.

Every amount is linear in each rate, quote and guess, because what is ordered does not move with a
price. So one slope says all: how an amount changes for a move of one time the input itself.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from math import sqrt
from typing import Any

from sixwright.kernel.currency import Money
from sixwright.kernel.intervals import Interval, exact
from sixwright.topics.money.amounts import known, plus, times
from sixwright.topics.money.boxes import GUESSED
from sixwright.topics.money.line_sums import LineSums, sheet
from sixwright.topics.money.lots import Lot
from sixwright.topics.money.model import Inputs, PartMoney

LEVEL = 0.95
# A quote past its date is renewed at 0.8 to 1.5 of its price: own choice, docs/topics/money.md.
EXPIRED = (Fraction(4, 5), Fraction(3, 2))
_PLACES = 10**6


class SensitivityKind(StrEnum):
    """What it is that may move."""

    RATE = "rate"
    QUOTE = "quote"
    GUESS = "guess"


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """One input that is not certain.

    Attributes
    ----------
    kind, id
        A currency, a way whose quote is past its date, or the cell of a guess.
    low, high
        How far it may move, relative: -0.2 and 0.5 for a quote past its date.
    margins
        Edition or set: what its margin changes for a relative move of 1.
    fixed
        What the fixed costs change for it.
    costs
        Part: what its order costs more for it.
    """

    kind: SensitivityKind
    id: str
    low: Fraction
    high: Fraction
    margins: Mapping[str, Fraction]
    fixed: Fraction
    costs: Mapping[str, Fraction]


Slope = Callable[[Sensitivity], Fraction]


def sensitivities(inputs: Inputs, stands: LineSums) -> tuple[Sensitivity, ...]:
    """Everything uncertain that the line counts, in the order of the folder.

    Parameters
    ----------
    inputs, stands
        The line and its sheet.

    Raises
    ------
    KeyError
        If `stands` is not the sheet of `inputs`.

    Source
    ------
    docs/topics/money.md, “What is not certain”.
    """
    found = [*_rates(inputs, stands), *_quotes(inputs, stands), *_guesses(inputs, stands)]
    return tuple(move for move in found if move.fixed or any(move.margins.values()))


def _rates(inputs: Inputs, stands: LineSums) -> Iterable[Sensitivity]:
    for rate in inputs.rates.values():
        if rate.spread and rate.per_unit and rate.currency != inputs.currency:
            spread = rate.spread
            dearer = replace(rate, per_unit=rate.per_unit / (1 + spread))
            other = sheet(replace(inputs, rates={**inputs.rates, rate.currency: dearer}))
            yield _between(SensitivityKind.RATE, rate.currency, (stands, other), (-spread, spread))


def _between(
    kind: SensitivityKind,
    id_: str,
    sheets: tuple[LineSums, LineSums],
    span: tuple[Fraction, Fraction],
) -> Sensitivity:
    """What moves between the sheet as it stands and the one at the upper end."""
    (stands, other), (low, high) = sheets, span
    margins = {
        sells: _slope(box.margin_most, other.sells[sells].margin_most, high)
        for sells, box in stands.sells.items()
    }
    costs = {
        part: _slope(money.cost, other.parts[part].cost, high)
        for part, money in stands.parts.items()
    }
    fixed = (other.fixed_least - stands.fixed_least) / high
    return Sensitivity(kind, id_, low, high, margins, fixed, costs)


def _slope(here: Fraction | None, there: Fraction | None, move: Fraction) -> Fraction:
    return Fraction(0) if here is None or there is None else (there - here) / move


def _quotes(inputs: Inputs, stands: LineSums) -> Iterable[Sensitivity]:
    """Quotes past their date: their pieces; the tooling of one is not asked again."""
    low, high = inputs.rules.expired or EXPIRED
    for part, money in stands.parts.items():
        way = inputs.ways.get(money.way or "")
        if money.need and way and way.valid_until and way.valid_until < inputs.today:
            yield _of_pieces(
                inputs, stands, (SensitivityKind.QUOTE, way.id), part, (low - 1, high - 1)
            )


def _of_pieces(
    inputs: Inputs,
    stands: LineSums,
    named: tuple[SensitivityKind, str],
    part: str,
    span: tuple[Fraction, Fraction],
) -> Sensitivity:
    """What the price of a part's pieces does: to each box by the pieces that are in it."""
    rules, money = inputs.rules, stands.parts[part]
    loaded = (1 + (rules.duty or 0)) * (1 + (rules.overhead or 0))
    each = money.cost / money.need if money.cost is not None and money.need else Fraction(0)
    margins = {
        sells: -loaded * each * (inputs.contents[sells].get(part) or 0) for sells in stands.sells
    }
    return Sensitivity(*named, *span, margins, Fraction(0), {part: known(money.cost)})


def _guesses(inputs: Inputs, stands: LineSums) -> Iterable[Sensitivity]:
    reached = {name: part for part, money in stands.parts.items() for name in money.guesses}
    for row in inputs.prices:
        name = f"prices/{row.way}/{row.from_quantity}/unit_price"
        if name in reached and row.unit_price and (span := _span(row.unit_price)):
            yield _of_pieces(inputs, stands, (SensitivityKind.GUESS, name), reached[name], span)
    yield from (move for lot in stands.lots for move in _toolings(inputs, stands, lot))
    for field, key in GUESSED.items():
        money: Money | None = getattr(inputs.rules, field)
        if money is not None and (span := _span(money)):
            most = replace(money, amount=money.amount * (1 + span[1]))
            other = sheet(_with_rule(inputs, field, most))
            yield _between(SensitivityKind.GUESS, f"line/line/{key}", (stands, other), span)


def _span(money: Money) -> tuple[Fraction, Fraction] | None:
    """How far a guess may lie from what is likely, relative; None where it is none, or is 0."""
    if money.guess is None or not money.amount:
        return None
    low, high = money.guess
    return (low / money.amount - 1, high / money.amount - 1) if low < high else None


def _toolings(inputs: Inputs, stands: LineSums, lot: Lot) -> Iterable[Sensitivity]:
    """The guess at a tool's cost: of a shared tool, the row that states the most."""
    for part in lot.parts if lot.tooling else ():
        way = inputs.ways[stands.parts[part].way or ""]
        if way.tooling and stands.purse.line_amount(way.tooling) == lot.tooling:
            span, none = _span(way.tooling), dict.fromkeys(stands.sells, Fraction(0))
            if span and lot.tooling:
                yield Sensitivity(
                    SensitivityKind.GUESS, f"ways/{way.id}/tooling", *span, none, lot.tooling, {}
                )
            return


def of_margin(sells: str) -> Slope:
    """What a box's margin does."""
    return lambda move: move.margins[sells]


def of_after(inputs: Inputs, sells: str) -> Slope:
    """What the margin after the fixed share does."""
    counts = [
        times(inputs.orders.get(id_), sold.figures)
        for id_, sold in inputs.sells.items()
        if inputs.orders.get(id_) != 0
    ]
    total, own = plus(*counts), inputs.sells[sells].figures or 0
    share = Fraction(own) / total if total else Fraction(0)
    return lambda move: move.margins[sells] - move.fixed * share


def of_profit(inputs: Inputs) -> Slope:
    """What the line's profit does."""
    return lambda move: (
        sum((inputs.orders.get(id_) or 0) * each for id_, each in move.margins.items()) - move.fixed
    )


def of_surplus(parts: Mapping[str, PartMoney], bought: Sequence[str]) -> Slope:
    """What the money tied up in some parts does."""

    def slope(move: Sensitivity) -> Fraction:
        shares = (
            Fraction(parts[part].surplus or 0, parts[part].order or 1) * move.costs[part]
            for part in bought
            if part in move.costs
        )
        return sum(shares, Fraction(0))

    return slope


def interval(value: Fraction, found: Sequence[Sensitivity], slope: Slope) -> Interval:
    """A value with all that may move it, each side for itself; exact where nothing does."""
    down, up = (_root_sum_square(_effects(found, slope, side)) for side in (-1, 1))
    if not down and not up:
        return exact(value)
    return Interval(value, value - down, value + up, LEVEL)


def _effects(found: Sequence[Sensitivity], slope: Slope, side: int) -> list[Fraction]:
    """How far each input alone moves an amount to one side (-1 down, 1 up), 0 or more."""
    return [
        max(Fraction(0), *(side * slope(move) * end for end in (move.low, move.high)))
        for move in found
    ]


def _root_sum_square(effects: Sequence[Fraction]) -> Fraction:
    """Independent effects together; exact where there is only one."""
    felt = [effect for effect in effects if effect]
    if len(felt) < 2:
        return sum(felt, Fraction(0))
    return Fraction(sqrt(float(sum(effect * effect for effect in felt))))


def moved(inputs: Inputs, found: Sequence[Sensitivity], slope: Slope, *, side: int) -> Inputs:
    """The line at the end of an amount's interval: each input moved as far as it has its share.

    Parameters
    ----------
    inputs
        The line.
    found
        What may move.
    slope
        Of the amount.
    side
        -1 for its lower end, 1 for its upper.

    Source
    ------
    Own choice: of all joint moves within the root of the sum of squares, the one that moves the
    amount the most; at it the amount is just the end of its interval.
    """
    effects = _effects(found, slope, side)
    all_ = _root_sum_square(effects)
    for move, effect in zip(found, effects, strict=True):
        if effect:
            end = move.high if side * slope(move) > 0 else move.low
            share = Fraction(round(end * effect / all_ * _PLACES), _PLACES)
            inputs = _with(inputs, move, 1 + share)
    return inputs


def _with(inputs: Inputs, move: Sensitivity, factor: Fraction) -> Inputs:
    """The line with one uncertain input multiplied."""
    table, _, rest = move.id.partition("/")
    if move.kind is SensitivityKind.RATE:
        rate = inputs.rates[move.id]
        other = replace(rate, per_unit=(rate.per_unit or 1) / factor)
        return replace(inputs, rates={**inputs.rates, move.id: other})
    if move.kind is SensitivityKind.QUOTE or table == "prices":
        named = rest.rpartition("/")[0] if table == "prices" else move.id
        quoted, _, at = named.partition("/")
        prices = tuple(
            replace(row, unit_price=_times(row.unit_price, factor))
            if row.way == quoted and at in {"", str(row.from_quantity)}
            else row
            for row in inputs.prices
        )
        return replace(inputs, prices=prices)
    if table == "ways":
        way = inputs.ways[rest.partition("/")[0]]
        dearer = replace(way, tooling=_times(way.tooling, factor))
        return replace(inputs, ways={**inputs.ways, way.id: dearer})
    field = next(name for name, key in GUESSED.items() if move.id == f"line/line/{key}")
    return _with_rule(inputs, field, _times(getattr(inputs.rules, field), factor))


def _with_rule(inputs: Inputs, field: str, amount: Money | None) -> Inputs:
    changed: dict[str, Any] = {field: amount}
    return replace(inputs, rules=replace(inputs.rules, **changed))


def _times(money: Money | None, factor: Fraction) -> Money | None:
    return None if money is None else Money(money.amount * factor, money.currency)
