"""Places spread evenly over a surface."""

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import Mesh
from sixwright.numerics.mesh.shells import face_areas_and_volumes
from sixwright.numerics.rotations import Floats

# Steps of the plane that fill it most evenly: 1/p and 1/p² of the root of p³ = p + 1.
_STEP = (0.7548776662466927, 0.5698402909980532)


def spread_places(mesh: Mesh, count: int) -> Floats:
    """(count, 3): places on the surface, as many on one square millimetre as on another.

    The same each time: faces are taken at even steps of area, places on them by a fixed sequence.

    Raises
    ------
    InputError
        If the mesh has no area, or `count` is below 1.

    Source
    ------
    Own choice: systematic sampling by area; the R2 sequence of Roberts 2018 on each face.
    """
    area, _ = face_areas_and_volumes(mesh)
    reached = np.cumsum(area)
    if count < 1 or not len(reached) or not reached[-1] > 0:
        raise InputError(f"mesh must have area and count be 1 or more; received {count!r}.")
    steps = (np.arange(count) + 0.5) / count * reached[-1]
    corners = mesh.vertices[mesh.faces[np.searchsorted(reached, steps)]].astype(np.float64)
    u, v = ((0.5 + step * np.arange(count)) % 1 for step in _STEP)
    over = u + v > 1
    u, v = np.where(over, 1 - u, u)[:, None], np.where(over, 1 - v, v)[:, None]
    places: Floats = corners[:, 0] * (1 - u - v) + corners[:, 1] * u + corners[:, 2] * v
    return places
