"""The whole line at given rates: parts, boxes, fixed costs, profit and the cash asked."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from sixwright.topics.money.amounts import Known, Purse, less, plus, purse, times
from sixwright.topics.money.boxes import box
from sixwright.topics.money.lots import Lot, lot_parts, lots, unneeded
from sixwright.topics.money.model import BoxMoney, Inputs, PartMoney


@dataclass(frozen=True, slots=True)
class Sheet:
    """What parts, boxes and the line cost and earn; amounts as in `model.Answer`."""

    purse: Purse
    lots: tuple[Lot, ...]
    parts: Mapping[str, PartMoney]
    sells: Mapping[str, BoxMoney]
    tooling: Known
    development: Known
    fixed: Known
    profit: Known
    cash_asked: Known
    missing: tuple[str, ...]


def sheet(inputs: Inputs, bumped: Mapping[str, Fraction] | None = None) -> Sheet:
    """The line at its rates, or with what one unit of some currencies is worth multiplied.

    Parameters
    ----------
    inputs
        The line.
    bumped
        Currency to a plain factor.

    Raises
    ------
    KeyError
        If a part, way or box is named that is not there.

    Source
    ------
    docs/topics/money.md, “The line”.
    """
    purse_ = purse(inputs, bumped)
    bought = lots(inputs, purse_, _needs(inputs))
    priced = {
        part: money for lot in bought for part, money in lot_parts(inputs, purse_, lot).items()
    }
    parts = {part: priced.get(part) or unneeded(inputs, part) for part in inputs.parts}
    charges = {part: _charge(money) for part, money in parts.items()}
    boxes = {sells: box(inputs, purse_, parts, charges, sells) for sells in inputs.sells}
    tooling = plus(*(lot.tooling for lot in bought))
    development = purse_.line_amount(inputs.rules.development)
    fixed = plus(tooling, development)
    profit = _profit(inputs, boxes, fixed)
    return Sheet(
        purse=purse_,
        lots=bought,
        parts=parts,
        sells=_with_fixed_share(
            inputs, purse_, boxes, (fixed, _missing_fixed(inputs, purse_, bought))
        ),
        tooling=tooling,
        development=development,
        fixed=fixed,
        profit=profit,
        cash_asked=plus(fixed, *(part.cost for part in parts.values())),
        missing=_missing(inputs, purse_, bought, boxes) if profit is None else (),
    )


def _charge(part: PartMoney) -> Known:
    """What one piece is charged: its share of all that was bought; unknown while none is needed."""
    return part.cost / part.need if part.cost is not None and part.need else None


def _needs(inputs: Inputs) -> dict[str, int | None]:
    """Pieces that the orders take, a part; nothing of something unknown is nothing."""
    needs: dict[str, int | None] = dict.fromkeys(inputs.parts, 0)
    for sells, held in inputs.contents.items():
        ordered = inputs.orders.get(sells)
        for part, count in held.items():
            before = needs[part]
            if 0 in {ordered, count} or before is None:
                continue
            needs[part] = before + ordered * count if ordered and count else None
    return needs


def _figures(inputs: Inputs) -> int | None:
    """Figures at the orders assumed."""
    total = 0
    for sells, sold in inputs.sells.items():
        ordered = inputs.orders.get(sells)
        if ordered is None:
            return None
        total += ordered * sold.figures
    return total


def _with_fixed_share(
    inputs: Inputs, purse_: Purse, boxes: Mapping[str, BoxMoney], costs: tuple[Known, list[str]]
) -> dict[str, BoxMoney]:
    fixed, missing = costs
    figures = _figures(inputs)
    each = fixed / figures if fixed is not None and figures else None
    shares = {sells: times(each, inputs.sells[sells].figures) for sells in boxes}
    return {
        sells: replace(
            money,
            fixed_share=shares[sells],
            margin_after_fixed_share=less(money.margin, shares[sells]),
            missing_fixed=() if each is not None else tuple(dict.fromkeys(missing)),
            least_price=_least_price(inputs, purse_, money, shares[sells]),
        )
        for sells, money in boxes.items()
    }


def _least_price(inputs: Inputs, purse_: Purse, money: BoxMoney, fixed_share: Known) -> Known:
    """The price that leaves, after fees and reserve, all costs and the least margin wanted."""
    rules = inputs.rules
    fee_each = purse_.line_amount(rules.fee_each)
    costs = plus(money.unit_cost, money.duty, money.freight, fee_each, fixed_share)
    taken = plus(rules.fee_share, rules.reserve, rules.margin_least)
    if costs is None or taken is None or taken >= 1:
        return None
    return costs / (1 - taken)


def _profit(inputs: Inputs, boxes: Mapping[str, BoxMoney], fixed: Known) -> Known:
    earned = (
        times(inputs.orders.get(sells), money.margin)
        for sells, money in boxes.items()
        if inputs.orders.get(sells) != 0
    )
    return less(plus(*earned), fixed)


def _missing(
    inputs: Inputs, purse_: Purse, bought: tuple[Lot, ...], boxes: Mapping[str, BoxMoney]
) -> tuple[str, ...]:
    """What the profit rests on and is not known."""
    names = _missing_fixed(inputs, purse_, bought)
    for sells, money in boxes.items():
        if inputs.orders.get(sells) != 0:
            names += money.missing
    return tuple(dict.fromkeys(names))


def _missing_fixed(inputs: Inputs, purse_: Purse, bought: tuple[Lot, ...]) -> list[str]:
    """What the share of the fixed costs rests on and is not known, or is no orders at all."""
    names = [name for lot in bought for name in lot.missing_tooling]
    names += purse_.missing(inputs.rules.development, "line/line/money.development")
    unknown = [sells for sells in inputs.sells if inputs.orders.get(sells) is None]
    if not unknown and not _figures(inputs):
        unknown = list(inputs.sells)
    return [*names, *(f"orders/{sells}/quantity" for sells in unknown)]
