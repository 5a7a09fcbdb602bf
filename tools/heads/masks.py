"""What is worn over the face, in the head's own coordinates: it fits the bare head underneath."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

import numpy as np

from heads.bones import bare_head
from heads.fields import Block, Reals, Vector, smooth_max, smooth_min, step, vector
from heads.head import Head
from heads.landmarks import Key
from heads.nose import with_nose
from heads.sculpts import AT_ONE_MM, FINER
from heads.surface import Solid, Surface, meshed, thinned
from heads.warps import before

GAP_MM = 0.9  # between the skin and what is worn, full size
WALL_MM = 4.2  # at least so thick: 0.7 mm at 1:6
EYE_HOLE = (17.5, 9.5)  # half its width and height, mm
ROUND_HOLE = (15.0, 15.0)
VISOR_AXIS = (4.0, 4.0)  # y, z: the raised mask swings about it
VISOR_RADII = (92.0, 131.0)  # outside: along the axis, and about it
VISOR_FROM_DEG, VISOR_TO_DEG = 36.0, 72.0
VISOR_FRONT = 34.0  # nothing of it lies farther back, as it is worn
LOW, HIGH = vector((-112, -110, -40)), vector((112, 172, 160))

Worn = Callable[[Head], Solid]


def half(head: Head) -> Solid:
    """The enamel half-mask over brow and nose."""

    def solid(block: Block) -> Reals:
        x = np.abs(block.x)
        lower = np.float32(-43) + 26 * step(9, 33, x) - 4 * step(40, 66, x)
        upper = np.float32(37) - 9 * step(30, 66, x) - 3 * np.exp(-((x / 9) ** 2))
        edge = np.maximum(np.maximum(lower - block.y, block.y - upper), 31 - block.z)
        return _shell(head, block, edge.astype(np.float32), WALL_MM, EYE_HOLE)

    return solid


def full(head: Head) -> Solid:
    """The flood mask from brow to lower lip, with round windows and a box to breathe through."""

    def solid(block: Block) -> Reals:
        x = np.abs(block.x)
        edge = np.maximum(np.maximum(-72 - block.y, block.y - 35 + 0.002 * x * x), 12 - block.z)
        shell = _shell(head, block, edge.astype(np.float32), WALL_MM + 1.5, ROUND_HOLE)
        off = [np.maximum(x - 15, 0), np.maximum(np.abs(block.y + 56) - 10, 0)]
        off.append(np.maximum(np.abs(block.z - 112) - 9, 0))
        box = np.sqrt(sum(part * part for part in off)) - np.float32(3)
        both = smooth_min(shell, box.astype(np.float32), 2.0)
        # The fillet between the two reaches inward too: it clears the skin as they do.
        worn: Reals = smooth_max(both, np.float32(GAP_MM) - head.solid(block), 0.6)
        return worn

    return solid


def raised(_: Head) -> Solid:
    """The flood mask swung up on its hinges, clear of the brow."""

    def solid(block: Block) -> Reals:
        y, z = block.y - np.float32(VISOR_AXIS[0]), block.z - np.float32(VISOR_AXIS[1])
        along, about = VISOR_RADII
        outside = _egg(block.x, y, z, along, about)
        inside = _egg(block.x, y, z, along - WALL_MM, about - WALL_MM)
        low, high = np.radians([VISOR_FROM_DEG, VISOR_TO_DEG])
        edge = np.maximum(z * np.sin(low) - y * np.cos(low), y * np.cos(high) - z * np.sin(high))
        middle = (low + high) / 2
        edge = np.maximum(edge, VISOR_FRONT - z * np.cos(middle) - y * np.sin(middle))
        shell = smooth_max(outside, -inside, 0.8)
        worn: Reals = smooth_max(shell, edge.astype(np.float32), 1.2).astype(np.float32)
        return worn

    return solid


@dataclass(frozen=True, slots=True)
class Mask:
    """A mask, as a mesh of its own in the coordinates of the level head without it.

    Attributes
    ----------
    id
        The part's in the line's tables.
    worn
        What makes its solid.
    """

    id: str
    worn: Worn
    landmarks: Mapping[Key, Vector] = field(default_factory=dict)

    def surface(self, triangles: int) -> Surface:
        """Its mesh with about so many triangles at most, full-size mm."""
        spacing = float(np.sqrt(AT_ONE_MM / (triangles * FINER)))
        return thinned(meshed(self.worn(Head("level")), LOW, HIGH, max(spacing, 0.6)), triangles)


MASKS = {"half": Mask("msk-a", half), "raised": Mask("msk-b", raised), "full": Mask("msk-c", full)}


def _egg(x: Reals, y: Reals, z: Reals, along: float, about: float) -> Reals:
    a, b = np.float32(1 / along), np.float32(1 / about)
    near: Reals = (np.sqrt(x * x * a * a + (y * y + z * z) * b * b) - 1) * np.float32(along)
    return near


def _shell(head: Head, block: Block, edge: Reals, wall: float, hole: tuple[float, float]) -> Reals:
    """A wall that follows the face's big forms outside and clears its skin inside."""
    skin = head.solid(block)
    moved = before(head.warp, block)
    big = with_nose(bare_head(moved, head.expression), moved)
    outside = smooth_min(big - np.float32(wall + GAP_MM), skin - np.float32(wall + GAP_MM), 4.0)
    shell = smooth_max(outside, np.float32(GAP_MM) - skin, 0.6)
    x, y = np.abs(block.x) - np.float32(31.5), block.y + np.float32(1)
    window = (np.sqrt((x / hole[0]) ** 2 + (y / hole[1]) ** 2) - 1) * np.float32(min(hole))
    shell = smooth_max(shell, -window.astype(np.float32), 1.5)
    worn: Reals = smooth_max(shell, edge, 1.5)
    return worn
