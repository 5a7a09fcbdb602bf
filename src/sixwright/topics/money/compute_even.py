"""How many boxes the line must sell: all orders times k, with every quote read again at each k.

For k > 0 the profit is ``earned × k − loaded × Σ cost of parts(k) − fixed``. The cost is a
staircase: it steps where one more piece is needed, where a minimum is passed, where a break is
reached. Between two breaks the staircase lies within one piece a part of a straight line. So the
sign is certain outside a narrow band around each crossing of that line, and only within the
bands is every single step walked. All of it is exact.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor

from sixwright.topics.money.compute_boxes import plus, times
from sixwright.topics.money.compute_lots import Lot, bought, step_at
from sixwright.topics.money.compute_sheet import Sheet
from sixwright.topics.money.model import BreakEven, Inputs

# Beyond the last break, where the line neither gains nor loses by selling more, its profit only
# repeats itself: one more time the present orders is looked at and no further.
BEYOND = Fraction(1)


@dataclass(frozen=True, slots=True)
class _Stair:
    """A lot with all known: pieces with spares at k = 1, not rounded, and its quotes."""

    lot: Lot
    rates: tuple[Fraction, ...]

    def cost(self, buys: Sequence[int]) -> Fraction:
        orders = bought(self.lot, buys)
        return sum(
            (order * price for order, price in zip(orders, self.prices(sum(orders)), strict=True)),
            Fraction(0),
        )

    def prices(self, total: int) -> tuple[Fraction, ...]:
        steps = (step_at(ladder, total) for ladder in self.lot.ladders)
        return tuple(step[1] for step in steps if step is not None and step[1] is not None)

    def buys_at(self, k: Fraction) -> list[int]:
        return [ceil(rate * k) for rate in self.rates]

    def buys_after(self, k: Fraction) -> list[int]:
        """Pieces wanted just above k."""
        return [floor(rate * k) + 1 for rate in self.rates]


@dataclass(frozen=True, slots=True)
class _Course:
    """What the profit is made of: `earned` and `loaded` are exact numbers, `stairs` the parts."""

    earned: Fraction
    loaded: Fraction
    fixed: Fraction
    stairs: tuple[_Stair, ...]

    def profit(self, k: Fraction) -> Fraction:
        return self._with(k, (stair.cost(stair.buys_at(k)) for stair in self.stairs))

    def profit_after(self, k: Fraction) -> Fraction:
        return self._with(k, (stair.cost(stair.buys_after(k)) for stair in self.stairs))

    def _with(self, k: Fraction, costs: Iterator[Fraction]) -> Fraction:
        return self.earned * k - self.loaded * sum(costs, Fraction(0)) - self.fixed


@dataclass(frozen=True, slots=True)
class _Stretch:
    """From `start` to `end` the line makes a loss, or none; of no length: a single point."""

    start: Fraction
    end: Fraction | None
    loss: bool


def break_even(inputs: Inputs, stands: Sheet) -> BreakEven:
    """The first number of boxes, at the present mix, without a loss, and where losses return.

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
    docs/topics/money.md, “Break-even”.
    """
    boxes = sum(count for count in inputs.orders.values() if count)
    if stands.profit is None:
        return BreakEven(None, known=False)
    course = _course(inputs, stands)
    if not boxes or course is None:
        return BreakEven(None, known=bool(course))
    stretches = _merged(_stretches(course))
    first = next((i for i, stretch in enumerate(stretches) if not stretch.loss), None)
    later = stretches[first:] if first is not None else []
    quantity = None if first is None else stretches[first].start * boxes
    return BreakEven(
        quantity=quantity,
        known=True,
        losses_after=tuple(
            (s.start * boxes, None if s.end is None else s.end * boxes) for s in later if s.loss
        ),
        curve=_curve(course, boxes, quantity),
    )


def _course(inputs: Inputs, stands: Sheet) -> _Course | None:
    """The profit as a function of k; None where a price on some step is not known."""
    rules = inputs.rules
    loaded = times(plus(1, rules.duty), plus(1, rules.overhead))
    earned = plus(*(_earned(inputs, stands, loaded, sells) for sells in inputs.sells))
    known = all(
        ladder and all(price is not None for _, price in ladder)
        for lot in stands.lots
        for ladder in lot.ladders
    )
    if not known or loaded is None or earned is None or stands.fixed is None:
        return None
    spares = rules.spares or Fraction(0)
    stairs = tuple(
        _Stair(lot, tuple((need or 0) * (1 + spares) for need in lot.needs)) for lot in stands.lots
    )
    return _Course(earned, loaded, stands.fixed, stairs)


def _earned(inputs: Inputs, stands: Sheet, loaded: Fraction | None, sells: str) -> Fraction | None:
    """What the orders of a box bring, before its parts are paid."""
    money, ordered = stands.sells[sells], inputs.orders.get(sells)
    if not ordered:
        return Fraction(0)
    labour = times(-1, loaded, money.labour)
    costs = (times(-1, cost) for cost in (money.freight, money.fees, money.reserve))
    return times(ordered, plus(money.price, labour, *costs))


def _thresholds(stair: _Stair) -> list[Fraction]:
    """Each k above which the pooled pieces reach the minimum or a further break."""
    least = stair.lot.minimum or 0
    counts = {count for ladder in stair.lot.ladders for count, _ in ladder if count > least}
    return [_reaches(stair, count) for count in {least, *counts} if count > len(stair.rates)]


def _reaches(stair: _Stair, count: int) -> Fraction:
    """The greatest k at which fewer than `count` pieces are wanted."""
    total = sum(stair.rates, Fraction(0))
    low = max(Fraction(0), (count - 1 - len(stair.rates)) / total)
    steps = sorted(k for rate in stair.rates for k in _steps(rate, low, count / total))
    for k in steps:
        if sum(stair.buys_after(k)) >= count:
            return k
    return low


def _steps(rate: Fraction, start: Fraction, end: Fraction) -> Iterator[Fraction]:
    """Each k from `start` to `end` above which one more piece is wanted."""
    for pieces in range(ceil(start * rate), floor(end * rate) + 1):
        yield pieces / rate


def _stretches(course: _Course) -> Iterator[_Stretch]:
    marks = {k for stair in course.stairs for k in _thresholds(stair)}
    edges = [Fraction(0), *sorted(marks - {Fraction(0)})]
    for start, end in pairwise(edges):
        yield from _between(course, start, end)
    yield from _between(course, edges[-1], None)


def _between(course: _Course, start: Fraction, end: Fraction | None) -> Iterator[_Stretch]:
    """Stretches of one segment, in which every quote stands at one break."""
    slope, level, depth = _bounds(course, start)
    if slope == 0:
        certain = level < 0 or level - depth >= 0
        stop = end if certain or end is not None else start + BEYOND
        if certain:
            yield _Stretch(start, end, level < 0)
        elif stop is not None:
            yield from _walk(course, start, stop)
        return
    first, last = sorted((-level / slope, (depth - level) / slope))
    low, high = _inside(first, start, end), _inside(last, start, end)
    if low > start:
        yield _Stretch(start, low, loss=slope > 0)
        if slope > 0 and course.profit(low) == 0:
            yield _Stretch(low, low, loss=False)
    if high > low:
        yield from _walk(course, low, high)
    if end is None or high < end:
        yield _Stretch(high, end, loss=slope < 0)


def _inside(k: Fraction, start: Fraction, end: Fraction | None) -> Fraction:
    return max(start, k if end is None else min(k, end))


def _bounds(course: _Course, start: Fraction) -> tuple[Fraction, Fraction, Fraction]:
    """Slope and level of a line that the profit never exceeds, and how far below it can lie.

    They hold from just above `start` to the next threshold, that one included.
    """
    slope, level, depth = course.earned, -course.fixed, Fraction(0)
    for stair in course.stairs:
        buys = stair.buys_after(start)
        orders = bought(stair.lot, buys)
        prices = stair.prices(sum(orders))
        if sum(orders) > sum(buys):
            level -= course.loaded * min(prices) * sum(orders)
            depth += course.loaded * (max(prices) - min(prices)) * sum(orders)
        else:
            slope -= course.loaded * _product(stair.rates, prices)
            depth += course.loaded * sum(prices)
    return slope, level, depth


def _product(rates: Sequence[Fraction], prices: Sequence[Fraction]) -> Fraction:
    return sum((r * p for r, p in zip(rates, prices, strict=True)), Fraction(0))


def _walk(course: _Course, start: Fraction, end: Fraction) -> Iterator[_Stretch]:
    """Every step from `start` to `end`, one by one; between steps the profit is a straight line."""
    steps: dict[Fraction, list[int]] = {start: []}
    for i, stair in enumerate(course.stairs):
        for rate in stair.rates:
            for k in _steps(rate, start, end):
                if start <= k < end:
                    steps.setdefault(k, []).append(i)
    edges = sorted(steps)
    costs = [stair.cost(stair.buys_after(start)) for stair in course.stairs]
    total = sum(costs, Fraction(0))
    for here, there in zip(edges, [*edges[1:], end], strict=True):
        for i in steps[here]:
            stair = course.stairs[i]
            cost = stair.cost(stair.buys_after(here))
            total += cost - costs[i]
            costs[i] = cost
        level = -course.loaded * total - course.fixed
        yield from _straight((here, course.earned * here + level), course.earned, there)


def _straight(
    begin: tuple[Fraction, Fraction], slope: Fraction, end: Fraction
) -> Iterator[_Stretch]:
    """Stretches of a profit that is `begin` (k, profit just above it) and then a straight line."""
    start, first = begin
    last = first + slope * (end - start)
    if (first < 0) == (last < 0):
        yield _Stretch(start, end, first < 0)
        return
    zero = start - first / slope
    if zero > start:
        yield _Stretch(start, zero, first < 0)
    if zero < end or last == 0:
        yield _Stretch(zero, end, last < 0)


def _merged(stretches: Iterator[_Stretch]) -> list[_Stretch]:
    merged: list[_Stretch] = []
    for stretch in stretches:
        if merged and merged[-1].loss == stretch.loss:
            merged[-1] = _Stretch(merged[-1].start, stretch.end, stretch.loss)
        else:
            merged.append(stretch)
    return merged


def _curve(
    course: _Course, boxes: int, quantity: Fraction | None
) -> tuple[tuple[Fraction, Fraction], ...]:
    """Boxes and profit, at each threshold and just above it, to well beyond the orders."""
    far = max(Fraction(3, 2), (quantity or Fraction(0)) / boxes * Fraction(5, 4))
    marks = {k for stair in course.stairs for k in _thresholds(stair) if k < far}
    points = [(Fraction(0), course.profit_after(Fraction(0)))]
    for k in sorted(marks - {Fraction(0)}):
        points += [(k * boxes, course.profit(k)), (k * boxes, course.profit_after(k))]
    return (*points, (far * boxes, course.profit(far)))
