"""How many boxes the line must sell, and from how many on one way earns more than another."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor

from sixwright.topics.money.amounts import plus, times
from sixwright.topics.money.line_sums import LineSums, sheet
from sixwright.topics.money.model import BreakEven, Inputs, Lead
from sixwright.topics.money.stairs import Burden, Course, course, first_not_below, stretches


def break_even(inputs: Inputs, stands: LineSums) -> BreakEven:
    """The first number of boxes without a loss, with today's proportions, and where losses return.

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
    boxes = _boxes(inputs)
    if stands.profit is None:
        return BreakEven(None, known=False)
    profit = profit_course(inputs, stands)
    if not boxes or profit is None:
        return BreakEven(None, known=bool(profit))
    found = stretches(profit)
    first = next((i for i, stretch in enumerate(found) if not stretch.below), None)
    later = found[first:] if first is not None else ()
    return BreakEven(
        quantity=None if first is None else found[first].start * boxes,
        known=True,
        losses_after=tuple(
            (s.start * boxes, None if s.end is None else s.end * boxes) for s in later if s.below
        ),
    )


def first_without_loss(inputs: Inputs, stands: LineSums) -> Fraction | None:
    """The first number of boxes without a loss alone; None where there is none, or none known.

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
    boxes, profit = _boxes(inputs), profit_course(inputs, stands)
    if not boxes or profit is None:
        return None
    first = first_not_below(profit)
    return None if first is None else first * boxes


def whole_losses(even: BreakEven) -> tuple[tuple[int, int | None], ...]:
    """Where a loss returns, in whole boxes, the first and the last of each stretch.

    A stretch of less than one box is a step between two boxes, and is left out.

    Parameters
    ----------
    even
        Break-even, its stretches in boxes and parts of boxes.

    Source
    ------
    docs/topics/money.md, “Break-even”: a loss sets in just above where a stretch starts, and is
    gone where it ends.
    """
    found = []
    for start, end in even.losses_after:
        first, last = floor(start) + 1, None if end is None else ceil(end) - 1
        if end is None or last is None or (end - start >= 1 and last >= first):
            found.append((first, last))
    return tuple(found)


def with_curve(
    inputs: Inputs, stands: LineSums, even: BreakEven, ends: Sequence[Inputs] = ()
) -> BreakEven:
    """Break-even with its picture's curve: boxes and profit, exact at each point.

    Parameters
    ----------
    inputs, stands
        The line and its sheet.
    even
        Its break-even.
    ends
        The line at the ends of what its profit may be.

    Raises
    ------
    KeyError
        If `stands` is not the sheet of `inputs`.

    Source
    ------
    docs/topics/money.md, “Break-even”.
    """
    profit, boxes = profit_course(inputs, stands), _boxes(inputs)
    if not even.known or profit is None or not boxes:
        return even
    far = max(Fraction(3, 2), (even.quantity or Fraction(0)) / boxes * Fraction(5, 4))
    curve = _curve(profit, boxes, far)
    return replace(even, curve=curve, band=_band([point for point, _ in curve], boxes, ends))


def _band(
    points: Sequence[Fraction], boxes: int, ends: Sequence[Inputs]
) -> tuple[tuple[Fraction, Fraction, Fraction], ...]:
    """The least and the most profit at each number of boxes."""
    courses = [profit_course(other, sheet(other)) for other in ends]
    known = [each for each in courses if each is not None]
    if not known:
        return ()
    at = [(point, [each.at(point / boxes) for each in known]) for point in dict.fromkeys(points)]
    return tuple((point, min(profits), max(profits)) for point, profits in at if point)


@dataclass(frozen=True, slots=True)
class Side:
    """One of two ways that are compared: a line and its sheet."""

    inputs: Inputs
    sheet: LineSums


def lead(first: Side, other: Side) -> Lead:
    """Between which numbers of boxes the other way earns more than the first.

    Parameters
    ----------
    first, other
        Two ways to make the same line; both must assume the same orders.

    Raises
    ------
    KeyError
        If a sheet is not that of its inputs.

    Source
    ------
    docs/topics/money.md, “Break-even”: the same course, of the difference of two profits.
    """
    boxes, same = _boxes(first.inputs), first.inputs.orders == other.inputs.orders
    one, two = _made_of(first), _made_of(other)
    if not boxes or not same or one is None or two is None:
        return Lead(known=False)
    behind = _difference(one, two)
    if behind is None:
        return Lead(known=False)
    ends = [k for s in stretches(behind) for k in (s.start, s.end) if k is not None]
    far = max([Fraction(3, 2), *(k * Fraction(5, 4) for k in ends)])
    curve = _curve(behind, boxes, far)
    return Lead(
        known=True,
        ahead=tuple(
            (s.start * boxes, None if s.end is None else s.end * boxes)
            for s in stretches(behind)
            if s.below
        ),
        curve=tuple((at, -amount) for at, amount in curve),
    )


@dataclass(frozen=True, slots=True)
class _Made:
    """What a profit is made of."""

    earned: Fraction
    fixed: Fraction
    burdens: tuple[Burden, ...]


def profit_course(inputs: Inputs, stands: LineSums) -> Course | None:
    """The profit over the size of the line; None where something it rests on is not known.

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
    made = _made_of(Side(inputs, stands))
    return None if made is None else course(made.earned, made.fixed, made.burdens)


def _difference(one: _Made, two: _Made) -> Course | None:
    """The first way's profit less the other's; lots that both buy alike cancel."""
    kept = [burden for burden in one.burdens if burden not in two.burdens]
    reversed_ = [
        Burden(-burden.weight, burden.lot, burden.rates)
        for burden in two.burdens
        if burden not in one.burdens
    ]
    return course(one.earned - two.earned, one.fixed - two.fixed, (*kept, *reversed_))


def _made_of(side: Side) -> _Made | None:
    inputs, stands = side.inputs, side.sheet
    rules = inputs.rules
    loaded = times(plus(1, rules.duty), plus(1, rules.overhead))
    earned = plus(*(_earned(inputs, stands, loaded, sells) for sells in inputs.sells))
    if stands.profit is None or loaded is None or earned is None or stands.fixed is None:
        return None
    spares = rules.spares or Fraction(0)
    burdens = tuple(
        Burden(loaded, lot, tuple((need or 0) * (1 + spares) for need in lot.needs))
        for lot in stands.lots
    )
    return _Made(earned, stands.fixed, burdens)


def _earned(
    inputs: Inputs, stands: LineSums, loaded: Fraction | None, sells: str
) -> Fraction | None:
    """What the orders of a box bring, before its parts are paid."""
    money, ordered = stands.sells[sells], inputs.orders.get(sells)
    if not ordered:
        return Fraction(0)
    labour = times(-1, loaded, money.labour)
    costs = (times(-1, cost) for cost in (money.freight, money.fees, money.reserve))
    return times(ordered, plus(money.price, labour, *costs))


def _boxes(inputs: Inputs) -> int:
    return sum(count for count in inputs.orders.values() if count)


def _curve(amount: Course, boxes: int, far: Fraction) -> tuple[tuple[Fraction, Fraction], ...]:
    """Boxes and amount, at each threshold and just above it, up to `far` times the orders."""
    points = [(Fraction(0), amount.after(Fraction(0)))]
    for k in amount.thresholds():
        if k < far:
            points += [(k * boxes, amount.at(k)), (k * boxes, amount.after(k))]
    return (*points, (far * boxes, amount.at(far)))
