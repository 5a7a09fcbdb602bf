"""Directed edges joined end to start: the rims of holes, the outline of a section."""

from dataclasses import dataclass

import numpy as np

from sixwright.numerics.mesh.model import Ints


@dataclass(frozen=True, slots=True, eq=False)
class Chain:
    """Numbers in the order in which edges join them; a closed chain does not name its first twice.

    Attributes
    ----------
    members
        (k,), int32.
    closed
        Whether the last is joined to the first.
    """

    members: Ints
    closed: bool


def chains(edges: Ints) -> tuple[Chain, ...]:
    """Edges joined into chains, each edge once, the longest chain first.

    Where several edges leave one end, a chain goes on along one that is not used yet: two rims
    that touch in a vertex may be told as one or as two.

    Parameters
    ----------
    edges
        (e, 2), int32: from, to.

    Source
    ------
    Own choice: decisions/0010. Hierholzer's walk along edges, without its splicing.
    """
    onward: dict[int, list[int]] = {}
    arriving: dict[int, int] = {}
    for start, end in edges.tolist():
        onward.setdefault(start, []).append(end)
        arriving[end] = arriving.get(end, 0) + 1
    # Open chains begin where more leaves than arrives; whatever is left after those is closed.
    heads = [v for v, ends in onward.items() for _ in range(len(ends) - arriving.get(v, 0))]
    found = [_walked(onward, head) for head in heads]
    for head in list(onward):
        while onward.get(head):
            found.append(_walked(onward, head))
    return tuple(sorted(found, key=lambda chain: -len(chain.members)))


def _walked(onward: dict[int, list[int]], head: int) -> Chain:
    """From one end onward, until nothing leads on or the head is met again."""
    members = [head]
    while onward.get(members[-1]):
        following = onward[members[-1]].pop()
        if following == head:
            return Chain(np.array(members, np.int32), closed=True)
        members.append(following)
    return Chain(np.array(members, np.int32), closed=False)
