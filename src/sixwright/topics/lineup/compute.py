"""The contents of every box, and how many of each part the orders take."""

from collections.abc import Mapping
from itertools import combinations

from sixwright.line.boxes import Content, Sold
from sixwright.topics.lineup.model import Answer, Inputs

Held = dict[str, int | None]


def answer(inputs: Inputs) -> Answer:
    """What is in each box, and the pieces that the orders take.

    Parameters
    ----------
    inputs
        Nouns, contents as written, orders assumed.

    Raises
    ------
    KeyError
        If a row names something sold that is not there; reading a folder refuses that first.

    Source
    ------
    Own choice: a set with rows of its own holds those; without any, the sum of its editions;
    optional parts count in full.
    """
    written = _written(inputs)
    summed = frozenset(
        sold.id for sold in inputs.sells.values() if sold.is_set and not written[sold.id]
    )
    contents = {
        sells: _sum_of(sold, written) if sells in summed else dict(written[sells])
        for sells, sold in inputs.sells.items()
    }
    orders = {sells: _ordered(inputs, sells) for sells in inputs.sells}
    return Answer(
        contents=contents,
        optional=_optional(inputs, summed),
        summed=summed,
        totals={part: _total(part, contents, orders) for part in inputs.parts},
        holders={
            part: tuple(sells for sells, held in contents.items() if part in held)
            for part in inputs.parts
        },
        shared={
            (one, other): tuple(part for part in contents[one] if part in contents[other])
            for one, other in combinations(contents, 2)
        },
        orders=orders,
        boxes=_sum(list(orders.values())),
        figures=_sum(
            [_times(count, inputs.sells[sells].figures) for sells, count in orders.items()]
        ),
    )


def _written(inputs: Inputs) -> dict[str, Held]:
    """The rows by box, zero pieces left out."""
    held: dict[str, Held] = {sells: {} for sells in inputs.sells}
    for row in inputs.contents:
        if row.quantity != 0:
            held[row.sells][row.part] = row.quantity
    return held


def _sum_of(sold: Sold, written: Mapping[str, Held]) -> Held:
    held: Held = {}
    for edition in sold.editions:
        for part, count in written.get(edition, {}).items():
            held[part] = _add(held.get(part, 0), count)
    return held


def _optional(inputs: Inputs, summed: frozenset[str]) -> dict[str, frozenset[str]]:
    def of(rows: tuple[Content, ...], sells: tuple[str, ...]) -> frozenset[str]:
        return frozenset(row.part for row in rows if row.optional and row.sells in sells)

    return {
        sells: of(inputs.contents, sold.editions if sells in summed else (sells,))
        for sells, sold in inputs.sells.items()
    }


def _ordered(inputs: Inputs, sells: str) -> int | None:
    order = inputs.orders.get(sells)
    return None if order is None else order.quantity


def _total(part: str, contents: Mapping[str, Held], orders: Mapping[str, int | None]) -> int | None:
    return _sum([_times(orders[sells], held.get(part, 0)) for sells, held in contents.items()])


def _times(count: int | None, other: int | None) -> int | None:
    """A product; nothing of something unknown is nothing."""
    if 0 in {count, other}:
        return 0
    return None if count is None or other is None else count * other


def _add(count: int | None, other: int | None) -> int | None:
    return None if count is None or other is None else count + other


def _sum(counts: list[int | None]) -> int | None:
    known = [count for count in counts if count is not None]
    return sum(known) if len(known) == len(counts) else None
