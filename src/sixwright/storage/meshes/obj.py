"""OBJ: vertices and polygons as text, without a unit."""

from dataclasses import dataclass, field

import numpy as np

from sixwright.kernel.errors import MeshError
from sixwright.numerics.mesh.model import Flags, Ints, Longs
from sixwright.numerics.rotations import Floats
from sixwright.storage.meshes.raw import ASK_AGAIN, MOST_VERTICES, Raw, other_text, refuse_too_many
from sixwright.storage.meshes.text_rows import Rows, first_three, parsed, rows_of


@dataclass(slots=True)
class _Lines:
    """What the lines so far gave."""

    places: list[Floats] = field(default_factory=list)
    corners: list[Longs] = field(default_factory=list)  # of all faces, from 0
    sizes: list[Longs] = field(default_factory=list)  # corners of each face
    vertices: int = 0
    triangles: int = 0


def read_obj(content: bytes) -> Raw:
    """The surface of an OBJ; polygons are cut into triangles from their first corner.

    Vertices (``v``) and faces (``f``) of all objects and groups are read, faces that count
    backwards too; colours, normals, textures, lines and curves are passed over.

    Raises
    ------
    MeshError
        If there is no vertex or face in it, a number is none, or a face names no vertex.

    Source
    ------
    The format's public description, appendix B1 of 1995: M (common practice, no source at hand).
    """
    if b"\n" not in content[: 1 << 16]:
        content = content.replace(b"\r", b"\n")
    if b"\\\n" in content or b"\\\r\n" in content:
        content = content.replace(b"\\\r\n", b"  ").replace(b"\\\n", b" ")
    taken = _Lines()
    for rows in rows_of(content):
        _take(taken, rows)
    if not taken.vertices and not taken.sizes:
        raise other_text("the vertices and faces of an OBJ", content)
    none = np.zeros(0, np.int64)
    corners, sizes = (np.concatenate([none, *some]) for some in (taken.corners, taken.sizes))
    places = np.concatenate([np.zeros((0, 3)), *taken.places])
    return Raw(places, cut_in_triangles(corners, sizes, len(places)), "OBJ")


def _take(taken: _Lines, rows: Rows) -> None:
    is_vertex, is_face = rows.begins(b"v"), rows.begins(b"f")
    # Relative numbers count from the vertices before the face's own line.
    before = taken.vertices + np.cumsum(is_vertex)
    if is_vertex.any():
        values, counts = parsed(rows, is_vertex, np.float64, skip=1, least=3)
        taken.places.append(first_three(values, counts))
        taken.vertices += len(counts)
    if taken.vertices > MOST_VERTICES:
        raise MeshError(f"at most {MOST_VERTICES:,} vertices", "more", "ask for fewer")
    if is_face.any():
        _take_faces(taken, rows, is_face, before)


def _take_faces(taken: _Lines, rows: Rows, is_face: Flags, before: Longs) -> None:
    numbers, sizes = parsed(rows, is_face, np.int64, skip=1, least=1)
    backwards = numbers < 0
    if backwards.any():
        numbers = np.where(backwards, numbers + 1 + np.repeat(before[is_face], sizes), numbers)
    if (numbers < 1).any():
        line = int(rows.line[is_face][np.repeat(np.arange(len(sizes)), sizes)[numbers < 1][0]])
        raise MeshError(
            f"vertices from 1 on in line {line:,}", "a face of a vertex before the first", ASK_AGAIN
        )
    taken.corners.append(numbers - 1)
    taken.sizes.append(sizes)
    taken.triangles += int(np.maximum(sizes - 2, 0).sum())
    refuse_too_many(taken.triangles)


def cut_in_triangles(corners: Longs, sizes: Longs, count: int) -> Ints:
    """Polygons as triangles that share the first corner; those of one or two corners go.

    Parameters
    ----------
    corners
        Of all polygons, one after another, from 0.
    sizes
        (p,): corners of each polygon.
    count
        Vertices that there are.

    Raises
    ------
    MeshError
        If a polygon names a vertex that is not there.
    """
    if len(corners) and (corners.min() < 0 or corners.max() >= count):
        worst = int(corners.min()) if corners.min() < 0 else int(corners.max())
        raise MeshError(
            f"faces of vertices 1 to {count:,}", f"a face of vertex {worst + 1:,}", ASK_AGAIN
        )
    if len(sizes) and (sizes == 3).all():
        return corners.astype(np.int32).reshape(-1, 3)
    start = np.cumsum(sizes) - sizes
    pieces = np.maximum(sizes - 2, 0)
    first = np.repeat(start, pieces)
    step = np.arange(len(first)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    chosen = np.stack([first, first + step + 1, first + step + 2], axis=1)
    triangles: Ints = corners[chosen].astype(np.int32).reshape(-1, 3)
    return triangles
