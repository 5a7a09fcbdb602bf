"""The place of a surface that lies nearest to a given one, exactly."""

import importlib.util
from dataclasses import dataclass

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import Ints, Mesh, bounds
from sixwright.numerics.mesh.nearest_slow import nearest_faces
from sixwright.numerics.mesh.triangles import nearest_on_triangles
from sixwright.numerics.rotations import Floats

FEW = 100
_TRIED_FOR_A_BOUND = 100_000
_VERTICES_AT_ONCE = 1 << 11
_SIDES_AT_ONCE = 1 << 16


@dataclass(frozen=True, slots=True, eq=False)
class Nearest:
    """The nearest place of a surface to each of q places.

    Attributes
    ----------
    face
        (q,), int32.
    place
        (q, 3), on that face.
    distance
        (q,), zero or more, in the mesh's unit.
    """

    face: Ints
    place: Floats
    distance: Floats


def nearest(mesh: Mesh, places: Floats) -> Nearest:
    """The nearest place of a surface to each given one.

    Parameters
    ----------
    mesh
        With at least one face. For 200,000 places and five million faces: 6 s, of which 4 are
        the same for any number of places above `FEW`; below it, half a second.
    places
        (q, 3), finite.

    Raises
    ------
    InputError
        If there is no face, or a place is not finite.

    Source
    ------
    Ericson 2005, Real-Time Collision Detection, 5.1.5, on every face that can be nearest: found
    by a tree of boxes in float64 (point-cloud-utils), or where that is not to be had by
    `nearest_slow`. The answer on the face is computed here in either case.
    """
    places = np.asarray(places, np.float64).reshape(-1, 3)
    if not len(mesh.faces) or not np.isfinite(places).all():
        raise InputError("mesh must have a face and places be finite; received otherwise.")
    if not len(places):
        return Nearest(np.zeros(0, np.int32), np.zeros((0, 3)), np.zeros(0))
    chosen = _worth_asking(mesh, places) if len(places) <= FEW else None
    faces = mesh.faces if chosen is None else mesh.faces[chosen]
    face = _nearest_faces(mesh, faces, places)
    place = nearest_on_triangles(places, *_corners(mesh, faces.take(face, axis=0)))
    apart = place - places
    answer = face if chosen is None else chosen[face]
    return Nearest(answer.astype(np.int32), place, np.sqrt((apart * apart).sum(axis=1)))


def _nearest_faces(mesh: Mesh, faces: Ints, places: Floats) -> Ints:
    if importlib.util.find_spec("point_cloud_utils") is None:
        return nearest_faces(mesh.vertices, faces, places)
    from point_cloud_utils import closest_points_on_mesh

    used, compact = np.unique(faces, return_inverse=True) if len(faces) < len(mesh.faces) else (
        slice(None), faces
    )  # fmt: skip
    vertices = np.ascontiguousarray(mesh.vertices[used], np.float64)
    # The library (0.34) answers wrongly where one place alone is asked for.
    asked = np.vstack([places, places]) if len(places) == 1 else places
    found = closest_points_on_mesh(asked, vertices, compact.reshape(-1, 3).astype(np.int32))
    face: Ints = found[1][: len(places)].astype(np.int32)
    return face


def _corners(mesh: Mesh, faces: Ints) -> tuple[Floats, Floats, Floats]:
    first, second, third = (mesh.vertices[faces[:, i]].astype(np.float64) for i in range(3))
    return first, second, third


def _worth_asking(mesh: Mesh, places: Floats) -> Ints | None:
    """Faces among which the nearest of each place is; None where all may be.

    The nearest of some vertices bounds the distance, and a face that near has its first corner
    within that bound and the longest side of a face.
    """
    from scipy.spatial import cKDTree

    low, high = bounds(mesh)
    middle = (low + high) / 2
    size = float(np.linalg.norm(high - low)) + float(np.abs(places - middle).max())
    tree = cKDTree(mesh.vertices[:: max(1, len(mesh.vertices) // _TRIED_FOR_A_BOUND)])
    reach = tree.query(places)[0] + _longest_side(mesh) + 1e-6 * size
    # |v - p|² - reach² <= 0 as one product of matrices: rows (-2 p, 1, |p|² - reach²), columns
    # (v, |v|², 1).
    asked = places - middle
    ones = np.ones((len(places), 1))
    rows = np.hstack([-2 * asked, ones, ((asked**2).sum(axis=1) - reach**2)[:, None]])
    wanted = np.zeros(len(mesh.vertices), np.bool_)
    for start in range(0, len(mesh.vertices), _VERTICES_AT_ONCE):
        block = slice(start, start + _VERTICES_AT_ONCE)
        columns = np.ones((5, len(wanted[block])))
        columns[:3] = mesh.vertices[block].T
        columns[:3] -= middle[:, None]
        columns[3] = (columns[:3] ** 2).sum(axis=0)
        wanted[block] = (rows @ columns).min(axis=0) <= 0
    chosen = np.flatnonzero(wanted.take(mesh.faces[:, 0], mode="clip")).astype(np.int32)
    return chosen if len(chosen) < len(mesh.faces) // 2 else None


def _longest_side(mesh: Mesh) -> float:
    longest = 0.0
    for corner in range(3):
        for start in range(0, len(mesh.faces), _SIDES_AT_ONCE):
            faces = mesh.faces[start : start + _SIDES_AT_ONCE]
            side = mesh.vertices.take(faces[:, corner], axis=0, mode="clip") - mesh.vertices.take(
                faces[:, corner - 1], axis=0, mode="clip"
            )
            longest = max(longest, float(np.einsum("ij,ij->i", side, side).max()))
    return float(np.sqrt(longest)) * (1 + 1e-6)
