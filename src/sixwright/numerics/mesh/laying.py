"""One surface laid on another of the same size, by turning and moving; what differs is left out."""

import numpy as np

from sixwright.numerics.mesh.model import Mesh, bounds
from sixwright.numerics.mesh.normals import vertex_normals
from sixwright.numerics.mesh.sample import spread_places
from sixwright.numerics.rotations import Floats, rotation_of
from sixwright.numerics.similarity import Similarity

SAMPLE = 3000
STEPS = 40
KEPT = 0.7  # of the places: what a sculptor changed is in the rest
ENOUGH_MM = 1e-5  # a step below this is the last


def laid_on(moving: Mesh, fixed: Mesh) -> Similarity:
    """The turn and shift that lays a surface on another; its scale is 1.

    Parameters
    ----------
    moving, fixed
        With faces, in one unit (mm); a preview will do. They may lie some fifth of their size and
        30 degrees apart.

    Raises
    ------
    InputError
        If one has no area.

    Source
    ------
    Chen & Medioni 1992 (distances along the normals), the farther part left out: chetverikov-2005.
    """
    from scipy.spatial import cKDTree

    places = spread_places(moving, SAMPLE)
    tree, normals = cKDTree(fixed.vertices), vertex_normals(fixed)
    apart = np.mean(bounds(fixed), axis=0) - np.mean(bounds(moving), axis=0)
    still = Similarity(1.0, np.eye(3), np.zeros(3))
    starts = (still, Similarity(1.0, np.eye(3), apart))
    return min(
        (
            _from(start, places, fixed.vertices.astype(np.float64), tree, normals)
            for start in starts
        ),
        key=lambda found: found[1],
    )[0]


def _from(
    start: Similarity, places: Floats, onto: Floats, tree: object, normals: Floats
) -> tuple[Similarity, float]:
    """Where steps from a start lead, and the mean distance left."""
    at, off = start, np.inf
    for _ in range(STEPS):
        now = at.of(places)
        distance, nearest = tree.query(now)  # type: ignore[attr-defined]
        near = distance <= np.quantile(distance, KEPT)
        now, along = now[near], normals[nearest[near]]
        gap = ((onto[nearest[near]] - now) * along).sum(axis=1)
        off = float(np.abs(gap).mean())
        middle = now.mean(axis=0)
        rows = np.hstack([np.cross(now - middle, along), along])
        step = np.linalg.lstsq(rows, gap, rcond=None)[0]
        turn = rotation_of(step[:3])
        at = Similarity(1.0, turn, middle - turn @ middle + step[3:]).after(at)
        if np.abs(gap).max() < ENOUGH_MM or np.abs(step[3:]).max() < ENOUGH_MM:
            break
    return at, off
