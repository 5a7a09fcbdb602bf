"""What a ray meets first on a mesh, and whether a place is seen from another."""

from dataclasses import dataclass

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import Flags, Ints, Mesh, bounds
from sixwright.numerics.mesh.shells import crossed
from sixwright.numerics.rotations import Floats

# The tree holds float32: a place is known to about 6e-8 of the mesh's size there.
TREE_PRECISION = 2.0**-24


@dataclass(frozen=True, slots=True, eq=False)
class Hits:
    """What each of r rays meets first.

    Attributes
    ----------
    face
        (r,), int32; -1 where it meets none.
    distance
        (r,): along the ray, in the mesh's unit; infinite where it meets none.
    place
        (r, 3): where; NaN where it meets none.
    """

    face: Ints
    distance: Floats
    place: Floats

    @property
    def met(self) -> Flags:
        """(r,): whether the ray meets a face."""
        return self.face >= 0


class RayTree:
    """A mesh made ready for many rays: two to three seconds for five million faces.

    Parameters
    ----------
    mesh
        With at least one face.

    Raises
    ------
    InputError
        If it has none.

    Source
    ------
    Embree's bounding volume hierarchy in its robust mode, through embreex, in float32; where a
    ray meets the face that it names is computed again in float64 (Möller & Trumbore 1997).
    """

    def __init__(self, mesh: Mesh) -> None:
        from embreex.mesh_construction import TriangleMesh
        from embreex.rtcore_scene import EmbreeScene

        if not len(mesh.faces):
            raise InputError("mesh must have a face; received none.")
        low, high = bounds(mesh)
        self.mesh = mesh
        self._middle: Floats = (low + high) / 2
        self._radius = float(np.linalg.norm(high - low)) / 2
        self._scene = EmbreeScene(robust=True)
        centred = (mesh.vertices - self._middle).astype(np.float32)
        self._held = TriangleMesh(self._scene, centred, mesh.faces)
        # The first ray builds the tree.
        self.first_hits(np.zeros((1, 3)), np.ones((1, 3)))

    @property
    def precision(self) -> float:
        """How far the tree's places may lie from the mesh's, in its unit."""
        return 4 * TREE_PRECISION * self._radius

    def first_hits(self, origins: Floats, directions: Floats) -> Hits:
        """What each ray meets first, faces seen from behind included.

        Parameters
        ----------
        origins
            (r, 3), in the mesh's unit; (3,) for rays from one place. One that lies on a face
            meets that face.
        directions
            (r, 3), of any length above zero.

        Raises
        ------
        InputError
            If a direction has no length, or a number is not finite.
        """
        start, along = _rays(origins, directions)
        # A ray from afar starts where it may first meet the mesh, so that float32 loses nothing.
        ahead = np.maximum(((self._middle - start) * along).sum(axis=1) - self._radius, 0.0)
        near = (start + ahead[:, None] * along - self._middle).astype(np.float32)
        found = self._scene.run(near, along.astype(np.float32), query="INTERSECT", output=1)
        face = found["primID"].astype(np.int32)
        distance, place = np.full(len(face), np.inf), np.full((len(face), 3), np.nan)
        met = np.flatnonzero(face >= 0)
        rough = ahead[met] + found["tfar"][met]
        distance[met] = self._exact(start[met], along[met], face[met], rough)
        place[met] = start[met] + distance[met, None] * along[met]
        return Hits(face, distance, place)

    def _exact(self, start: Floats, along: Floats, face: Ints, rough: Floats) -> Floats:
        """(r,): distance to each named face's plane, in float64; the tree's where it is edge on."""
        corners = self.mesh.faces.take(face, axis=0, mode="clip")
        first, second, third = (
            self.mesh.vertices.take(corners[:, i], axis=0, mode="clip").astype(np.float64)
            for i in range(3)
        )
        normal = crossed(second - first, third - first)
        slope = (normal * along).sum(axis=1)
        with np.errstate(divide="ignore", invalid="ignore"):
            exact = (normal * (first - start)).sum(axis=1) / slope
        reliable = np.isfinite(exact) & (np.abs(exact - rough) <= self._radius * 1e-3)
        return np.maximum(np.where(reliable, exact, rough), 0.0)

    def sees(self, eye: Floats, places: Floats, *, within: float) -> Flags:
        """Whether nothing stands between an eye and each place.

        Parameters
        ----------
        eye
            (3,): where the camera's centre is, in the mesh's unit.
        places
            (p, 3): on the surface, or as near to it as `within`.
        within
            How far before the place the ray may meet the surface and the place still counts as
            seen; above zero. A place that lies a little below the surface is seen with it.

        Raises
        ------
        InputError
            If `within` is not above zero, or a number is not finite.
        """
        if not within > 0:
            raise InputError(f"within must be above 0; received {within!r}.")
        towards = np.asarray(places, np.float64) - eye
        length = np.sqrt((towards * towards).sum(axis=1))
        at_the_eye = length == 0
        hits = self.first_hits(eye, np.where(at_the_eye[:, None], 1.0, towards))
        seen: Flags = at_the_eye | (hits.distance >= length - within)
        return seen


def _rays(origins: Floats, directions: Floats) -> tuple[Floats, Floats]:
    """Origins one a ray, and directions of length 1."""
    along = np.asarray(directions, np.float64).reshape(-1, 3)
    start = np.broadcast_to(np.asarray(origins, np.float64), along.shape)
    length = np.sqrt((along * along).sum(axis=1))
    if not (np.isfinite(start).all() and np.isfinite(length).all() and (length > 0).all()):
        raise InputError(
            "origins and directions must be finite, and directions above 0 in length; "
            "received some that are not."
        )
    return start, along / length[:, None]
