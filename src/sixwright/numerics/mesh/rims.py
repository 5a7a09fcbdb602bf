"""The rim of a surface: where it turns away from an eye, which is the outline that the eye sees."""

from dataclasses import dataclass

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import Flags, Ints, Mesh, blocks, bounds
from sixwright.numerics.mesh.normals import vertex_normals
from sixwright.numerics.mesh.rays import RayTree
from sixwright.numerics.mesh.shells import crossed
from sixwright.numerics.rotations import Floats

# A ray to a rim grazes the surface. It is aimed this share of the mesh's size outside, and may end
# that much further in front: both own choices, 0.05 and 0.5 mm on a head.
LIFT_SHARE, WITHIN_SHARE = 1e-3, 1e-2


@dataclass(frozen=True, slots=True, eq=False)
class Rim:
    """Segments along which a surface turns away from an eye; s segments between p places.

    Attributes
    ----------
    places
        (p, 3), on edges of the mesh, in its unit.
    normals
        (p, 3): unit vectors out of the surface, square to the way to the eye but for how finely
        the mesh is cut.
    radius
        (p,): how round the surface is towards the eye, in the mesh's unit; a sphere's is its own.
    segments
        (s, 2), int32: the two places of each.
    """

    places: Floats
    normals: Floats
    radius: Floats
    segments: Ints

    def only(self, kept: Flags) -> "Rim":
        """Some of the segments, with their places."""
        segments = self.segments[kept]
        used, compact = np.unique(segments, return_inverse=True)
        return Rim(
            self.places[used],
            self.normals[used],
            self.radius[used],
            compact.reshape(-1, 2).astype(np.int32),
        )


def rim(mesh: Mesh, eye: Floats, *, inside_out: bool = False) -> Rim:
    """Where a surface turns away from an eye and curves away behind, whatever stands before it.

    A mesh's own edge, where it is open, is no part of it.

    Parameters
    ----------
    mesh
        Finely cut: the rim runs through its faces where the normal between their corners is square
        to the way to the eye.
    eye
        (3,), outside the mesh, in its unit.
    inside_out
        Whether the faces look inward.

    Raises
    ------
    InputError
        If the eye is not finite.

    Source
    ------
    hertzmann-zorin-2000, section 3.1: zero of n (e - p), linear within a face. What curves towards
    the eye (negative radial curvature) no eye can see: koenderink-1984.
    """
    eye = np.asarray(eye, np.float64)
    if eye.shape != (3,) or not np.isfinite(eye).all():
        raise InputError(f"eye must be three finite numbers; received {eye!r}.")
    turning = _turning(mesh, eye)
    used, compact = np.unique(mesh.faces[turning], return_inverse=True)
    faces: Ints = compact.reshape(-1, 3).astype(np.int32)
    normals = _normals_at(mesh, used) * (-1.0 if inside_out else 1.0)
    corners = mesh.vertices[used].astype(np.float64)
    towards = eye - corners
    ahead = (normals * towards).sum(axis=1)
    looks = (ahead[faces] >= 0).sum(axis=1)
    faces = faces[(looks > 0) & (looks < 3)]
    slope = _slope(corners, ahead, faces, eye)
    faces, slope = faces[slope > 0], slope[slope > 0]
    ends = _crossings(ahead, faces)
    keys, place = np.unique(ends.reshape(-1, 2), axis=0, return_inverse=True)
    first, second = keys[:, 0], keys[:, 1]
    along = ahead[first] / (ahead[first] - ahead[second])
    mixed = normals[first] + along[:, None] * (normals[second] - normals[first])
    places = corners[first] + along[:, None] * (corners[second] - corners[first])
    segments = place.reshape(-1, 2).astype(np.int32)
    return Rim(
        places,
        mixed / np.maximum(np.linalg.norm(mixed, axis=1), 1e-300)[:, None],
        _radius(places, segments, slope, eye),
        segments,
    )


