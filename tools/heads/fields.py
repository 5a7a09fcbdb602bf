"""Solids as distances: what lies where, below zero inside, and how solids melt into one another.

Everything is evaluated for a small block of places at once. A shape knows the box it lies in, so
that `join`, `cut` and `swell` leave out, exactly, what is too far from the block to matter.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

Reals = NDArray[np.float32]
Vector = NDArray[np.float64]


def vector(numbers: ArrayLike) -> Vector:
    """Three numbers, or one for all three axes, as (3,)."""
    return np.broadcast_to(np.asarray(numbers, np.float64), (3,)).copy()


@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """A block of places, (n,) on each axis in mm, and the box that holds them."""

    x: Reals
    y: Reals
    z: Reals
    low: Vector
    high: Vector

    @staticmethod
    def of(x: ArrayLike, y: ArrayLike, z: ArrayLike) -> "Block":
        """A block of at least one place."""
        a, b, c = (np.asarray(axis, np.float32) for axis in (x, y, z))
        low = vector((a.min(), b.min(), c.min()))
        high = vector((a.max(), b.max(), c.max()))
        return Block(a, b, c, low, high)

    def mirrored(self) -> "Block":
        """The same places seen in the mirror: left is right."""
        low, high = self.low.copy(), self.high.copy()
        low[0], high[0] = -self.high[0], -self.low[0]
        return Block(-self.x, self.y, self.z, low, high)

    def clearance(self, low: Vector, high: Vector) -> float:
        """The least distance there can be between a place of the block and a box, mm."""
        gap = np.maximum(np.maximum(low - self.high, self.low - high), 0.0).tolist()
        return float((gap[0] ** 2 + gap[1] ** 2 + gap[2] ** 2) ** 0.5)

    def clearances(self, lows: Vector, highs: Vector) -> Vector:
        """The same for many boxes, each (b, 3)."""
        gaps = np.maximum(np.maximum(lows - self.high, self.low - highs), 0.0)
        most: Vector = np.sqrt((gaps * gaps).sum(1))
        return most

    def from_centre(self, centre: Vector, turn: Vector | None = None) -> tuple[Reals, Reals, Reals]:
        """Places as seen from a centre; `turn` has the local axes as its columns."""
        x = self.x - np.float32(centre[0])
        y = self.y - np.float32(centre[1])
        z = self.z - np.float32(centre[2])
        if turn is None:
            return x, y, z
        t = turn.astype(np.float32)
        return (
            x * t[0, 0] + y * t[1, 0] + z * t[2, 0],
            x * t[0, 1] + y * t[1, 1] + z * t[2, 1],
            x * t[0, 2] + y * t[1, 2] + z * t[2, 2],
        )


class Shape(Protocol):
    """A solid: the box that it lies in, and the distance to its surface."""

    @property
    def low(self) -> Vector:
        """Lowest corner of its box, mm."""

    @property
    def high(self) -> Vector:
        """Highest corner of its box, mm."""

    def distance(self, block: Block, within: float = np.inf) -> Reals:
        """Distance to the surface, mm; below zero inside; beyond `within` any number beyond it."""


# A feature's solid melted onto what is there; told the side, 1 left or -1 right.
Feature = Callable[[Reals, Block, float], Reals]


def smooth_min(one: Reals, other: Reals, melt: float) -> Reals:
    """The lesser of two distances, rounded where they differ by less than `melt` mm."""
    near = np.maximum(np.float32(melt) - np.abs(one - other), np.float32(0))
    lesser: Reals = np.minimum(one, other) - near * near * np.float32(0.25 / melt)
    return lesser


def smooth_max(one: Reals, other: Reals, melt: float) -> Reals:
    """The greater of two distances, rounded where they differ by less than `melt` mm."""
    near = np.maximum(np.float32(melt) - np.abs(one - other), np.float32(0))
    greater: Reals = np.maximum(one, other) + near * near * np.float32(0.25 / melt)
    return greater


def join(solid: Reals, block: Block, shape: Shape, melt: float) -> Reals:
    """The solid with a shape melted on."""
    within = float(solid.max()) + melt
    if block.clearance(shape.low, shape.high) > within:
        return solid
    return smooth_min(solid, shape.distance(block, within), melt)


def cut(solid: Reals, block: Block, shape: Shape, melt: float) -> Reals:
    """The solid with a shape taken away, its edge rounded."""
    within = melt - float(solid.min())
    if block.clearance(shape.low, shape.high) > within:
        return solid
    return smooth_max(solid, -shape.distance(block, within), melt)


def both_sides(solid: Reals, block: Block, feature: Feature) -> Reals:
    """A feature of the left side (x above 0), made on both; it is told the side, 1 or -1."""
    solid = feature(solid, block, 1.0)
    return feature(solid, block.mirrored(), -1.0)


def step(start: float, end: float, value: Reals) -> Reals:
    """0 before `start`, 1 after `end`, smooth between; `start` may be the greater."""
    t = np.clip((value - np.float32(start)) * np.float32(1 / (end - start)), 0, 1)
    smooth: Reals = t * t * (3 - 2 * t)
    return smooth


def turned(pitch: float = 0.0, yaw: float = 0.0, roll: float = 0.0) -> Vector:
    """Axes turned about x, then y, then z (degrees), as the columns of a (3, 3)."""
    (cx, cy, cz), (sx, sy, sz) = (f(np.radians([pitch, yaw, roll])) for f in (np.cos, np.sin))
    about_x = np.array([[1, 0, 0], [0, cx, -sx], [0, sx, cx]])
    about_y = np.array([[cy, 0, sy], [0, 1, 0], [-sy, 0, cy]])
    about_z = np.array([[cz, -sz, 0], [sz, cz, 0], [0, 0, 1]])
    axes: Vector = about_z @ about_y @ about_x
    return axes
