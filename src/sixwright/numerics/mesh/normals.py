"""Which way a surface looks at its vertices."""

import numpy as np

from sixwright.numerics.mesh.model import Mesh, blocks
from sixwright.numerics.mesh.shells import crossed
from sixwright.numerics.rotations import Floats


def vertex_normals(mesh: Mesh) -> Floats:
    """(n, 3): unit vectors out of the surface at the vertices; zero where no face decides.

    Source
    ------
    thurmer-1998 (Thürmer & Wüthrich, J. Graphics Tools 3(1):43-46): faces weighed by their angle
    at the vertex, so that the answer does not hang on how a surface is cut into triangles.
    """
    count = len(mesh.vertices)
    total = np.zeros((3, count))
    for block, *corners in blocks(mesh):
        faces = mesh.faces[block]
        sides = [_unit(corners[(i + 1) % 3] - corners[i]) for i in range(3)]
        normal = _unit(crossed(sides[0], -sides[2]))
        for i in range(3):
            cosine = np.clip((sides[i] * -sides[i - 1]).sum(axis=1), -1, 1)
            turned = normal * np.arccos(cosine)[:, None]
            for axis in range(3):
                np.add.at(total[axis], faces[:, i], turned[:, axis])
    return _unit(total.T)


def _unit(vectors: Floats) -> Floats:
    """Rows of length 1; zero stays zero."""
    # Scaled first: the square of a side of 1e-200 is no number.
    largest = np.abs(vectors).max(axis=-1, initial=0.0, keepdims=True)
    scaled = vectors / np.where(largest > 0, largest, 1)
    length = np.sqrt((scaled * scaled).sum(axis=-1, keepdims=True))
    unit: Floats = scaled / np.where(length > 0, length, 1)
    return unit
