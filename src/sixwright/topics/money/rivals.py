"""Rival ways to make a part, side by side, each with the whole line computed anew."""

from collections.abc import Collection, Sequence
from fractions import Fraction

from sixwright.topics.money.amounts import Known, less, plus
from sixwright.topics.money.line_sums import LineSums, sheet
from sixwright.topics.money.model import Inputs
from sixwright.topics.money.rivals_model import Rivalry, RivalWay, with_way


def rivals(
    inputs: Inputs, stands: LineSums, *, of: Collection[str] | None = None
) -> tuple[Rivalry, ...]:
    """Parts that are needed and have more than one way, the chosen one first.

    Rival ways of several parts that name one tool are compared together, because the tool is
    paid for once whichever of them use it.

    Parameters
    ----------
    inputs, stands
        The line and its sheet as the folder stands.
    of
        Only what rivals for these parts alone; all where None.

    Raises
    ------
    KeyError
        If `stands` is not the sheet of `inputs`.

    Source
    ------
    docs/topics/money.md, “Rival ways”.
    """
    together: dict[tuple[str, ...], list[tuple[str, ...]]] = {}
    for ways in _alternatives(inputs, stands):
        parts = tuple(inputs.ways[way].part for way in ways)
        if of is not None and not set(parts) <= set(of):
            continue
        together.setdefault(parts, []).append(ways)
    return tuple(
        Rivalry(
            parts,
            (
                _option(inputs, stands, parts, None),
                *(_option(inputs, stands, parts, ways) for ways in options),
            ),
        )
        for parts, options in together.items()
    )


def _alternatives(inputs: Inputs, stands: LineSums) -> list[tuple[str, ...]]:
    """Ways not chosen, of parts that are needed: those of one tool together."""
    groups: dict[str, list[str]] = {}
    for way in inputs.ways.values():
        if stands.parts[way.part].need != 0 and inputs.parts[way.part].way != way.id:
            groups.setdefault(f"tool {way.tool}" if way.tool else f"way {way.id}", []).append(
                way.id
            )
    return [tuple(ways) for ways in groups.values()]


def _option(
    inputs: Inputs, stands: LineSums, parts: Sequence[str], ways: tuple[str, ...] | None
) -> RivalWay:
    """One column: the parts as the folder stands (`ways` None), or made in these ways."""
    chosen = {inputs.ways[way].part: way for way in ways or ()}
    other = sheet(with_way(inputs, chosen)) if ways else stands
    money = [other.parts[part] for part in parts]
    taken = ways or tuple(way for part in money if (way := part.way))
    cost = plus(*(part.cost for part in money))
    need = plus(*(part.need for part in money))
    return RivalWay(
        name=_name(inputs, taken),
        ways=taken,
        chosen=ways is None,
        unit_cost=cost / need if cost is not None and need else None,
        cost=cost,
        tooling=plus(*(part.tooling for part in money)),
        minimum=max((part.minimum for part in money if part.minimum is not None), default=None),
        surplus_cost=plus(*(part.surplus_cost for part in money)),
        minutes=_mean([inputs.ways[way].minutes for way in taken]),
        margin_changes={
            sells: less(box.margin, stands.sells[sells].margin)
            for sells, box in other.sells.items()
        },
        profit_change=less(other.profit, stands.profit),
        guesses=tuple(name for part in money for name in part.guesses),
    )


def _name(inputs: Inputs, ways: Sequence[str]) -> str:
    """Processes and makers in words: “wool and hem wire, FB”."""
    words = dict.fromkeys(
        ", ".join(text for text in (inputs.ways[way].process, inputs.ways[way].maker) if text)
        for way in ways
    )
    return "; ".join(word for word in words if word) or "not settled"


def _mean(minutes: Sequence[Known]) -> Known:
    total = plus(*minutes)
    return None if total is None or not minutes else total / Fraction(len(minutes))
