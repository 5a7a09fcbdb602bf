"""What is bought together: the stairs of a quote, its minimum, and how a shared tool pools.

A *lot* is one part, or the parts whose chosen ways name one tool: they pay its tooling once and
pool their quantities for the minimum and the breaks.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from sixwright.line.making import PriceBreak, Way
from sixwright.topics.money.amounts import Purse
from sixwright.topics.money.model import Inputs, PartMoney

Ladder = tuple[tuple[int, Fraction | None], ...]


@dataclass(frozen=True, slots=True)
class Lot:
    """Parts that are bought together, in the order of their ids, and the stairs of their quotes.

    Attributes
    ----------
    needs
        Pieces that the orders take, a part; None while unknown.
    ladders
        A part: from which quantity a good piece costs what, in the line's currency, ascending.
    minimum
        The least that is sold of all of them together; None while unknown.
    tooling
        Of the tool, in the line's currency; None while unknown.
    quoted
        A part: the rows of its quote's prices, in the folder's order.
    """

    parts: tuple[str, ...]
    tool: str | None
    needs: tuple[int | None, ...]
    ladders: tuple[Ladder, ...]
    minimum: int | None
    tooling: Fraction | None
    missing: tuple[tuple[str, ...], ...]
    missing_tooling: tuple[str, ...]
    quoted: tuple[tuple[PriceBreak, ...], ...]


def lots(inputs: Inputs, purse_: Purse, needs: Mapping[str, int | None]) -> tuple[Lot, ...]:
    """The parts that the orders need, as they are bought; a part nobody needs is in none."""
    groups: dict[str, list[str]] = {}
    for part in sorted(inputs.parts):
        if needs[part] != 0:
            way = chosen_way(inputs, part)
            key = f"tool {way.tool}" if way and way.tool else f"part {part}"
            groups.setdefault(key, []).append(part)
    stairs, rows = ladders(inputs, purse_), _quoted(inputs)
    return tuple(
        _lot(inputs, purse_, needs, (stairs, rows), tuple(parts)) for parts in groups.values()
    )


def _quoted(inputs: Inputs) -> Mapping[str, list[PriceBreak]]:
    """A way: its rows of prices."""
    rows: dict[str, list[PriceBreak]] = {way: [] for way in inputs.ways}
    for row in inputs.prices:
        rows[row.way].append(row)
    return rows


def chosen_way(inputs: Inputs, part: str) -> Way | None:
    """How a part is made as the folder stands; None while that is not settled."""
    way = inputs.parts[part].way
    return None if way is None else inputs.ways[way]


def ladders(inputs: Inputs, purse_: Purse) -> dict[str, Ladder]:
    """A way: from which quantity a good piece costs what; None where that is unknown."""
    steps: dict[str, list[tuple[int, Fraction | None]]] = {way: [] for way in inputs.ways}
    for row in inputs.prices:
        price = purse_.line_amount(row.unit_price)
        good = inputs.ways[row.way].yield_share
        each = price / good if price is not None and good else None
        steps[row.way].append((row.from_quantity, each))
    return {way: tuple(sorted(rows, key=lambda row: row[0])) for way, rows in steps.items()}


def _lot(
    inputs: Inputs,
    purse_: Purse,
    needs: Mapping[str, int | None],
    quotes: tuple[Mapping[str, Ladder], Mapping[str, list[PriceBreak]]],
    parts: tuple[str, ...],
) -> Lot:
    stairs, rows = quotes
    ways = [chosen_way(inputs, part) for part in parts]
    known = [way for way in ways if way is not None]
    minimums = [way.minimum for way in known if way.minimum is not None]
    toolings = [purse_.line_amount(way.tooling) for way in known]
    stated = [amount for amount in toolings if amount is not None]
    complete = len(known) == len(parts)
    unsure = [name for part in parts for name in _missing_need(inputs, part)]
    sure = any(_is_needed(inputs, part) for part in parts)
    shared = list(unsure)
    shared += [f"ways/{way.id}/minimum" for way in known if way.minimum is None]
    shared += ["line/line/money.spares"] if inputs.rules.spares is None else []
    return Lot(
        parts=parts,
        tool=known[0].tool if known else None,
        needs=tuple(needs[part] for part in parts),
        ladders=tuple(stairs[way.id] if way else () for way in ways),
        minimum=max(minimums) if complete and len(minimums) == len(parts) else None,
        tooling=max(stated) if sure and complete and len(stated) == len(parts) else None,
        missing=tuple(
            (*shared, *_missing_way(part, way)) for part, way in zip(parts, ways, strict=True)
        ),
        missing_tooling=(
            *(() if sure else unsure),
            *(
                name
                for part, way in zip(parts, ways, strict=True)
                for name in (
                    purse_.missing(way.tooling, f"ways/{way.id}/tooling")
                    if way
                    else (f"parts/{part}/way",)
                )
            ),
        ),
        quoted=tuple(tuple(rows[way.id]) if way else () for way in ways),
    )


def _is_needed(inputs: Inputs, part: str) -> bool:
    """Whether some box is known to take a piece; while none is, its tool may not be paid."""
    return any(
        held.get(part) and inputs.orders.get(sells) for sells, held in inputs.contents.items()
    )


def _missing_need(inputs: Inputs, part: str) -> list[str]:
    """What the number of pieces rests on and is not known."""
    names = []
    for sells, held in inputs.contents.items():
        if part in held and inputs.orders.get(sells) != 0:
            names += [f"contents/{sells}/{part}/quantity"] if held[part] is None else []
            names += [f"orders/{sells}/quantity"] if inputs.orders.get(sells) is None else []
    return names


def _missing_way(part: str, way: Way | None) -> list[str]:
    if way is None:
        return [f"parts/{part}/way"]
    return [] if way.yield_share else [f"ways/{way.id}/yield"]


def bought(lot: Lot, buys: Sequence[int], *, at_least: int = 0) -> tuple[int, ...]:
    """Pieces ordered of each part: the pooled order, shared in proportion to what is wanted.

    Parameters
    ----------
    lot
        Its minimum must be known.
    buys
        Pieces wanted with spares, a part.
    at_least
        Order no less than this in all.

    Source
    ------
    Largest-remainder method for whole pieces; ties go to the earlier id (own choice).
    """
    wanted = sum(buys)
    total = max(wanted, lot.minimum or 0, at_least)
    if total == wanted or not wanted:
        return tuple(buys)
    floors = [total * buy // wanted for buy in buys]
    rests = [total * buy % wanted for buy in buys]
    order = sorted(range(len(buys)), key=lambda i: (-rests[i], i))
    for i in order[: total - sum(floors)]:
        floors[i] += 1
    return tuple(floors)


def step_at(ladder: Ladder, total: int) -> tuple[int, Fraction | None] | None:
    """The break at or below an order; below the first break, the first; None without prices.

    Parameters
    ----------
    ladder
        From which quantity (pieces) a piece costs what (line's currency), ascending.
    total
        Pieces ordered; of a shared tool, of all its parts.

    Source
    ------
    docs/topics/money.md, “A part”.
    """
    reached = [step for step in ladder if step[0] <= total]
    return reached[-1] if reached else next(iter(ladder), None)


def with_spares(need: Fraction | int, spares: Fraction) -> int:
    """Pieces wanted: the need and its spares, up to a whole piece, in exact arithmetic.

    Parameters
    ----------
    need
        Pieces that the orders take, 0 or more.
    spares
        Share bought beyond need, 0.03 for 3 %.

    Source
    ------
    docs/topics/money.md, “A part”. A float would round some counts one piece too high.
    """
    return ceil(need * (1 + spares))


def lot_parts(inputs: Inputs, purse_: Purse, lot: Lot) -> dict[str, PartMoney]:
    """What each part of a lot costs, by part; unknown amounts are None and named.

    Parameters
    ----------
    inputs, purse_
        The line and its rates.
    lot
        The parts that are bought together.

    Raises
    ------
    KeyError
        If the lot holds a part that the line has not.

    Source
    ------
    docs/topics/money.md, “A part” and “A shared tool”.
    """
    spares = inputs.rules.spares
    buys = [
        None if need is None or spares is None else with_spares(need, spares) for need in lot.needs
    ]
    whole = [buy for buy in buys if buy is not None]
    known = len(whole) == len(buys) and lot.minimum is not None
    orders: Sequence[int | None] = bought(lot, whole) if known else [None] * len(buys)
    total = sum(order for order in orders if order is not None)
    return {
        part: _part(inputs, purse_, lot, i, (buys[i], orders[i], total))
        for i, part in enumerate(lot.parts)
    }


def _part(
    inputs: Inputs, purse_: Purse, lot: Lot, i: int, counts: tuple[int | None, int | None, int]
) -> PartMoney:
    buy, order, total = counts
    way = chosen_way(inputs, lot.parts[i])
    step = None if order is None else step_at(lot.ladders[i], total)
    price = None if step is None else step[1]
    missing = list(lot.missing[i])
    if way and price is None:
        missing += _missing_price(lot.quoted[i], purse_, way, step)
    surplus = None if order is None or buy is None else order - buy
    return PartMoney(
        way=way.id if way else None,
        tool=way.tool if way else None,
        need=lot.needs[i],
        buy=buy,
        order=order,
        minimum=lot.minimum,
        unit_price=price,
        cost=_product(order, price),
        tooling=None if lot.tooling is None else lot.tooling / len(lot.parts),
        surplus=surplus,
        surplus_cost=_product(surplus, price),
        missing=tuple(dict.fromkeys(missing)),
        missing_tooling=tuple(dict.fromkeys(lot.missing_tooling)),
        guesses=_guesses(lot.quoted[i], way, step) if way else (),
    )


def _guesses(
    quoted: tuple[PriceBreak, ...], way: Way, step: tuple[int, Fraction | None] | None
) -> tuple[str, ...]:
    """The cells of a quote that count and are guesses: the break that is reached, the tooling."""
    names = [
        f"prices/{way.id}/{row.from_quantity}/unit_price"
        for row in quoted
        if step is not None and row.from_quantity == step[0]
        if row.unit_price is not None and row.unit_price.guess
    ]
    guessed = way.tooling is not None and way.tooling.guess
    return (*names, *([f"ways/{way.id}/tooling"] if guessed else []))


def _product(count: int | None, price: Fraction | None) -> Fraction | None:
    return None if count is None or price is None else count * price


def _missing_price(
    quoted: tuple[PriceBreak, ...],
    purse_: Purse,
    way: Way,
    step: tuple[int, Fraction | None] | None,
) -> list[str]:
    """Why the price of a piece is not known: no row, an empty cell, or no rate."""
    if not quoted:
        return [f"prices/{way.id}/unit_price"]
    return [
        name
        for row in quoted
        if step is None or row.from_quantity == step[0]
        for name in purse_.missing(
            row.unit_price, f"prices/{way.id}/{row.from_quantity}/unit_price"
        )
    ]


def unneeded(inputs: Inputs, part: str) -> PartMoney:
    """What a part costs that nobody needs: nothing."""
    way, none = chosen_way(inputs, part), Fraction(0)
    return PartMoney(
        way=way.id if way else None,
        tool=way.tool if way else None,
        need=0,
        buy=0,
        order=0,
        minimum=way.minimum if way else None,
        unit_price=None,
        cost=none,
        tooling=none,
        surplus=0,
        surplus_cost=none,
    )
