"""What an amount does over the size of the line: all orders times k, every quote read at each k.

For k > 0 it is ``earned × k − Σ weight × cost of a lot(k) − fixed``. The cost is a staircase: it
steps where one more piece is needed, where a minimum is passed, where a break is reached. Between
two breaks a staircase lies within one piece a part of a straight line. So the sign is certain
outside a narrow band around each crossing of that line, and only within the bands is every single
step walked. All of it is exact: the prices of all stairs are whole numbers of one common scale.

A profit is such a course with one weight for all lots; the lead of one way over another has the
lots of the one with their weights and those of the other with theirs reversed.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor, lcm

from sixwright.topics.money.lots import Lot, bought

# Beyond the last break, where an amount neither gains nor loses by selling more, it only repeats
# itself: one more time the present orders is looked at and no further.
BEYOND = Fraction(1)


@dataclass(frozen=True, slots=True)
class Burden:
    """A lot that a course pays for: what its cost is multiplied by, and pieces wanted at k = 1.

    Attributes
    ----------
    weight
        Plain factor on the lot's cost; below zero where its cost is a gain.
    rates
        Pieces with spares at k = 1, not rounded, a part.
    """

    weight: Fraction
    lot: Lot
    rates: tuple[Fraction, ...]


@dataclass(frozen=True, slots=True)
class Stair:
    """A lot whose every price is known, as whole numbers of the course's scale.

    Attributes
    ----------
    ratios
        The rates as numerator and denominator: each step is then counted in whole numbers.
    """

    lot: Lot
    rates: tuple[Fraction, ...]
    ladders: tuple[tuple[tuple[int, int], ...], ...]
    ratios: tuple[tuple[int, int], ...]

    def cost(self, buys: Sequence[int]) -> int:
        """What these pieces cost, weighted and scaled."""
        if len(buys) == 1:
            order = max(buys[0], self.lot.minimum or 0) if buys[0] else 0
            return order * _price_at(self.ladders[0], order)
        orders = bought(self.lot, buys)
        prices = self.prices(sum(orders))
        return sum(order * price for order, price in zip(orders, prices, strict=True))

    def prices(self, total: int) -> tuple[int, ...]:
        """A piece of each part at a pooled order, weighted and scaled."""
        return tuple(_price_at(ladder, total) for ladder in self.ladders)

    def buys_at(self, k: Fraction) -> list[int]:
        """Pieces wanted at k."""
        n, d = k.numerator, k.denominator
        return [-(-(top * n) // (bottom * d)) for top, bottom in self.ratios]

    def buys_after(self, k: Fraction) -> list[int]:
        """Pieces wanted just above k."""
        n, d = k.numerator, k.denominator
        return [top * n // (bottom * d) + 1 for top, bottom in self.ratios]


def _price_at(ladder: tuple[tuple[int, int], ...], total: int) -> int:
    """The break at or below an order; below the first break, the first."""
    price = ladder[0][1]
    for count, at in ladder:
        if count > total:
            break
        price = at
    return price


@dataclass(frozen=True, slots=True)
class Course:
    """An amount over k: `earned` and `fixed` in the line's currency, `stairs` by `scale` of it."""

    earned: Fraction
    fixed: Fraction
    scale: int
    stairs: tuple[Stair, ...]

    def at(self, k: Fraction) -> Fraction:
        """The amount at k."""
        return self._with(k, sum(stair.cost(stair.buys_at(k)) for stair in self.stairs))

    def after(self, k: Fraction) -> Fraction:
        """The amount just above k."""
        return self._with(k, sum(stair.cost(stair.buys_after(k)) for stair in self.stairs))

    def _with(self, k: Fraction, cost: int) -> Fraction:
        return self.earned * k - Fraction(cost, self.scale) - self.fixed

    def thresholds(self) -> list[Fraction]:
        """Each k above which a lot reaches its minimum or a further break, ascending."""
        return sorted({k for stair in self.stairs for k in _thresholds(stair)} - {Fraction(0)})


