"""A triangle mesh: places, and the three of each face, anticlockwise as seen from outside."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sixwright.kernel.errors import InputError
from sixwright.numerics.rotations import Floats

Vertices = NDArray[np.float32] | NDArray[np.float64]
Ints = NDArray[np.int32]
Longs = NDArray[np.int64]
Flags = NDArray[np.bool_]

# So many faces at once that their corners stay in a processor's cache: five times as fast as all
# of five million together, and a tenth of the memory.
BLOCK = 1 << 15
_ROW = 256


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Triangles in space; equal only to itself, because five million are not compared in passing.

    Attributes
    ----------
    vertices
        (n, 3), finite, float32 or float64, in a length unit of the caller's.
    faces
        (f, 3), int32, each 0 to n - 1.

    Raises
    ------
    InputError
        If a shape, a type, a place or an index is not so.
    """

    vertices: Vertices
    faces: Ints

    def __post_init__(self) -> None:
        vertices, faces = self.vertices, self.faces
        _check_shape("vertices", vertices, ("float32", "float64"))
        _check_shape("faces", faces, ("int32",))
        if len(faces) and (faces.min() < 0 or faces.max() >= len(vertices)):
            raise InputError(
                f"faces must name vertices 0 to {len(vertices) - 1}; "
                f"received {faces.min()} to {faces.max()}."
            )
        if len(vertices) and not np.isfinite(vertices.min() + vertices.max()):
            raise InputError("vertices must be finite; received some that are not.")
        for name, array in (("vertices", vertices), ("faces", faces)):
            seen = np.ascontiguousarray(array).view()
            seen.flags.writeable = False
            object.__setattr__(self, name, seen)


def _check_shape(name: str, array: NDArray[np.generic], kinds: tuple[str, ...]) -> None:
    if array.ndim != 2 or array.shape[1] != 3 or array.dtype.name not in kinds:
        raise InputError(
            f"{name} must be an array of shape (count, 3) of {' or '.join(kinds)}; "
            f"received {array.shape!r} of {array.dtype.name}."
        )


def blocks(mesh: Mesh) -> Iterator[tuple[slice, Floats, Floats, Floats]]:
    """A block of faces after another, with the places of their three corners, each (block, 3)."""
    for start in range(0, len(mesh.faces), BLOCK):
        of = mesh.faces[start : start + BLOCK]
        first, second, third = (
            mesh.vertices.take(of[:, corner], axis=0, mode="clip").astype(np.float64)
            for corner in range(3)
        )
        yield slice(start, start + len(of)), first, second, third


def bounds(mesh: Mesh) -> tuple[Floats, Floats]:
    """Lowest and highest place of the vertices on each axis, (3,) and (3,).

    Raises
    ------
    InputError
        If there is no vertex.
    """
    if not len(mesh.vertices):
        raise InputError("vertices must be one or more; received none.")
    # Rows of many vertices are gone through eight times as fast as rows of three numbers.
    whole = len(mesh.vertices) - len(mesh.vertices) % _ROW
    rows = mesh.vertices[:whole].reshape(-1, 3 * _ROW)
    left = mesh.vertices[whole:]
    parts = [left] if not whole else [left, rows.min(axis=0).reshape(-1, 3)]
    low: Floats = np.concatenate(parts).min(axis=0).astype(np.float64)
    parts = [left] if not whole else [left, rows.max(axis=0).reshape(-1, 3)]
    return low, np.concatenate(parts).max(axis=0).astype(np.float64)
