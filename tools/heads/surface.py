"""From a solid to a closed mesh: sampled near its surface only, cut into triangles, thinned."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from heads.fields import Block, Reals, Vector, vector

Solid = Callable[[Block], Reals]
Faces = NDArray[np.int32]
Steps = NDArray[np.int64]

CELLS = 4  # a cell block's side
GROUP = 8  # cell blocks beside one another that are looked at together
STEEPEST = 1.3  # how much faster than a place moves a solid's number may change
# The grid starts off any round number, so that few of its places lie on a surface exactly.
OFF_ROUND = 0.137
BALL = 2  # Euler's number of a surface without a way through it
LEAST_SHARE = 0.03  # of the spacing: no place of the grid is taken to lie nearer the surface
# How hard triangles are thinned: the next one is tried where one leaves an edge with three faces.
THINNING = (5.0, 7.0, 4.0, 3.0, 6.0, 8.0)
LEAST_AREA = 1e-7  # of a triangle, mm²: below, it is taken for none


class NotClosedError(RuntimeError):
    """A mesh that should be closed is not."""


@dataclass(frozen=True, slots=True, eq=False)
class Surface:
    """A mesh: vertices (n, 3) in mm, and faces (f, 3), anticlockwise seen from outside."""

    vertices: Vector
    faces: Faces


def meshed(
    solid: Solid, low: ArrayLike, high: ArrayLike, spacing: float, *, pinholes: bool = True
) -> Surface:
    """The largest piece of a solid as triangles with sides of about `spacing` mm.

    Parameters
    ----------
    solid
        The number of each place: below zero inside, about the distance to the surface near it.
    low, high
        The box that holds the surface, mm.
    spacing
        Between two places of the grid, mm.
    pinholes
        Whether ways through it that are a cell or two wide may stay; else they are filled.

    Raises
    ------
    NotClosedError
        If the surface leaves the box, or the solid's number changes too fast.

    Source
    ------
    Marching cubes after Lewiner et al. 2003, as scikit-image has them.
    """
    from skimage.measure import marching_cubes

    corner = vector(low) + OFF_ROUND * spacing
    grid = _sampled(solid, corner, vector(high), spacing)
    _keep_one_piece(grid)
    # A place of the grid on the surface itself would make triangles without area.
    least = np.float32(LEAST_SHARE * spacing)
    grid = np.where(np.abs(grid) < least, np.where(grid < 0, -least, least), grid)
    cubes: Any = marching_cubes
    vertices, faces, _, _ = cubes(grid, 0.0)
    has_ways = 2 * len(vertices) - len(faces) != 2 * BALL
    if not pinholes and has_ways and _fill_pinholes(grid):
        vertices, faces, _, _ = cubes(grid, 0.0)
    surface = Surface(vertices.astype(np.float64) * spacing + corner, faces.astype(np.int32))
    if not is_closed(surface.faces):
        raise NotClosedError("The surface must lie inside the box and be closed; it is open.")
    return surface


def _sampled(solid: Solid, low: Vector, high: Vector, spacing: float) -> Reals:
    """The solid's numbers on a grid: exact beside its surface, of the right sign elsewhere."""
    side = CELLS * GROUP
    groups = np.ceil((high - low) / (spacing * side)).astype(int)
    grid = np.zeros(groups * side, np.float32)
    far, near = (spacing * (STEEPEST * cells * np.sqrt(3) / 2 + 1) for cells in (side, CELLS))
    inside = _lattice(CELLS)
    middles = _lattice(GROUP) * CELLS + (CELLS - 1) / 2
    for index in np.ndindex(*groups):
        first = np.array(index) * side
        here = grid[tuple(slice(i, i + side) for i in first)]
        value = float(_ask(solid, low + spacing * (first + np.full((1, 3), (side - 1) / 2)))[0])
        if abs(value) > far:
            here[...] = value
            continue
        coarse = _ask(solid, low + spacing * (first + middles)).reshape((GROUP,) * 3)
        here[...] = coarse.repeat(CELLS, 0).repeat(CELLS, 1).repeat(CELLS, 2)
        close = np.argwhere(np.abs(coarse) < near) * CELLS
        if len(close):
            cells = (close[:, None] + inside).reshape(-1, 3)
            here[tuple(cells.T)] = _ask(solid, low + spacing * (first + cells))
    return grid


def _lattice(side: int) -> Steps:
    steps = np.arange(side)
    return np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), -1).reshape(-1, 3)


def _ask(solid: Solid, places: Vector) -> Reals:
    return solid(Block.of(*places.T))


def _keep_one_piece(grid: Reals) -> None:
    """Leave the largest solid and nothing hollow in it; what else there is changes its sign."""
    from scipy.ndimage import label

    for sign in (1, -1):
        pieces, count = label(sign * grid < 0)
        if count > 1:
            sizes = np.bincount(pieces.ravel())
            sizes[0] = 0
            stray = (pieces > 0) & (pieces != sizes.argmax())
            grid[stray] *= -1


def _fill_pinholes(grid: Reals) -> bool:
    """Fill ways through a solid that are a cell or two wide; whether there were any.

    In the corner of an eye two folds meet: by chance of the grid a pinhole leads under the skin.
    """
    from scipy.ndimage import binary_closing, find_objects, label
    from skimage.measure import euler_number

    euler: Any = euler_number
    solid = grid < 0
    gaps, _ = label(binary_closing(solid) & ~solid, np.ones((3, 3, 3)))
    found = False
    for number, box in enumerate(find_objects(gaps), start=1):
        around = tuple(slice(max(side.start - 2, 0), side.stop + 2) for side in box)
        gap = gaps[around] == number
        before, after = solid[around], solid[around] | gap
        if euler(after, connectivity=1) > euler(before, connectivity=1):
            grid[around][gap] *= -1
            found = True
    return found


def is_closed(faces: Faces) -> bool:
    """Whether each edge has one face on either side, and they face the same way."""
    ends = faces[:, [0, 1, 1, 2, 2, 0]].reshape(-1, 2).astype(np.int64)
    count = int(faces.max()) + 1
    forward = np.sort(ends[:, 0] * count + ends[:, 1])
    backward = np.sort(ends[:, 1] * count + ends[:, 0])
    once = (forward[1:] != forward[:-1]).all()
    return bool(once and np.array_equal(forward, backward))


def smallest_area(surface: Surface) -> float:
    """Of its triangles, mm²."""
    a, b, c = (surface.vertices[surface.faces[:, corner]] for corner in range(3))
    return float(np.linalg.norm(np.cross(b - a, c - a), axis=1).min() / 2)


def thinned(surface: Surface, most: int) -> Surface:
    """The same surface with about so many triangles at most, the finer the more it bends.

    Raises
    ------
    NotClosedError
        If every way to thin it leaves it open, or with a triangle of no area.

    Source
    ------
    Quadric error metrics after Garland & Heckbert 1997, as fast-simplification has them.
    """
    from fast_simplification import simplify

    if len(surface.faces) <= most:
        return surface
    single = surface.vertices.astype(np.float32)
    for aggression in THINNING:
        vertices, faces = simplify(single, surface.faces, target_count=most, agg=aggression)
        thin = Surface(vertices.astype(np.float64), faces.astype(np.int32))
        if len(faces) <= 1.02 * most and is_closed(faces) and smallest_area(thin) > LEAST_AREA:
            return thin
    raise NotClosedError(
        f"The surface must stay closed with {most} triangles that have an area; it does not."
    )
