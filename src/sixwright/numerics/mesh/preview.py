"""A mesh with far fewer faces, to look at; never to measure on."""

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import BLOCK, Ints, Longs, Mesh, bounds
from sixwright.numerics.mesh.shells import crossed, face_areas_and_volumes
from sixwright.numerics.mesh.weld import same_places, trimmed, welded

# Cells first, and then quadrics on what is left: five million faces take the quadrics alone 5 to
# 8 s. With three times the faces wanted left to choose from, they find the edges that matter.
_LEFT_TO_CHOOSE = 3
MOST_CELLS = 1 << 23  # of a first look's grid; a mesh that lies in more is seen more roughly
_SAMPLED = 20_000  # faces that say how large its surface is
_MEANT = 2_000_000  # vertices whose means are the cells' places


def preview(mesh: Mesh, *, most: int = 150_000) -> Mesh:
    """The mesh itself where it has few faces, or about `most` faces that look like it.

    Parameters
    ----------
    mesh
        Welded.
    most
        Faces wanted, 100 or more. The answer has fewer or up to a twentieth more.

    Raises
    ------
    InputError
        If `most` is below 100.

    Source
    ------
    Rossignac & Borrel 1993 (vertices of one cell become their mean), then Garland & Heckbert 1997
    (quadrics) through fast-simplification.
    """
    if most < 100:
        raise InputError(f"most must be 100 or more; received {most!r}.")
    if len(mesh.faces) <= most:
        return mesh
    rough = _clustered(mesh, _LEFT_TO_CHOOSE * most)
    return rough if len(rough.faces) <= most else _simplified(rough, most)


def _clustered(mesh: Mesh, most: int) -> Mesh:
    """The vertices of each cell of a grid as one; about `most` faces, or the mesh itself."""
    if len(mesh.faces) <= most:
        return mesh
    low, _ = bounds(mesh)
    area = float(face_areas_and_volumes(mesh)[0].sum())
    # A surface of area A meets about 1.5 A / h² cells of side h, and each gives two faces.
    side = np.sqrt(3 * area / most) or 1.0
    cell = np.floor((mesh.vertices - low) / side).astype(np.float32)
    same = same_places(cell)
    counts = np.bincount(same.label, minlength=len(same.first))
    means = [np.bincount(same.label, mesh.vertices[:, axis]) / counts for axis in range(3)]
    faces = same.label.take(mesh.faces, mode="clip")
    rough = trimmed(np.stack(means, axis=1).astype(np.float32), faces)
    return Mesh(rough.vertices, rough.faces[_once(rough)])


def _once(mesh: Mesh) -> Longs:
    """Indices of the faces without those that repeat an earlier one."""
    turned = np.take_along_axis(
        mesh.faces, (mesh.faces.argmin(axis=1)[:, None] + np.arange(3)) % 3, axis=1
    )
    return np.sort(same_places(turned.astype(np.float64)).first)


def first_look(soup: Mesh, *, most: int = 150_000) -> Mesh:
    """About `most` faces that look like a mesh, before its corners are even welded.

    Parameters
    ----------
    soup
        With a face. Five million faces take some 0.5 s.
    most
        Faces wanted, 100 or more; the answer may have half as many again.

    Raises
    ------
    InputError
        If `most` is below 100, or the mesh has no face.

    Source
    ------
    Rossignac & Borrel 1993: the vertices of a grid's cell become one, their mean.
    """
    if most < 100 or not len(soup.faces):
        raise InputError(f"most must be 100 or more and the mesh have a face; received {most!r}.")
    cell, cells = _cells(soup, most)
    inside = np.zeros(cells, np.int32)
    inside[cell] = np.arange(len(cell), dtype=np.int32)  # one of the vertices in each cell
    used = np.zeros(cells, np.bool_)
    used[cell] = True
    label = np.cumsum(used, dtype=np.int32) - np.int32(1)
    places = soup.vertices[inside[used]].astype(np.float64)
    some = slice(None, None, max(1, len(cell) // _MEANT))
    number = label[cell[some]]
    counts = np.bincount(number, minlength=len(places))
    for axis in range(3):
        means = np.bincount(number, soup.vertices[some, axis], len(places)) / np.maximum(counts, 1)
        places[:, axis] = np.where(counts > 0, means, places[:, axis])
    rough = trimmed(places.astype(np.float32), _apart(label, cell, soup.faces))
    return Mesh(rough.vertices, rough.faces[_once(rough)])


def _cells(soup: Mesh, most: int) -> tuple[Ints, int]:
    """(n,): the cell of a grid that each vertex lies in, and how many cells there are."""
    low, high = bounds(soup)
    extent = np.maximum(high - low, 1e-30)
    # As in `_clustered`.
    side = max(np.sqrt(3 * _area(soup) / most), float(extent.max()) * 1e-6)
    while np.prod(np.floor(extent / side) + 1) > MOST_CELLS:
        side *= 1.25
    size = (np.floor(extent / side) + 1).astype(np.int32)
    cell = np.zeros(len(soup.vertices), np.int32)
    # In the file's own precision, which is enough to say which cell, and twice as fast.
    (left, foot, back), finer = (float(v) for v in low), float(1 / side)
    for start in range(0, len(cell), BLOCK):
        block = slice(start, start + BLOCK)
        x, y, z = (
            np.minimum(((soup.vertices[block, axis] - from_) * finer).astype(np.int32), most_)
            for axis, from_, most_ in ((0, left, size[0] - 1), (1, foot, size[1] - 1),
                                       (2, back, size[2] - 1))
        )  # fmt: skip
        cell[block] = (x * size[1] + y) * size[2] + z
    return cell, int(np.prod(size))


def _area(soup: Mesh) -> float:
    """About how large the surface is, from some of its faces."""
    step = max(1, len(soup.faces) // _SAMPLED)
    corners = soup.vertices[soup.faces[::step]].astype(np.float64)
    normal = crossed(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    return float(np.sqrt((normal * normal).sum(axis=1)).sum()) / 2 * step


def _apart(label: Ints, cell: Ints, faces: Ints) -> Ints:
    """(f, 3): the faces whose corners lie in three cells, by the cells' numbers."""
    kept = []
    for start in range(0, len(faces), BLOCK):
        of = cell.take(faces[start : start + BLOCK], mode="clip")
        apart = (of[:, 0] != of[:, 1]) & (of[:, 1] != of[:, 2]) & (of[:, 2] != of[:, 0])
        kept.append(label.take(of[apart], mode="clip"))
    return np.concatenate(kept)


def _simplified(mesh: Mesh, most: int) -> Mesh:
    from fast_simplification import simplify

    # Copies: the library takes no arrays that may not be written.
    vertices, faces = simplify(
        np.array(mesh.vertices, np.float64),
        np.array(mesh.faces),
        target_reduction=1 - most / len(mesh.faces),
    )
    return welded(Mesh(vertices.astype(np.float32), np.asarray(faces, np.int32)))
