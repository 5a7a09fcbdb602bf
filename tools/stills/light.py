"""How light falls on the subject: a soft main light, a sky, what the ground throws back, shine.

Worked out at the vertices, which lie closer together than the pixels of a still.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Reals = NDArray[np.float64]

SKY, GROUND = (0.55, 0.62, 0.72), (0.34, 0.28, 0.22)
MAIN = (2.5, 2.25, 1.95)
FILL = 0.22
MAIN_WIDTH_DEG = 11.0  # the main light is a window, not a point
MAIN_PARTS, SKY_PARTS = 12, 96
# Light that goes into skin comes out farther on, red the farthest.
WRAP = np.array([0.34, 0.20, 0.15])
CELL_MM = 1.6  # of the maps that tell what stands in the light
STANDS_OFF_MM = 2.4


@dataclass(frozen=True, slots=True, eq=False)
class Bodies:
    """All that stands there as one mesh: places, faces, ways out, colours and shine of places."""

    vertices: Reals
    faces: NDArray[np.int32]
    outward: Reals
    colour: Reals
    shine: Reals


def outward(vertices: Reals, faces: NDArray[np.int32]) -> Reals:
    """Unit way out at each vertex, the mean of its faces by area."""
    a, b, c = (vertices[faces[:, k]] for k in range(3))
    across = np.cross(b - a, c - a)
    total = np.zeros_like(vertices)
    for corner in range(3):
        for axis in range(3):
            total[:, axis] += np.bincount(
                faces[:, corner], across[:, axis], minlength=len(vertices)
            )
    unit: Reals = total / np.maximum(np.linalg.norm(total, axis=1, keepdims=True), 1e-12)
    return unit


def direction(to_left_deg: float, above_deg: float) -> Reals:
    """The unit way towards a light."""
    yaw, pitch = np.radians([to_left_deg, above_deg])
    way: Reals = np.array([np.sin(yaw) * np.cos(pitch), np.sin(pitch), np.cos(yaw) * np.cos(pitch)])
    return way


def sky(bodies: Bodies) -> Reals:
    """What comes from all sides, (n, 3)."""
    total = np.zeros_like(bodies.vertices)
    for way in _all_round(SKY_PARTS):
        up = (way[1] + 1) / 2
        shade = up * np.array(SKY) + (1 - up) * 0.5 * np.array(GROUND)
        facing = np.clip(bodies.outward @ way, 0, 1) * lit(bodies.vertices, way)
        total += facing[:, None] * shade
    lit_sky: Reals = total * (4 / SKY_PARTS)
    return lit_sky


def shaded(bodies: Bodies, from_all: Reals, main_deg: tuple[float, float], lens: Reals) -> Reals:
    """The light that each vertex sends to the lens, (n, 3); linear, about 0 to 1."""
    middle = direction(*main_deg)
    main, shine = np.zeros_like(bodies.vertices), np.zeros(len(bodies.vertices))
    to_lens = lens - bodies.vertices
    to_lens /= np.linalg.norm(to_lens, axis=1, keepdims=True)
    for way in _about(middle, np.radians(MAIN_WIDTH_DEG), MAIN_PARTS):
        free = lit(bodies.vertices, way)
        facing = (bodies.outward @ way)[:, None]
        main += np.clip((facing + WRAP) / (1 + WRAP), 0, None) ** 1.4 * free[:, None]
        half = way + to_lens
        half /= np.linalg.norm(half, axis=1, keepdims=True)
        shine += np.clip((bodies.outward * half).sum(1), 0, 1) ** 26 * free
    fill = np.clip(bodies.outward @ (middle * (-1, 0.3, 1)), 0, 1)[:, None] * FILL
    light = from_all + (main / MAIN_PARTS + fill) * np.array(MAIN)
    sent: Reals = bodies.colour * light * 0.62 + (bodies.shine * shine / MAIN_PARTS)[:, None] * 0.55
    return sent


def lit(vertices: Reals, way: Reals) -> Reals:
    """Whether nothing stands between each vertex and a far light, 0 or 1."""
    side = np.cross(way, (0.0, 1.0, 0.0) if abs(way[1]) < 0.9 else (1.0, 0.0, 0.0))
    side /= np.linalg.norm(side)
    across = vertices @ np.stack([side, np.cross(way, side)], 1)
    cell = ((across - across.min(0)) / CELL_MM).astype(np.int64)
    columns = int(cell[:, 1].max()) + 1
    index = cell[:, 0] * columns + cell[:, 1]
    along = vertices @ way
    front = np.full(int(index.max()) + 1, -np.inf)
    np.maximum.at(front, index, along)
    free: Reals = (along > front[index] - STANDS_OFF_MM).astype(np.float64)
    return free


def _all_round(count: int) -> Reals:
    """Directions spread evenly over the sphere."""
    k = np.arange(count) + 0.5
    y, turn = 1 - 2 * k / count, np.pi * (1 + 5**0.5) * k
    flat = np.sqrt(1 - y * y)
    return np.stack([flat * np.cos(turn), y, flat * np.sin(turn)], 1)


def _about(middle: Reals, width_rad: float, count: int) -> Reals:
    """Directions spread evenly about one."""
    k = np.arange(count) + 0.5
    off, turn = np.tan(width_rad) * np.sqrt(k / count), np.pi * (1 + 5**0.5) * k
    side = np.cross(middle, (0.0, 1.0, 0.0))
    side /= np.linalg.norm(side)
    up = np.cross(side, middle)
    ways = middle + off[:, None] * (np.cos(turn)[:, None] * side + np.sin(turn)[:, None] * up)
    unit: Reals = ways / np.linalg.norm(ways, axis=1, keepdims=True)
    return unit