def seen_rim(tree: RayTree, eye: Floats, *, inside_out: bool = False) -> Rim:
    """The rim that nothing of the mesh hides from the eye.

    Parameters
    ----------
    tree
        Of the mesh.
    eye, inside_out
        As of `rim`.

    Raises
    ------
    InputError
        If the eye is not finite.

    Source
    ------
    Own choice: a segment is seen where rays to both its ends, aimed a little outside, are free.
    """
    whole = rim(tree.mesh, eye, inside_out=inside_out)
    if not len(whole.segments):
        return whole
    low, high = bounds(tree.mesh)
    size = float(np.linalg.norm(high - low))
    lifted = whole.places + LIFT_SHARE * size * whole.normals
    free = tree.sees(np.asarray(eye, np.float64), lifted, within=WITHIN_SHARE * size)
    return whole.only(free[whole.segments[:, 0]] & free[whole.segments[:, 1]])


def _turning(mesh: Mesh, eye: Floats) -> Flags:
    """(f,): faces with a corner at which some faces look at the eye and others do not."""
    looks = np.zeros(len(mesh.faces), np.bool_)
    for block, first, second, third in blocks(mesh):
        looks[block] = (crossed(second - first, third - first) * (eye - first)).sum(axis=1) > 0
    front, back = np.zeros(len(mesh.vertices), np.bool_), np.zeros(len(mesh.vertices), np.bool_)
    front[mesh.faces[looks].ravel()] = True
    back[mesh.faces[~looks].ravel()] = True
    mixed = (front & back).take(mesh.faces, mode="clip")
    turning: Flags = mixed[:, 0] | mixed[:, 1] | mixed[:, 2]
    return turning


def _normals_at(mesh: Mesh, used: Ints) -> Floats:
    """(u, 3): normals at some vertices, by all faces around each."""
    wanted = np.zeros(len(mesh.vertices), np.bool_)
    wanted[used] = True
    touched = wanted.take(mesh.faces, mode="clip")
    around = mesh.faces[touched[:, 0] | touched[:, 1] | touched[:, 2]]
    there, compact = np.unique(around, return_inverse=True)
    part = Mesh(mesh.vertices[there], compact.reshape(-1, 3).astype(np.int32))
    normals: Floats = vertex_normals(part)[np.searchsorted(there, used)]
    return normals


def _slope(corners: Floats, ahead: Floats, faces: Ints, eye: Floats) -> Floats:
    """(f,): how fast n (e - p) grows towards the eye, within each face."""
    a, b, c = (corners[faces[:, i]] for i in range(3))
    first, second = b - a, c - a
    normal = crossed(first, second)
    size = np.maximum((normal * normal).sum(axis=1), 1e-300)
    rise = ahead[faces]
    gradient = (
        (rise[:, 1] - rise[:, 0])[:, None] * crossed(second, normal)
        + (rise[:, 2] - rise[:, 0])[:, None] * crossed(normal, first)
    ) / size[:, None]
    towards = eye - (a + b + c) / 3
    towards /= np.linalg.norm(towards, axis=1)[:, None]
    slope: Floats = (gradient * towards).sum(axis=1)
    return slope


def _crossings(ahead: Floats, faces: Ints) -> Ints:
    """(f, 2, 2): the ends, the smaller first, of the two edges of each face that the rim cuts."""
    edges = np.stack([faces, np.roll(faces, -1, axis=1)], axis=2)
    cut = (ahead[edges[..., 0]] >= 0) != (ahead[edges[..., 1]] >= 0)
    ends: Ints = np.sort(edges[cut].reshape(-1, 2, 2), axis=2)
    return ends


def _radius(places: Floats, segments: Ints, slope: Floats, eye: Floats) -> Floats:
    """(p,): distance to the eye over the slope, the mean of the faces at each place."""
    total = np.zeros(len(places))
    count = np.zeros(len(places))
    for end in range(2):
        np.add.at(total, segments[:, end], slope)
        np.add.at(count, segments[:, end], 1.0)
    away = np.linalg.norm(eye - places, axis=1)
    radius: Floats = away * count / np.maximum(total, 1e-300)
    return radius
