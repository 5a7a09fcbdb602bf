"""Whether a surface is closed, where it is open, and whether its faces agree which side is out."""

from dataclasses import dataclass

import numpy as np

from sixwright.numerics.mesh.model import Flags, Ints, Longs, Mesh


@dataclass(frozen=True, slots=True, eq=False)
class Closure:
    """The edges of a mesh by how many faces share them.

    Attributes
    ----------
    edges
        (e, 2), int32: each edge once, the lower vertex first, in ascending order.
    open_edges
        (o, 2), int32: edges of one face alone, in the direction in which that face runs.
    turned_edges
        (t, 2), int32: edges that two faces run in the same direction: one of the two is inside
        out against the other.
    crowded_edges
        (c, 2), int32: edges that three or more faces share.
    balanced
        Whether every edge is run as often in one direction as in the other: the surface encloses
        a volume, crowded edges or not.
    """

    edges: Ints
    open_edges: Ints
    turned_edges: Ints
    crowded_edges: Ints
    balanced: bool

    @property
    def closed(self) -> bool:
        """Whether two faces share every edge, each in its own direction."""
        return self.balanced and not len(self.crowded_edges)


def closure(mesh: Mesh) -> Closure:
    """How the faces of a mesh hang together.

    Parameters
    ----------
    mesh
        Welded: vertices on one place are one. Five million faces take a second.

    Source
    ------
    A closed oriented surface is a cycle of half-edges whose boundary is zero (any text on
    simplicial homology). One sorted list of numbers holds edge and direction.
    """
    key = _half_edges(mesh)
    key.sort()
    edge = key >> 1
    if _all_paired(key):
        none = np.zeros((0, 2), np.int32)
        return Closure(_ends(edge[::2], mesh), none, none, none, balanced=True)
    new = np.ones(len(edge), np.bool_)
    np.not_equal(edge[1:], edge[:-1], out=new[1:])
    start = np.flatnonzero(new)
    shared = np.diff(start, append=len(edge))
    backward = np.add.reduceat(key & 1, start) if len(start) else shared
    single, turned = shared == 1, (shared == 2) & (backward != 1)
    ends = _ends(edge[start], mesh)
    return Closure(
        ends,
        _directed(ends, single, backward),
        _directed(ends, turned, backward),
        ends[shared > 2],
        balanced=bool((2 * backward == shared).all()),
    )


def _half_edges(mesh: Mesh) -> Longs:
    """(3 f,): edge number times two, plus one where the face runs it downwards."""
    count = len(mesh.faces)
    key = np.zeros(3 * count, np.int64)
    for corner in range(3):
        start, end = mesh.faces[:, corner], mesh.faces[:, (corner + 1) % 3]
        part = key[corner * count : (corner + 1) * count]
        np.copyto(part, np.minimum(start, end))
        part *= len(mesh.vertices)
        part += np.maximum(start, end)
        part *= 2
        part += start > end
    return key


def _all_paired(key: Longs) -> bool:
    """Whether the sorted half-edges come as one upwards and one downwards of each edge."""
    one, other = key[0::2], key[1::2]
    # An edge with four has two upwards beside each other, and is no such pair.
    return len(one) == len(other) and not (one & 1).any() and np.array_equal(one + 1, other)


def _ends(edge: Longs, mesh: Mesh) -> Ints:
    """(e, 2): the two vertices of each numbered edge."""
    ends = np.zeros((len(edge), 2), np.int32)
    if len(edge):
        np.floor_divide(edge, len(mesh.vertices), out=ends[:, 0], casting="unsafe")
        ends[:, 1] = edge - ends[:, 0].astype(np.int64) * len(mesh.vertices)
    return ends


def _directed(ends: Ints, chosen: Flags, backward: Longs) -> Ints:
    """The chosen edges in the direction in which their faces run them."""
    some = ends[chosen]
    down = backward[chosen] > 0
    some[down] = some[down][:, ::-1]
    return some
