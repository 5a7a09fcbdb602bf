"""Where a plane cuts a mesh: outlines, in order."""

from dataclasses import dataclass

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.chains import chains
from sixwright.numerics.mesh.model import Flags, Ints, Longs, Mesh
from sixwright.numerics.rotations import Floats


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """One line in which a plane cuts a mesh.

    Attributes
    ----------
    places
        (k, 3), in order; with the plane's normal towards the eye, the inside lies to the left of
        a closed outline, as it does of an outer one run anticlockwise.
    closed
        Whether the last place is joined to the first.
    """

    places: Floats
    closed: bool

    @property
    def length(self) -> float:
        """Along all of it, in the mesh's unit."""
        places = np.concatenate([self.places, self.places[:1]]) if self.closed else self.places
        return float(np.linalg.norm(np.diff(places, axis=0), axis=1).sum())


def section(mesh: Mesh, place: Floats, normal: Floats) -> tuple[Outline, ...]:
    """The outlines in which a plane cuts a mesh, that of the most places first.

    A vertex in the plane counts as above it, so that every cut face is cut in one segment and a
    closed mesh gives closed outlines. A face that lies in the plane is not cut.

    Parameters
    ----------
    place, normal
        (3,) each: of the plane; the normal of any length above zero.

    Raises
    ------
    InputError
        If the normal has no length, or a number is not finite.

    Source
    ------
    Linear interpolation along the cut edges; own choice for vertices in the plane: decisions/0010.
    """
    length = float(np.linalg.norm(normal))
    if not (np.isfinite(length) and length > 0 and np.isfinite(place).all()):
        raise InputError(f"normal must be finite and above 0 in length; received {normal!r}.")
    height = mesh.vertices @ (np.asarray(normal, np.float64) / length)
    height -= float(np.dot(place, normal)) / length
    above = height >= 0
    cut = _cut_faces(mesh, above)
    segments, edges = _segments(mesh.faces[cut], above, len(mesh.vertices))
    low, high = edges // len(mesh.vertices), edges % len(mesh.vertices)
    share = height[low] / (height[low] - height[high])
    start, end = (mesh.vertices[which].astype(np.float64) for which in (low, high))
    crossing = start + share[:, None] * (end - start)
    found = chains(segments)
    return tuple(Outline(crossing[chain.members], chain.closed) for chain in found)


def _cut_faces(mesh: Mesh, above: Flags) -> Longs:
    first, second, third = (above.take(mesh.faces[:, i], mode="clip") for i in range(3))
    return np.flatnonzero((first != second) | (second != third))


def _segments(faces: Ints, above: Flags, count: int) -> tuple[Ints, Longs]:
    """(s, 2) and (e,): segments between numbered cut edges, and those edges as low * n + high."""
    up = above[faces]
    # Turn each face so that its first corner is alone on its side.
    alone = np.where(up.sum(axis=1) == 1, up.argmax(axis=1), (~up).argmax(axis=1))
    turned = np.take_along_axis(faces, (alone[:, None] + np.arange(3)) % 3, axis=1)
    turned = turned.astype(np.int64)
    towards, back = turned[:, :2], turned[:, [2, 0]]
    keys = np.stack(
        [pair.min(axis=1) * count + pair.max(axis=1) for pair in (towards, back)], axis=1
    )
    # A face runs anticlockwise seen from outside: where its lone corner is above the plane, the
    # inside lies to the left of the way from the edge that leaves it to the one that comes back.
    flip = ~above[turned[:, 0]]
    keys[flip] = keys[flip][:, ::-1]
    edges, number = np.unique(keys, return_inverse=True)
    return number.reshape(-1, 2).astype(np.int32), edges
