"""What a sculpt's mesh says of its landmarks: how far off it they lie, which way out, seen whence.

Lengths are mm at 1:6 in the sculpt frame.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from sixwright.line.likeness import Key
from sixwright.numerics.mesh.model import Mesh
from sixwright.numerics.mesh.nearest import Nearest, nearest
from sixwright.numerics.mesh.rays import RayTree
from sixwright.numerics.mesh.shells import crossed
from sixwright.numerics.rotations import Floats, facing
from sixwright.topics.likeness.sculpts import SurfaceMark, Vector

# The viewpoints that a further still is looked for from.
YAWS_DEG = tuple(range(-105, 106, 15))
PITCHES_DEG = (-30, 0, 30)
DISTANCE_MM = 2000 / 6  # of a camera that is not there yet, 2 m at full size
# Own choices. A landmark's direction is the mean over a patch of this radius, so that a lid's edge
# or a fold does not decide it; one further off the surface than `OFF_MM` lies on another surface.
PATCH_MM = 1.2
OFF_MM = 0.5
# A place up to so far beneath what the ray meets counts as seen: eye corners lie in folds.
BENEATH_MM = 0.4


@dataclass(frozen=True, slots=True)
class Surface:
    """The landmarks of a round against its mesh, in the round's order."""

    marks: tuple[SurfaceMark, ...]


def viewpoints() -> tuple[tuple[float, float], ...]:
    """Yaw and pitch in degrees of every viewpoint, in one order."""
    return tuple((float(yaw), float(pitch)) for pitch in PITCHES_DEG for yaw in YAWS_DEG)


def surface_of(mesh: Mesh, placed: Mapping[Key, Iterable[float]], *, inside_out: bool) -> Surface:
    """Where landmarks lie against a mesh.

    Parameters
    ----------
    mesh
        Of the round, mm at 1:6 in the sculpt frame, with a face.
    placed
        Landmarks and their places.
    inside_out
        Whether the mesh's triangles look inward.

    Raises
    ------
    InputError
        If the mesh has no face, or a place is not finite.

    Source
    ------
    Exact nearest places and rays of `numerics.mesh`. Where fewer than half of the landmarks lie on
    the surface, they were placed in another frame: none of them has a direction then.
    """
    keys = tuple(placed)
    if not keys:
        return Surface(())
    places = np.array([tuple(placed[key]) for key in keys], np.float64).reshape(-1, 3)
    met = nearest(mesh, places)
    on = met.distance <= OFF_MM
    if on.sum() * 2 < len(keys):
        on = np.zeros(len(keys), np.bool_)
    outward = _outward(mesh, met, on, sign=-1.0 if inside_out else 1.0)
    seen = _seen(mesh, met.place, on)
    return Surface(
        tuple(
            SurfaceMark(
                *key,
                float(met.distance[i]),
                _vector(outward[i]) if on[i] else None,
                tuple(bool(each) for each in seen[:, i]) if on[i] else (),
            )
            for i, key in enumerate(keys)
        )
    )


def _vector(row: Floats) -> Vector:
    x, y, z = (float(value) for value in row)
    return x, y, z


def _outward(mesh: Mesh, met: Nearest, on: "np.ndarray[tuple[int], np.dtype[np.bool_]]", *,
             sign: float) -> Floats:  # fmt: skip
    """(l, 3): unit normals, the mean by area over the patch around each place."""
    found = np.zeros((len(met.place), 3))
    first = mesh.vertices.take(mesh.faces[:, 0], axis=0, mode="clip")
    for i in np.flatnonzero(on):
        near = np.flatnonzero((np.abs(first - met.place[i]) <= PATCH_MM).all(axis=1))
        faces = mesh.faces[np.union1d(near, met.face[i])]
        a, b, c = (mesh.vertices[faces[:, k]].astype(np.float64) for k in range(3))
        area = crossed(b - a, c - a)
        own = _normal(mesh, int(met.face[i]))
        within = np.linalg.norm((a + b + c) / 3 - met.place[i], axis=1) <= PATCH_MM
        mean = area[within & (area @ own > 0)].sum(axis=0)
        length = float(np.linalg.norm(mean))
        found[i] = sign * (mean / length if length > 0 else own)
    return found


def _normal(mesh: Mesh, face: int) -> Floats:
    a, b, c = mesh.vertices[mesh.faces[face]].astype(np.float64)
    across = np.cross(b - a, c - a)
    normal: Floats = across / max(float(np.linalg.norm(across)), 1e-300)
    return normal


def _seen(
    mesh: Mesh, places: Floats, on: "np.ndarray[tuple[int], np.dtype[np.bool_]]"
) -> "np.ndarray[tuple[int, int], np.dtype[np.bool_]]":
    """(v, l): whether a camera at each viewpoint would see each place."""
    seen = np.zeros((len(viewpoints()), len(places)), np.bool_)
    if not on.any():
        return seen
    tree = RayTree(mesh)
    middle = places[on].mean(axis=0)
    for row, (yaw, pitch) in enumerate(viewpoints()):
        towards = -facing(np.radians(yaw), np.radians(pitch))[2]
        seen[row, on] = tree.sees(middle + DISTANCE_MM * towards, places[on], within=BENEATH_MM)
    return seen