@dataclass(frozen=True, slots=True)
class Stretch:
    """From `start` to `end` the amount is below zero, or not; of no length: a single point."""

    start: Fraction
    end: Fraction | None
    below: bool


def course(earned: Fraction, fixed: Fraction, burdens: Sequence[Burden]) -> Course | None:
    """The amount that these make over k; None where a price on some step is not known.

    Parameters
    ----------
    earned
        What one time the orders brings before its lots are paid, line's currency.
    fixed
        What is paid whatever the size, line's currency.
    burdens
        The lots that are paid for.

    Source
    ------
    docs/topics/money.md, “Break-even”.
    """
    weighted: list[list[list[tuple[int, Fraction]]]] = []
    for burden in burdens:
        ladders = burden.lot.ladders
        if any(not ladder or any(price is None for _, price in ladder) for ladder in ladders):
            return None
        weighted.append(
            [[(count, burden.weight * (price or 0)) for count, price in rows] for rows in ladders]
        )
    scale = lcm(*(price.denominator for lot in weighted for rows in lot for _, price in rows))
    stairs = tuple(
        Stair(
            burden.lot,
            burden.rates,
            tuple(_whole(rows, scale) for rows in lot),
            tuple((rate.numerator, rate.denominator) for rate in burden.rates),
        )
        for burden, lot in zip(burdens, weighted, strict=True)
    )
    return Course(earned, fixed, scale, stairs)


def _whole(rows: Sequence[tuple[int, Fraction]], scale: int) -> tuple[tuple[int, int], ...]:
    return tuple((count, int(price * scale)) for count, price in rows)


def stretches(course: Course) -> tuple[Stretch, ...]:
    """Where the amount is below zero and where not, from k just above 0 to for ever.

    Parameters
    ----------
    course
        The amount.

    Source
    ------
    docs/topics/money.md, “Break-even”.
    """
    return tuple(_merged(_stretches(course)))


def first_not_below(course: Course) -> Fraction | None:
    """The first k at which the amount is not below zero; None where it always is.

    Parameters
    ----------
    course
        The amount.

    Source
    ------
    docs/topics/money.md, “Break-even”: `stretches`, walked no further than needed.
    """
    return next((stretch.start for stretch in _stretches(course) if not stretch.below), None)


def _thresholds(stair: Stair) -> list[Fraction]:
    """Each k above which the pooled pieces reach the minimum or a further break."""
    least = stair.lot.minimum or 0
    counts = {count for ladder in stair.lot.ladders for count, _ in ladder if count > least}
    return [_reaches(stair, count) for count in {least, *counts} if count > len(stair.rates)]


def _reaches(stair: Stair, count: int) -> Fraction:
    """The greatest k at which fewer than `count` pieces are wanted."""
    if len(stair.rates) == 1:
        return (count - 1) / stair.rates[0]
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


Bounds = tuple[Fraction, int, int]
LEVEL: Bounds = (Fraction(0), 0, 0)


def _stretches(course: Course) -> Iterator[Stretch]:
    """Stretches of each segment, in which every quote stands at one break."""
    bounds = [LEVEL for _ in course.stairs]
    whole = LEVEL
    starts: dict[Fraction, list[int]] = {Fraction(0): list(range(len(course.stairs)))}
    for i, stair in enumerate(course.stairs):
        for k in _thresholds(stair):
            if k:
                starts.setdefault(k, []).append(i)
    edges = sorted(starts)
    for start, end in [*pairwise(edges), (edges[-1], None)]:
        for i in starts[start]:
            was, bounds[i] = bounds[i], _bounds(course.stairs[i], start)
            whole = _exchanged(whole, was, bounds[i])
        yield from _between(course, whole, start, end)


def _exchanged(whole: Bounds, was: Bounds, now: Bounds) -> Bounds:
    """A sum of bounds in which one is replaced by another."""
    slope = whole[0] if was[0] == now[0] else whole[0] - was[0] + now[0]
    return slope, whole[1] - was[1] + now[1], whole[2] - was[2] + now[2]


