"""What each part, box and the line cost and earn; docs/topics/money.md has the definitions.

The levels: `lots` buys parts, `boxes` charges them to boxes, `line_sums` adds up the line,
`stairs` walks the stairs of all quotes at once and `break_even` asks it where a loss ends or one
way overtakes another, `sensitivities` says what is not certain, `rivals` does all of it again for
other ways.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from math import inf

from sixwright.kernel.intervals import Interval, at_most, exact
from sixwright.topics.money import break_even
from sixwright.topics.money.line_sums import LineSums, sheet
from sixwright.topics.money.model import Answer, BoxMoney, BreakEven, Inputs, Purchase, Relief
from sixwright.topics.money.purchases import purchases
from sixwright.topics.money.rivals import rivals
from sixwright.topics.money.rivals_model import Rivalry
from sixwright.topics.money.sensitivities import (
    LEVEL,
    Sensitivity,
    SensitivityKind,
    Slope,
    interval,
    moved,
    of_after,
    of_margin,
    of_profit,
    of_surplus,
    sensitivities,
)


def answer(inputs: Inputs) -> Answer:
    """What each part, box and the line cost and earn, and what the line must sell.

    Parameters
    ----------
    inputs
        Nouns, contents, orders, quotes, rates and house rules.

    Raises
    ------
    KeyError
        If a part, way or box is named that is not there; reading a folder refuses that first.

    Source
    ------
    docs/topics/money.md.
    """
    stands = sheet(inputs)
    open_ = sensitivities(inputs, stands)
    even = break_even.break_even(inputs, stands)
    bought = _with_surplus(stands, open_, purchases(stands))
    return Answer(
        parts=stands.parts,
        sells={sells: _with_intervals(inputs, stands, open_, sells) for sells in stands.sells},
        tooling=stands.tooling,
        development=stands.development,
        fixed=stands.fixed,
        profit=stands.profit,
        cash_asked=stands.cash_asked,
        break_even=even,
        profit_interval=_bounds(stands.profit, stands.profit_most, open_, of_profit(inputs)),
        profit_most=stands.profit_most,
        break_even_interval=_even_interval(inputs, even, open_),
        rate_effects={
            move.id: abs(of_profit(inputs)(move) * move.high)
            for move in open_
            if move.kind is SensitivityKind.RATE
        },
        expired=_expired(inputs, stands),
        guesses=_guesses(inputs, stands),
        purchases=bought,
        reliefs=_reliefs(inputs, stands, bought),
        missing=stands.missing,
    )


def rival_ways(inputs: Inputs) -> tuple[Rivalry, ...]:
    """Rival ways of every part that has some: a detail that the page of money shows."""
    return rivals(inputs, sheet(inputs))


def even_with_curve(inputs: Inputs, even: BreakEven) -> BreakEven:
    """Break-even with the curve of its picture: a detail that the page of money shows."""
    stands, slope = sheet(inputs), of_profit(inputs)
    open_ = [move for move in sensitivities(inputs, stands) if slope(move)]
    ends = [moved(inputs, open_, slope, side=side) for side in (-1, 1)] if open_ else []
    return break_even.with_curve(inputs, stands, even, ends)


def _reliefs(inputs: Inputs, stands: LineSums, bought: Sequence[Purchase]) -> Mapping[str, Relief]:
    """What else a part could be made in, where its minimum ties up more than the house allows."""
    most = stands.purse.line_amount(inputs.rules.surplus_most)
    found = {}
    for purchase in bought:
        tied = purchase.surplus_cost
        if most is None or tied is None or tied <= most or len(purchase.parts) > 1:
            continue
        options = [
            option
            for rivalry in rivals(inputs, stands, of=purchase.parts)
            for option in rivalry.options
            if not option.chosen and option.profit_change is not None
            if option.surplus_cost is not None and option.surplus_cost <= most
        ]
        if options:
            best = max(options, key=lambda option: option.profit_change or 0)
            found[purchase.id] = Relief(best.ways[0], best.name)
    return found


def _bounds(
    value: Fraction | None, most: Fraction | None, open_: Sequence[Sensitivity], slope: Slope
) -> Interval | None:
    """An amount with all that may move it; while something is missing, what it is at most."""
    if value is not None:
        return interval(value, open_, slope)
    return None if most is None else at_most(interval(most, open_, slope).high)


def _with_intervals(
    inputs: Inputs, stands: LineSums, open_: Sequence[Sensitivity], sells: str
) -> BoxMoney:
    money = stands.sells[sells]
    after = money.margin_after_fixed_share
    return replace(
        money,
        margin_interval=_bounds(money.margin, money.margin_most, open_, of_margin(sells)),
        after_interval=_bounds(after, money.after_most, open_, of_after(inputs, sells)),
    )


def _with_surplus(
    stands: LineSums, open_: Sequence[Sensitivity], bought: Sequence[Purchase]
) -> tuple[Purchase, ...]:
    return tuple(
        purchase
        if purchase.surplus_cost is None
        else replace(purchase, surplus_interval=_surplus_interval(stands, open_, purchase))
        for purchase in bought
    )


def _surplus_interval(
    stands: LineSums, open_: Sequence[Sensitivity], purchase: Purchase
) -> Interval:
    """What is tied up, by the moves that touch one of its parts."""
    tied = purchase.surplus_cost or Fraction(0)
    felt = [move for move in open_ if any(part in move.costs for part in purchase.parts)]
    if not tied or not felt:
        return exact(tied)
    return interval(tied, felt, of_surplus(stands.parts, purchase.parts))


def _even_interval(
    inputs: Inputs, even: BreakEven, open_: Sequence[Sensitivity]
) -> Interval | None:
    """Break-even at both ends of what the profit may be, every quote read again."""
    if even.quantity is None:
        return None
    slope = of_profit(inputs)
    if not any(slope(move) for move in open_):
        return exact(even.quantity)
    ends: list[Fraction | float] = [even.quantity]
    for side in (-1, 1):
        other = moved(inputs, open_, slope, side=side)
        quantity = break_even.first_without_loss(other, sheet(other))
        ends.append(inf if quantity is None else quantity)
    return Interval(even.quantity, min(ends), max(ends), LEVEL)


def _expired(inputs: Inputs, stands: LineSums) -> tuple[str, ...]:
    """Ways that the orders rest on and whose quotes are past their last day."""
    needed = {money.way for money in stands.parts.values() if money.need != 0}
    return tuple(
        way.id
        for way in inputs.ways.values()
        if way.id in needed and way.valid_until and way.valid_until < inputs.today
    )


def _guesses(inputs: Inputs, stands: LineSums) -> tuple[str, ...]:
    """The guesses that the orders rest on, in the order of the folder."""
    ordered = [sells for sells in stands.sells if inputs.orders.get(sells) != 0]
    return tuple(dict.fromkeys(name for id_ in ordered for name in stands.sells[id_].guesses))
