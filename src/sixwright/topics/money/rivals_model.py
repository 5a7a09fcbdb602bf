"""Rival ways to make a part, side by side, and a line with other ways chosen."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from sixwright.topics.money.model import Inputs


@dataclass(frozen=True, slots=True)
class RivalWay:
    """One of the rival ways to make a part, or the parts of one tool together.

    Attributes
    ----------
    name
        The process and maker in words.
    ways
        The ways it takes, one a part.
    chosen
        Whether it is how the folder stands.
    unit_cost
        `cost` by pieces needed: what a piece in a box costs; None where unknown.
    cost, tooling, surplus_cost
        Of all its parts together.
    minimum
        The least that its maker sells.
    minutes
        Minutes a piece (the mean, where its parts differ).
    margin_changes
        Edition or set: how much its margin moves against the folder as it stands.
    profit_change
        How much the line's profit moves, tooling included.
    guesses
        The cells of its quotes that count and are guesses.
    """

    name: str
    ways: tuple[str, ...]
    chosen: bool
    unit_cost: Fraction | None
    cost: Fraction | None
    tooling: Fraction | None
    minimum: int | None
    surplus_cost: Fraction | None
    minutes: Fraction | None
    margin_changes: Mapping[str, Fraction | None]
    profit_change: Fraction | None
    guesses: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Rivalry:
    """Parts that could be made another way, and the ways side by side, the chosen one first."""

    parts: tuple[str, ...]
    options: tuple[RivalWay, ...]


def with_way(inputs: Inputs, chosen: Mapping[str, str]) -> Inputs:
    """The same line with other ways chosen for some parts (part to way)."""
    parts = {
        part_id: replace(part, way=chosen.get(part_id, part.way))
        for part_id, part in inputs.parts.items()
    }
    return replace(inputs, parts=parts)
