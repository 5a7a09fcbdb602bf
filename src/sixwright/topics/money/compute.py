"""What each part, box and the line cost and earn; docs/topics/money.md has the definitions.

The levels: `lots` buys parts, `boxes` charges them to boxes, `line_sums` adds up the line,
`stairs` walks the stairs of all quotes at once and `break_even` asks it where a loss ends or one
way overtakes another, `rivals` does all of it again for other ways.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import sqrt

from sixwright.kernel.intervals import Interval, exact
from sixwright.topics.money import break_even
from sixwright.topics.money.amounts import Known
from sixwright.topics.money.line_sums import Sheet, sheet
from sixwright.topics.money.model import (
    Answer,
    BoxMoney,
    BreakEven,
    Inputs,
    Purchase,
    Relief,
    Rivalry,
)
from sixwright.topics.money.purchases import purchases
from sixwright.topics.money.rivals import rivals

LEVEL = 0.95


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
    docs/topics/money.md. Spreads of several rates are taken as independent and their linear
    effects are added as root sum of squares.
    """
    stands = sheet(inputs)
    bumps = _bumped(inputs)
    even = break_even.break_even(inputs, stands)
    bought = purchases(stands)
    return Answer(
        parts=stands.parts,
        sells={sells: _with_intervals(stands, bumps, sells) for sells in stands.sells},
        tooling=stands.tooling,
        development=stands.development,
        fixed=stands.fixed,
        profit=stands.profit,
        cash_asked=stands.cash_asked,
        break_even=even,
        profit_interval=_interval(stands.profit, [b.up.profit for b in bumps]),
        break_even_interval=_even_interval(even, bumps),
        rate_effects={
            b.currency: abs(b.up.profit - stands.profit)
            for b in bumps
            if b.up.profit is not None and stands.profit is not None
        },
        expired=_expired(inputs, stands),
        purchases=bought,
        reliefs=_reliefs(inputs, stands, bought),
        missing=stands.missing,
    )


def rival_ways(inputs: Inputs) -> tuple[Rivalry, ...]:
    """Rival ways of every part that has some: a detail that the page of money shows."""
    return rivals(inputs, sheet(inputs))


def even_with_curve(inputs: Inputs, even: BreakEven) -> BreakEven:
    """Break-even with the curve of its picture: a detail that the page of money shows."""
    return break_even.with_curve(inputs, sheet(inputs), even)


def _reliefs(inputs: Inputs, stands: Sheet, bought: Sequence[Purchase]) -> Mapping[str, Relief]:
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


@dataclass(frozen=True, slots=True)
class _Bump:
    """The line with one currency dearer, and cheaper, by the spread of its rate."""

    currency: str
    up: Sheet
    even_up: BreakEven
    even_down: BreakEven


def _bumped(inputs: Inputs) -> list[_Bump]:
    bumps = []
    for rate in inputs.rates.values():
        if rate.spread and rate.per_unit and rate.currency != inputs.currency:
            up = sheet(inputs, {rate.currency: 1 + rate.spread})
            down = sheet(inputs, {rate.currency: 1 - rate.spread})
            bumps.append(
                _Bump(
                    rate.currency,
                    up,
                    break_even.break_even(inputs, up),
                    break_even.break_even(inputs, down),
                )
            )
    return bumps


def _root_sum_square(effects: Sequence[Fraction]) -> Fraction:
    """Independent effects together; exact where there is only one."""
    felt = [effect for effect in effects if effect]
    if len(felt) < 2:
        return abs(sum(felt, Fraction(0)))
    return Fraction(sqrt(float(sum(effect * effect for effect in felt))))


def _interval(value: Known, moved: Sequence[Known]) -> Interval | None:
    """A value with what the rates' spreads do to it; exact where they do nothing."""
    if value is None:
        return None
    half = _root_sum_square([other - value for other in moved if other is not None])
    return Interval(value, value - half, value + half, LEVEL) if half else exact(value)


def _with_intervals(stands: Sheet, bumps: Sequence[_Bump], sells: str) -> BoxMoney:
    money = stands.sells[sells]
    moved = [bump.up.sells[sells] for bump in bumps]
    return replace(
        money,
        margin_interval=_interval(money.margin, [box.margin for box in moved]),
        after_interval=_interval(
            money.margin_after_fixed_share, [box.margin_after_fixed_share for box in moved]
        ),
    )


def _even_interval(even: BreakEven, bumps: Sequence[_Bump]) -> Interval | None:
    """Break-even with the spreads; None where it, or one end of it, is never reached."""
    if even.quantity is None:
        return None
    down, up = Fraction(0), Fraction(0)
    for bump in bumps:
        one, other = bump.even_up.quantity, bump.even_down.quantity
        if one is None or other is None:
            return None
        down = _root_sum_square([down, max(Fraction(0), even.quantity - min(one, other))])
        up = _root_sum_square([up, max(Fraction(0), max(one, other) - even.quantity)])
    if not down and not up:
        return exact(even.quantity)
    return Interval(even.quantity, even.quantity - down, even.quantity + up, LEVEL)


def _expired(inputs: Inputs, stands: Sheet) -> tuple[str, ...]:
    """Ways that the orders rest on and whose quotes are past their last day."""
    needed = {money.way for money in stands.parts.values() if money.need != 0}
    return tuple(
        way.id
        for way in inputs.ways.values()
        if way.id in needed and way.valid_until and way.valid_until < inputs.today
    )
