"""What is bought at once, what its minimum ties up, and whether more would cost less."""

from fractions import Fraction

from sixwright.topics.money.amounts import Known, plus
from sixwright.topics.money.line_sums import LineSums
from sixwright.topics.money.lots import Lot, bought, step_at
from sixwright.topics.money.model import PartMoney, Purchase


def purchases(stands: LineSums) -> tuple[Purchase, ...]:
    """Everything that the orders make the producer buy.

    Parameters
    ----------
    stands
        The line's sheet.

    Raises
    ------
    KeyError
        If a lot holds a part that the sheet does not.

    Source
    ------
    docs/topics/money.md, “A part”. The order itself is never raised to a cheaper break.
    """
    return tuple(_purchase(stands, lot) for lot in stands.lots)


def _purchase(stands: LineSums, lot: Lot) -> Purchase:
    money = [stands.parts[part] for part in lot.parts]
    cost = plus(*(part.cost for part in money))
    order = _count([part.order for part in money])
    breaks = _breaks_above(lot, money, order)
    known = [(at, price) for at, price in breaks if price is not None]
    missing = dict.fromkeys(name for part in money for name in part.missing)
    best = min(known, key=lambda step: step[1]) if known and len(known) == len(breaks) else None
    saving: Known = Fraction(0)
    if cost is None or len(known) < len(breaks):
        saving = None
    elif best is not None:
        saving = cost - best[1]
    return Purchase(
        id=lot.tool if lot.tool and len(lot.parts) > 1 else lot.parts[0],
        parts=lot.parts,
        tool=lot.tool,
        buy=_count([part.buy for part in money]),
        order=order,
        minimum=lot.minimum,
        cost=cost,
        surplus=_count([part.surplus for part in money]),
        surplus_cost=plus(*(part.surplus_cost for part in money)),
        cheaper_at=best[0] if best else None,
        cheaper_cost=best[1] if best else None,
        saving=saving,
        missing=tuple(missing),
    )


def _count(counts: list[int | None]) -> int | None:
    known = [count for count in counts if count is not None]
    return sum(known) if len(known) == len(counts) else None


def _breaks_above(lot: Lot, money: list[PartMoney], order: int | None) -> list[tuple[int, Known]]:
    """Each break above the order, and what ordering that many would cost in all."""
    buys = [part.buy for part in money if part.buy is not None]
    if order is None or len(buys) < len(lot.parts):
        return []
    above = sorted({at for ladder in lot.ladders for at, _ in ladder if at > order})
    return [(at, _cost_at(lot, buys, at)) for at in above]


def _cost_at(lot: Lot, buys: list[int], at: int) -> Known:
    orders = bought(lot, buys, at_least=at)
    steps = [step_at(ladder, at) for ladder in lot.ladders]
    return plus(
        *(
            None if step is None or step[1] is None else count * step[1]
            for count, step in zip(orders, steps, strict=True)
        )
    )
