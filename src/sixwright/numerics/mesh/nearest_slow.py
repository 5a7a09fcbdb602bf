"""The face nearest to each place, with scipy alone: where the faster library has no wheel."""

from typing import Any

import numpy as np

from sixwright.numerics.mesh.model import Ints, Longs, Vertices
from sixwright.numerics.mesh.triangles import nearest_on_triangles
from sixwright.numerics.rotations import Floats

_PLACES_AT_ONCE = 2048
# Faces of about one size: their indices, the k-d tree of their middles, and the largest radius.
Class = tuple[Longs, Any, float]


def nearest_faces(vertices: Vertices, faces: Ints, places: Floats) -> Ints:
    """(q,), int32: the nearest face to each place.

    Parameters
    ----------
    vertices, faces
        As of a `Mesh`, one face or more; vertices that no face names are passed over.
    places
        (q, 3), finite.

    Raises
    ------
    ValueError
        If there is no face.

    Source
    ------
    A face is no farther from a place than its middle, and no nearer than that less its radius.
    Faces are put in classes by the power of two of their radius, each with a k-d tree of middles
    (scipy), so that one large face does not widen the search among the small ones.
    """
    from scipy.spatial import cKDTree

    corners = vertices[faces].astype(np.float64)
    middles = corners.mean(axis=1)
    radii = np.sqrt(((corners - middles[:, None]) ** 2).sum(axis=2).max(axis=1))
    sizes = np.frexp(radii)[1]
    classes: list[Class] = [
        (members, cKDTree(middles[members], balanced_tree=False), float(radii[members].max()))
        for size in np.unique(sizes)
        for members in [np.flatnonzero(sizes == size)]
    ]
    bound = np.min([tree.query(places)[0] for _, tree, _ in classes], axis=0)
    answer = np.zeros(len(places), np.int32)
    for start in range(0, len(places), _PLACES_AT_ONCE):
        some = slice(start, start + _PLACES_AT_ONCE)
        answer[some] = _nearest_of(corners, classes, places[some], bound[some])
    return answer


def _nearest_of(corners: Floats, classes: list[Class], places: Floats, bound: Floats) -> Ints:
    """(q,): the nearest face of those that the bounds leave."""
    of_place, face = [], []
    for members, tree, radius in classes:
        near = tree.query_ball_point(places, bound * (1 + 1e-9) + radius)
        counts = np.fromiter(map(len, near), np.int64, len(near))
        of_place.append(np.repeat(np.arange(len(places)), counts))
        face.append(members[np.concatenate([np.asarray(n, np.int64) for n in near])])
    which, tried = np.concatenate(of_place), np.concatenate(face)
    asked = places[which]
    foot = nearest_on_triangles(asked, *(corners[tried, i] for i in range(3)))
    squared = ((foot - asked) ** 2).sum(axis=1)
    order = np.lexsort((tried, squared, which))
    first = np.searchsorted(which[order], np.arange(len(places)))
    return tried[order[first]].astype(np.int32)