def _bounds(stair: Stair, start: Fraction) -> Bounds:
    """A line that a stair's cost lies above, and how far above it at most: slope, level, depth.

    They hold from just above `start` to the stair's next threshold, that one included.
    """
    buys = stair.buys_after(start)
    orders = bought(stair.lot, buys)
    total = sum(orders)
    prices = stair.prices(total)
    if total > sum(buys):
        low, high = min(prices) * total, max(prices) * total
        return Fraction(0), low, high - low
    slope = sum((r * p for r, p in zip(stair.rates, prices, strict=True)), Fraction(0))
    low, high = sum(min(0, price) for price in prices), sum(max(0, price) for price in prices)
    return slope, low, high - low


def _between(
    course: Course, bounds: Bounds, start: Fraction, end: Fraction | None
) -> Iterator[Stretch]:
    """One segment: certain where the bounds agree on the sign, walked where they do not."""
    slope = course.earned - bounds[0] / course.scale
    level = -course.fixed - Fraction(bounds[1], course.scale)
    depth = Fraction(bounds[2], course.scale)
    if slope == 0:
        yield from _level(course, (level, depth), start, end)
        return
    first, last = sorted((-level / slope, (depth - level) / slope))
    low, high = _inside(first, start, end), _inside(last, start, end)
    if low > start:
        yield Stretch(start, low, below=slope > 0)
        if slope > 0 and course.at(low) == 0:
            yield Stretch(low, low, below=False)
    if high > low:
        yield from _walk(course, low, high)
    if end is None or high < end:
        yield Stretch(high, end, below=slope < 0)


def _level(
    course: Course, bound: tuple[Fraction, Fraction], start: Fraction, end: Fraction | None
) -> Iterator[Stretch]:
    """A segment whose line is level: certain on one side of zero, else walked."""
    level, depth = bound
    certain = level < 0 or level - depth >= 0
    stop = end if certain or end is not None else start + BEYOND
    if certain:
        yield Stretch(start, end, level < 0)
    elif stop is not None:
        yield from _walk(course, start, stop)


def _inside(k: Fraction, start: Fraction, end: Fraction | None) -> Fraction:
    return max(start, k if end is None else min(k, end))


def _walk(course: Course, start: Fraction, end: Fraction) -> Iterator[Stretch]:
    """Every step from `start` to `end`, one by one; between steps the amount is straight."""
    steps: dict[Fraction, list[int]] = {start: []}
    for i, stair in enumerate(course.stairs):
        for rate in stair.rates:
            for k in _steps(rate, start, end):
                if start <= k < end:
                    steps.setdefault(k, []).append(i)
    edges = sorted(steps)
    costs = [stair.cost(stair.buys_after(start)) for stair in course.stairs]
    total = sum(costs)
    for here, there in zip(edges, [*edges[1:], end], strict=True):
        for i in steps[here]:
            stair = course.stairs[i]
            cost = stair.cost(stair.buys_after(here))
            total += cost - costs[i]
            costs[i] = cost
        level = -Fraction(total, course.scale) - course.fixed
        yield from _straight((here, course.earned * here + level), course.earned, there)


def _straight(
    begin: tuple[Fraction, Fraction], slope: Fraction, end: Fraction
) -> Iterator[Stretch]:
    """Stretches of an amount that is `begin` (k, amount just above it) and then straight."""
    start, first = begin
    last = first + slope * (end - start)
    if (first < 0) == (last < 0):
        yield Stretch(start, end, first < 0)
        return
    zero = start - first / slope
    if zero > start:
        yield Stretch(start, zero, first < 0)
    if zero < end or last == 0:
        yield Stretch(zero, end, last < 0)


def _merged(stretches: Iterator[Stretch]) -> list[Stretch]:
    merged: list[Stretch] = []
    for stretch in stretches:
        if merged and merged[-1].below == stretch.below:
            merged[-1] = Stretch(merged[-1].start, stretch.end, stretch.below)
        else:
            merged.append(stretch)
    return merged
