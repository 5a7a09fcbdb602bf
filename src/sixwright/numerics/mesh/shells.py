"""The pieces of a mesh that hang together by their vertices, and what each of them is."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sixwright.numerics.mesh.closure import Closure
from sixwright.numerics.mesh.model import Ints, Longs, Mesh, blocks
from sixwright.numerics.rotations import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Shells:
    """The pieces of a mesh, the one of the largest area first; s of them.

    Attributes
    ----------
    of_face
        (f,), int32: the piece of each face.
    faces, vertices, edges, open_edges
        (s,), int64: how many of each.
    area
        (s,), square of the mesh's unit.
    volume
        (s,), cube of the unit: what its faces enclose, negative where they look inward; measured
        from the mesh's middle, so meaningless for a piece that is far from closed.
    low, high
        (s, 3): the box around it.
    """

    of_face: Ints
    faces: Longs
    vertices: Longs
    edges: Longs
    open_edges: Longs
    area: Floats
    volume: Floats
    low: Floats
    high: Floats

    def __len__(self) -> int:
        return len(self.faces)

    @property
    def euler(self) -> Longs:
        """(s,): vertices less edges plus faces; 2 for a closed piece without a handle."""
        characteristic: Longs = self.vertices - self.edges + self.faces
        return characteristic

    @property
    def genus(self) -> Longs:
        """(s,): handles of each closed piece; -1 where it is open.

        Where pieces touch in a vertex or an edge is crowded, the formula counts no handles.
        """
        handles: Longs = np.where(self.open_edges == 0, (2 - self.euler) // 2, -1)
        return handles


def shells(mesh: Mesh, edges: Closure) -> Shells:
    """The pieces of a mesh.

    Parameters
    ----------
    mesh
        Every vertex used by a face, as `welded` leaves it; an unused one counts for nothing.
    edges
        Of this mesh.

    Source
    ------
    Connected components: scipy.sparse.csgraph. Euler's polyhedron formula: V - E + F = 2 - 2g for
    a closed orientable surface.
    """
    label = _labels(mesh, edges)
    of_face = label.take(mesh.faces[:, 0], mode="clip")
    count = int(label.max(initial=-1)) + 1
    area, volume = face_areas_and_volumes(mesh)
    areas = np.bincount(of_face, area, count).astype(np.float64)
    order = np.argsort(-areas, kind="stable")
    rank = np.zeros(count, np.int32)
    rank[order] = np.arange(count, dtype=np.int32)
    used = label >= 0
    at = rank[label[used]]
    low, high = np.full((count, 3), np.inf), np.full((count, 3), -np.inf)
    places = mesh.vertices if used.all() else mesh.vertices[used]
    if count == 1:
        low[0], high[0] = places.min(axis=0), places.max(axis=0)
    else:
        np.minimum.at(low, at, places)
        np.maximum.at(high, at, places)
    of_face = rank.take(of_face, mode="clip")
    enclosed = np.bincount(of_face, volume, count).astype(np.float64)
    return Shells(
        of_face,
        np.bincount(of_face, minlength=count),
        np.bincount(at, minlength=count),
        np.bincount(rank[label[edges.edges[:, 0]]], minlength=count),
        np.bincount(rank[label[edges.open_edges[:, 0]]], minlength=count),
        areas[order],
        enclosed,
        low,
        high,
    )


def _labels(mesh: Mesh, edges: Closure) -> Ints:
    """(n,): the number of each vertex's piece, as they come; -1 for a vertex without a face."""
    from scipy.sparse import csr_matrix
    from scipy.sparse.csgraph import connected_components

    count = len(mesh.vertices)
    if not len(mesh.faces):
        return np.full(count, -1, np.int32)
    start = np.zeros(count + 1, np.int32)
    np.cumsum(np.bincount(edges.edges[:, 0], minlength=count), out=start[1:])
    ones = np.ones(len(edges.edges), np.int8)
    graph = csr_matrix((ones, edges.edges[:, 1], start), shape=(count, count))
    label: Ints = connected_components(graph, directed=False)[1].astype(np.int32)
    used = np.zeros(count, np.bool_)
    used[mesh.faces] = True
    if used.all():
        return label
    _, dense = np.unique(label[used], return_inverse=True)
    label = np.full(count, -1, np.int32)
    label[used] = dense
    return label


def face_areas_and_volumes(mesh: Mesh) -> tuple[Floats, Floats]:
    """(f,) and (f,): the area of each face, and the volume between it and the mesh's middle.

    The volumes of a closed piece add up to what it encloses; each is signed, positive where the
    middle lies behind its face.

    Source
    ------
    Half of, and a sixth of the product with, the cross product of two sides.
    """
    area, volume = np.zeros(len(mesh.faces)), np.zeros(len(mesh.faces))
    middle = mesh.vertices.mean(axis=0, dtype=np.float64) if len(mesh.vertices) else np.zeros(3)
    for block, first, second, third in blocks(mesh):
        across = crossed(second - first, third - first)
        area[block] = np.sqrt((across * across).sum(axis=1)) / 2
        volume[block] = (across * (first - middle)).sum(axis=1) / 6
    return area, volume


def crossed(one: NDArray[np.float64], other: NDArray[np.float64]) -> Floats:
    """(k, 3): cross products, row by row; numpy's own takes three times as long on many rows.

    Raises
    ------
    ValueError
        If the rows are not as many.
    """
    product = np.zeros(np.broadcast_shapes(one.shape, other.shape))
    for axis in range(3):
        a, b = (axis + 1) % 3, (axis + 2) % 3
        np.subtract(
            one[..., a] * other[..., b], one[..., b] * other[..., a], out=product[..., axis]
        )
    return product
