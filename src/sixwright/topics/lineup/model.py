"""What the line-up needs and what it answers: the contents of every box."""

from collections.abc import Mapping
from dataclasses import dataclass

from sixwright.line.boxes import Content, Look, Order, Part, Sold
from sixwright.line.left_aside import LostColumn, StrayFile


@dataclass(frozen=True, slots=True)
class Inputs:
    """What decides the contents of the boxes.

    Attributes
    ----------
    line
        Id of the line.
    looks, sells, parts
        The nouns, by id, in the folder's order.
    contents
        The rows as written; a set may have none of its own.
    orders
        Orders assumed, by edition or set; an absent one is unknown.
    strays, lost
        Files and columns of the folder that are not read, and were likely meant to be.
    """

    line: str
    looks: Mapping[str, Look]
    sells: Mapping[str, Sold]
    parts: Mapping[str, Part]
    contents: tuple[Content, ...]
    orders: Mapping[str, Order]
    strays: tuple[StrayFile, ...] = ()
    lost: tuple[LostColumn, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """What is in each box, and how much of each part that makes.

    Attributes
    ----------
    contents
        Edition or set, then part: pieces in one box, optional ones in full; None while
        unknown. A part that a box does not hold is absent. In the folder's order.
    optional
        Edition or set: the parts that are optional in it.
    summed
        Sets without rows of their own: they hold the sum of their editions.
    totals
        Part: pieces at the orders assumed, without spares; None while unknown; 0 for a part
        that no box holds.
    holders
        Part: the editions and sets that hold it, in the folder's order.
    shared
        Editions and sets two by two, in the folder's order: the parts that both hold.
    orders
        Edition or set: orders assumed, None while unknown.
    boxes, figures
        Boxes and figures at the orders assumed; None while one is unknown.
    """

    contents: Mapping[str, Mapping[str, int | None]]
    optional: Mapping[str, frozenset[str]]
    summed: frozenset[str]
    totals: Mapping[str, int | None]
    holders: Mapping[str, tuple[str, ...]]
    shared: Mapping[tuple[str, str], tuple[str, ...]]
    orders: Mapping[str, int | None]
    boxes: int | None
    figures: int | None


def as_json(answer: Answer) -> dict[str, object]:
    """The answer as `check --json` gives it: plain counts, null for what is unknown."""
    return {
        "contents": {sells: dict(held) for sells, held in answer.contents.items()},
        "totals": dict(answer.totals),
    }
