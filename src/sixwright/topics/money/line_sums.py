"""The whole line at given rates: parts, boxes, fixed costs, profit and the cash asked."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from sixwright.topics.money.amounts import Known, Purse, known, less, plus, purse, times
from sixwright.topics.money.boxes import box
from sixwright.topics.money.lots import Lot, lot_parts, lots, unneeded
from sixwright.topics.money.model import AtLeast, BoxMoney, Inputs, PartMoney


@dataclass(frozen=True, slots=True)
class LineSums:
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
    fixed_least: Fraction
    profit_most: Known


def sheet(inputs: Inputs) -> LineSums:
    """The line at its rates and quotes as they are stated.

    Parameters
    ----------
    inputs
        The line.

    Raises
    ------
    KeyError
        If a part, way or box is named that is not there.

    Source
    ------
    docs/topics/money.md, “The line”.
    """
    purse_ = purse(inputs)
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
    profit = _profit(inputs, {id_: each.margin for id_, each in boxes.items()}, fixed)
    fixed_least = known(*(lot.tooling for lot in bought), development)
    shared = _Shared(fixed, fixed_least, _missing_fixed(inputs, purse_, bought))
    return LineSums(
        purse=purse_,
        lots=bought,
        parts=parts,
        sells=_with_fixed_share(inputs, purse_, boxes, shared),
        tooling=tooling,
        development=development,
        fixed=fixed,
        profit=profit,
        cash_asked=plus(fixed, *(part.cost for part in parts.values())),
        missing=_missing(inputs, purse_, bought, boxes) if profit is None else (),
        fixed_least=fixed_least,
        profit_most=_profit(
            inputs, {id_: each.margin_most for id_, each in boxes.items()}, fixed_least
        ),
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
        if ordered == 0:
            continue
        if ordered is None or sold.figures is None:
            return None
        total += ordered * sold.figures
    return total


@dataclass(frozen=True, slots=True)
class _Shared:
    """The fixed costs that figures share, what is known of them, and what is missing."""

    fixed: Known
    least: Fraction
    missing: list[str]


def _with_fixed_share(
    inputs: Inputs, purse_: Purse, boxes: Mapping[str, BoxMoney], shared: _Shared
) -> dict[str, BoxMoney]:
    figures = _figures(inputs)
    each = shared.fixed / figures if shared.fixed is not None and figures else None
    each_least = shared.least / figures if figures else Fraction(0)
    found = {}
    for sells, money in boxes.items():
        own = inputs.sells[sells].figures
        share = Fraction(0) if own == 0 else times(each, own)
        share_least = each_least * (own or 0)
        found[sells] = replace(
            money,
            at_least=_with_least_price(inputs, purse_, money, share_least),
            fixed_share=share,
            margin_after_fixed_share=less(money.margin, share),
            missing_fixed=() if share is not None else _lacks(inputs, sells, shared.missing),
            least_price=_least_price(inputs, purse_, money, share),
            after_most=less(money.margin_most, share_least),
        )
    return found


def _lacks(inputs: Inputs, sells: str, missing: list[str]) -> tuple[str, ...]:
    """What the fixed share of a box lacks: its own figures, and what all shares rest on."""
    sold = inputs.sells[sells]
    own = [f"{sold.table}/{sells}/figures"] if sold.figures is None else []
    return tuple(dict.fromkeys((*own, *missing)))


def _least_price(inputs: Inputs, purse_: Purse, money: BoxMoney, fixed_share: Known) -> Known:
    """The price that leaves, after fees and reserve, all costs and the least margin wanted."""
    rules = inputs.rules
    fee_each = purse_.line_amount(rules.fee_each)
    costs = plus(money.unit_cost, money.duty, money.freight, fee_each, fixed_share)
    taken = plus(rules.fee_share, rules.reserve, rules.margin_least)
    if costs is None or taken is None or taken >= 1:
        return None
    return costs / (1 - taken)


def _with_least_price(
    inputs: Inputs, purse_: Purse, money: BoxMoney, share_least: Fraction
) -> AtLeast | None:
    """The known costs with the fixed share that is known, and the least price that they allow."""
    rules, costs = inputs.rules, money.at_least
    if costs is None:
        return None
    fee_each = purse_.line_amount(rules.fee_each)
    sums = known(costs.unit_cost, costs.duty, costs.freight, fee_each, share_least)
    taken = None if rules.margin_least is None else known(rules.fee_share, rules.reserve)
    kept = None if taken is None else 1 - taken - (rules.margin_least or 0)
    price = sums / kept if kept is not None and kept > 0 else None
    return replace(costs, fixed_share=share_least, least_price=price)


def _profit(inputs: Inputs, margins: Mapping[str, Known], fixed: Known) -> Known:
    earned = (
        times(inputs.orders.get(sells), margin)
        for sells, margin in margins.items()
        if inputs.orders.get(sells) != 0
    )
    return less(plus(*earned), fixed)


def _missing(
    inputs: Inputs, purse_: Purse, bought: tuple[Lot, ...], boxes: Mapping[str, BoxMoney]
) -> tuple[str, ...]:
    """What the profit rests on and is not known; how many figures share it is not of it."""
    names = [name for name in _missing_fixed(inputs, purse_, bought) if name[-8:] != "/figures"]
    for sells, money in boxes.items():
        if inputs.orders.get(sells) != 0:
            names += money.missing
    return tuple(dict.fromkeys(names))


def _missing_fixed(inputs: Inputs, purse_: Purse, bought: tuple[Lot, ...]) -> list[str]:
    """What the share of the fixed costs rests on and is not known, or is no orders at all."""
    names = [name for lot in bought for name in lot.missing_tooling]
    names += purse_.missing(inputs.rules.development, "line/line/money.development")
    unknown = [sells for sells in inputs.sells if inputs.orders.get(sells) is None]
    ordered = [sold for id_, sold in inputs.sells.items() if inputs.orders.get(id_) != 0]
    figures = [f"{sold.table}/{sold.id}/figures" for sold in ordered if sold.figures is None]
    if not unknown and not figures and not _figures(inputs):
        unknown = list(inputs.sells)
    return [*names, *(f"orders/{sells}/quantity" for sells in unknown), *figures]
