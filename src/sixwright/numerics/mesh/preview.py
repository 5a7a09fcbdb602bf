"""A mesh with far fewer faces, to look at; never to measure on."""

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import Longs, Mesh, bounds
from sixwright.numerics.mesh.shells import face_areas_and_volumes
from sixwright.numerics.mesh.weld import same_places, trimmed, welded

# Cells first, and then quadrics on what is left: five million faces take the quadrics alone 5 to
# 8 s. With three times the faces wanted left to choose from, they find the edges that matter.
_LEFT_TO_CHOOSE = 3


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


def _simplified(mesh: Mesh, most: int) -> Mesh:
    from fast_simplification import simplify

    # Copies: the library takes no arrays that may not be written.
    vertices, faces = simplify(
        np.array(mesh.vertices, np.float64),
        np.array(mesh.faces),
        target_reduction=1 - most / len(mesh.faces),
    )
    return welded(Mesh(vertices.astype(np.float32), np.asarray(faces, np.int32)))
