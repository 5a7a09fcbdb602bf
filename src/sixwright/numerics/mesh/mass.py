"""Volume, centre of mass and inertia of what a closed surface encloses."""

from dataclasses import dataclass

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import Mesh, blocks
from sixwright.numerics.mesh.shells import crossed
from sixwright.numerics.rotations import Floats


@dataclass(frozen=True, slots=True, eq=False)
class MassProperties:
    """What a surface encloses, of density 1.

    Attributes
    ----------
    volume
        Cube of the mesh's unit; negative where the faces look inward.
    centre
        (3,): centre of mass.
    second
        (3, 3): integrals of x_i x_j over the volume, taken from the centre of mass; fifth power
        of the unit.
    """

    volume: float
    centre: Floats
    second: Floats

    @property
    def inertia(self) -> Floats:
        """(3, 3): about the centre of mass, of density 1; off the diagonal the products negated."""
        tensor: Floats = np.trace(self.second) * np.eye(3) - self.second
        return tensor


def solid(mesh: Mesh) -> MassProperties:
    """Volume, centre and inertia of what a mesh encloses.

    Parameters
    ----------
    mesh
        Closed: of an open one the answer depends on where its middle lies. Where two pieces
        overlap, what lies in both counts twice.

    Raises
    ------
    InputError
        If the faces enclose nothing: there is no centre of mass.

    Source
    ------
    The integrals of mirtich-1996 (J. Graphics Tools 1(2):31-50), in the form of a sum over the
    tetrahedra between each face and one place: for a tetrahedron 0, a, b, c with s = a + b + c and
    d = a . (b x c), the integrals of 1, x and x x' are d/6, d s/24 and
    d (s s' + a a' + b b' + c c')/120. The place is the vertices' mean, so that a mesh far from the
    origin loses no digits.
    """
    middle = mesh.vertices.mean(axis=0, dtype=np.float64) if len(mesh.vertices) else np.zeros(3)
    six_volumes, first_moment, second_moment = 0.0, np.zeros(3), np.zeros((3, 3))
    size = 0.0
    for _, *corners in blocks(mesh):
        a, b, c = (corner - middle for corner in corners)
        d = (a * crossed(b - a, c - a)).sum(axis=1)
        s = a + b + c
        six_volumes += float(d.sum())
        size += float(np.abs(d).sum())
        first_moment += d @ s
        for x in (s, a, b, c):
            second_moment += (x * d[:, None]).T @ x
    if abs(six_volumes) <= 1e-12 * size or not size:
        raise InputError("mesh must enclose a volume; received one whose faces enclose none.")
    volume = six_volumes / 6
    arm = first_moment / 24 / volume
    second = second_moment / 120 - volume * np.outer(arm, arm)
    return MassProperties(volume, middle + arm, (second + second.T) / 2)
