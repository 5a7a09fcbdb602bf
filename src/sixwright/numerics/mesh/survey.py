"""What can be counted and measured on a mesh at once: to be kept, so that it is done once."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sixwright.numerics.mesh.closure import Closure, closure
from sixwright.numerics.mesh.model import Ints, Mesh, bounds
from sixwright.numerics.mesh.shells import Shells, face_areas_and_volumes, shells
from sixwright.numerics.mesh.weld import same_places

Point = tuple[float, float, float]

MOST_NAMED = 20
# A face below this share of the squared size of the mesh has no area: on a head of 50 mm that is
# a millionth of the area of a face among five million.
NO_AREA = 1e-13


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece that hangs together; lengths in the mesh's unit."""

    faces: int
    open_edges: int
    genus: int
    area: float
    volume: float
    low: Point
    high: Point


@dataclass(frozen=True, slots=True)
class HoleRim:
    """Open edges that hang together: the rim of a hole."""

    edges: int
    length: float
    middle: Point


@dataclass(frozen=True, slots=True)
class Survey:
    """A welded mesh in numbers; lengths in its unit.

    Attributes
    ----------
    single
        Whether its places are float32.
    far
        The largest coordinate, without its sign.
    area, volume
        The volume is what the faces enclose, negative where they look inward; that of an open
        mesh is what they and lines to its middle enclose.
    no_area
        Faces without area, as `NO_AREA` says.
    repeated
        Faces whose three vertices an earlier face has, in whichever order.
    open_edges, turned_edges, crowded_edges, balanced
        As in `Closure`.
    rims
        At most `MOST_NAMED`, the longest first; `rim_count` of them all.
    pieces
        At most `MOST_NAMED`, that of the largest area first; `piece_count` of them all.
    small_pieces, small_faces
        Pieces of less than a thousandth of the largest one's area, and the faces of all these.
    """

    vertices: int
    faces: int
    edges: int
    single: bool
    low: Point
    high: Point
    far: float
    area: float
    volume: float
    no_area: int
    repeated: int
    open_edges: int
    turned_edges: int
    crowded_edges: int
    balanced: bool
    rim_count: int
    rims: tuple[HoleRim, ...]
    piece_count: int
    pieces: tuple[Piece, ...]
    small_pieces: int
    small_faces: int

    @property
    def closed(self) -> bool:
        """Whether two faces share every edge, each in its own direction."""
        return self.balanced and not self.crowded_edges

    @property
    def largest_side(self) -> float:
        """The longest side of the box around it."""
        return max(high - low for low, high in zip(self.low, self.high, strict=True))


def survey(mesh: Mesh) -> Survey:
    """Count and measure a mesh.

    Parameters
    ----------
    mesh
        Welded, with at least one face. Five million faces take about 3 s.

    Raises
    ------
    InputError
        If there is no vertex.

    Source
    ------
    `closure`, `shells`: what each of them counts.
    """
    low, high = bounds(mesh)
    edges = closure(mesh)
    pieces = shells(mesh, edges)
    areas, _ = face_areas_and_volumes(mesh)
    size = float(((high - low) ** 2).sum())
    small = pieces.area < pieces.area[0] / 1000 if len(pieces) else np.zeros(0, np.bool_)
    rims, rim_count = _rims(mesh, edges)
    suspect = len(edges.crowded_edges) or len(edges.turned_edges)
    return Survey(
        vertices=len(mesh.vertices),
        faces=len(mesh.faces),
        edges=len(edges.edges),
        single=mesh.vertices.dtype == np.float32,
        low=_place(low),
        high=_place(high),
        far=float(max(np.abs(low).max(), np.abs(high).max())),
        area=float(areas.sum()),
        volume=float(pieces.volume.sum()),
        no_area=int((areas <= NO_AREA * size).sum()) if size else len(areas),
        repeated=_repeated(mesh.faces) if suspect else 0,
        open_edges=len(edges.open_edges),
        turned_edges=len(edges.turned_edges),
        crowded_edges=len(edges.crowded_edges),
        balanced=edges.balanced,
        rim_count=rim_count,
        rims=rims,
        piece_count=len(pieces),
        pieces=tuple(_piece(pieces, i) for i in range(min(len(pieces), MOST_NAMED))),
        small_pieces=int(small.sum()),
        small_faces=int(pieces.faces[small].sum()),
    )


def _place(numbers: NDArray[np.float64]) -> Point:
    x, y, z = numbers.tolist()
    return x, y, z


def _piece(pieces: Shells, i: int) -> Piece:
    return Piece(
        int(pieces.faces[i]),
        int(pieces.open_edges[i]),
        int(pieces.genus[i]),
        float(pieces.area[i]),
        float(pieces.volume[i]),
        _place(pieces.low[i]),
        _place(pieces.high[i]),
    )


def _rims(mesh: Mesh, edges: Closure) -> tuple[tuple[HoleRim, ...], int]:
    """The longest rims, and how many there are."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    some = edges.open_edges
    if not len(some):
        return (), 0
    used, ends = np.unique(some, return_inverse=True)
    ends = ends.reshape(-1, 2)
    graph = coo_matrix((np.ones(len(ends), np.int8), ends.T), shape=(len(used), len(used)))
    count, label = connected_components(graph, directed=False)
    of_edge = label[ends[:, 0]]
    first, second = (mesh.vertices[some[:, i]].astype(np.float64) for i in range(2))
    long = np.linalg.norm(second - first, axis=1)
    length = np.bincount(of_edge, long, count)
    number = np.bincount(of_edge, minlength=count)
    middle = [np.bincount(of_edge, (first + second)[:, a] / 2, count) / number for a in range(3)]
    places = np.stack(middle, axis=1)
    longest = np.argsort(-length, kind="stable")[:MOST_NAMED]
    rims = tuple(HoleRim(int(number[i]), float(length[i]), _place(places[i])) for i in longest)
    return rims, int(count)


def _repeated(faces: Ints) -> int:
    ordered = np.sort(faces, axis=1).astype(np.float64)
    return len(faces) - len(same_places(ordered).first)
