"""The shapes that a head and its parts are melted together from; lengths in mm."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import ArrayLike

from heads.curves import Track, spline
from heads.fields import Block, Reals, Vector, vector

REACH = 3.8  # of a bell's widths: beyond, it is below 0.1 % of its height


@dataclass(frozen=True, slots=True, eq=False)
class Egg:
    """An ellipsoid; its distance is exact on the surface and good to a few per cent beside it."""

    centre: Vector
    radii: Vector
    turn: Vector | None
    low: Vector
    high: Vector

    @staticmethod
    def at(centre: ArrayLike, radii: ArrayLike, turn: Vector | None = None) -> "Egg":
        """An ellipsoid at a centre; `turn` has its axes as columns."""
        middle, half = vector(centre), vector(radii)
        axes = np.eye(3) if turn is None else turn
        reach = np.sqrt((axes * half) ** 2 @ np.ones(3))
        return Egg(middle, half, turn, middle - reach, middle + reach)

    def distance(self, block: Block, _within: float = np.inf) -> Reals:
        """As `Shape` says."""
        x, y, z = block.from_centre(self.centre, self.turn)
        a, b, c = (np.float32(1 / radius) for radius in self.radii)
        x, y, z = x * a, y * b, z * c
        size = np.sqrt(x * x + y * y + z * z)
        x, y, z = x * a, y * b, z * c
        slope = np.sqrt(x * x + y * y + z * z)
        distance: Reals = size * (size - 1) / np.maximum(slope, np.float32(1e-6))
        return distance


@dataclass(frozen=True, slots=True, eq=False)
class Tube:
    """A round rope along a curve, its radius changing on the way."""

    track: Track
    low: Vector
    high: Vector

    @staticmethod
    def through(points: ArrayLike, radii: ArrayLike, *, pieces: int = 4) -> "Tube":
        """A rope through points, each with its radius; `pieces` straight ones between two."""
        places = np.asarray(points, np.float64)
        thick = np.broadcast_to(np.asarray(radii, np.float64), len(places))
        track = Track.of(spline(np.column_stack([places, thick]), pieces))
        reach = track.rows[:, 3:4]
        return Tube(track, (track.rows[:, :3] - reach).min(0), (track.rows[:, :3] + reach).max(0))

    def distance(self, block: Block, within: float = np.inf) -> Reals:
        """As `Shape` says."""
        return self.track.distance(block, within)


@dataclass(frozen=True, slots=True, eq=False)
class Slab:
    """A box with rounded edges, turned anyhow."""

    centre: Vector
    half: Vector
    rounding: float
    turn: Vector | None
    low: Vector
    high: Vector

    @staticmethod
    def at(
        centre: ArrayLike, half: ArrayLike, rounding: float, turn: Vector | None = None
    ) -> "Slab":
        """A box by its centre and half its sizes, rounding included."""
        middle, size = vector(centre), vector(half)
        axes = np.eye(3) if turn is None else turn
        reach = np.abs(axes) @ size
        return Slab(middle, size, rounding, turn, middle - reach, middle + reach)

    def distance(self, block: Block, _within: float = np.inf) -> Reals:
        """As `Shape` says; exact."""
        inner = (self.half - self.rounding).astype(np.float32)
        x, y, z = (
            np.abs(axis) - size
            for axis, size in zip(block.from_centre(self.centre, self.turn), inner, strict=True)
        )
        outside = np.sqrt(sum(np.maximum(axis, 0) ** 2 for axis in (x, y, z)))
        inside = np.minimum(np.maximum(np.maximum(x, y), z), 0)
        distance: Reals = outside + inside - np.float32(self.rounding)
        return distance


@dataclass(frozen=True, slots=True, eq=False)
class Rod:
    """A round rod with flat ends: a bore, a shaft, a disc."""

    start: Vector
    along: Vector
    length: float
    radius: float
    low: Vector
    high: Vector

    @staticmethod
    def between(start: ArrayLike, end: ArrayLike, radius: float) -> "Rod":
        """A rod from one end's middle to the other's."""
        one, other = vector(start), vector(end)
        length = float(np.linalg.norm(other - one))
        along = (other - one) / length
        reach = radius * np.sqrt(np.maximum(1 - along**2, 0))
        return Rod(
            one,
            along,
            length,
            radius,
            np.minimum(one, other) - reach,
            np.maximum(one, other) + reach,
        )

    def distance(self, block: Block, _within: float = np.inf) -> Reals:
        """As `Shape` says; exact."""
        x, y, z = block.from_centre(self.start)
        a, b, c = self.along.astype(np.float32)
        height = x * a + y * b + z * c
        across = np.sqrt(np.maximum(x * x + y * y + z * z - height * height, 0))
        side = across - np.float32(self.radius)
        end = np.abs(height - np.float32(self.length / 2)) - np.float32(self.length / 2)
        outside = np.sqrt(np.maximum(side, 0) ** 2 + np.maximum(end, 0) ** 2)
        distance: Reals = outside + np.minimum(np.maximum(side, end), 0)
        return distance


@dataclass(frozen=True, slots=True, eq=False)
class Bell:
    """A soft hill or hollow: how much skin is added, falling off from a centre as a bell."""

    centre: Vector
    width: Vector
    height: float
    turn: Vector | None = field(default=None)

    @staticmethod
    def at(
        centre: ArrayLike, width: ArrayLike, height: float, turn: Vector | None = None
    ) -> "Bell":
        """A hill of `height` mm (below 0 a hollow), of the given standard widths."""
        return Bell(vector(centre), vector(width), height, turn)

    def swell(self, solid: Reals, block: Block) -> Reals:
        """The solid with the hill added."""
        reach = self.width if self.turn is None else vector(self.width.max())
        if block.clearance(self.centre - REACH * reach, self.centre + REACH * reach) > 0:
            return solid
        return solid - np.float32(self.height) * self.weight(block)

    def weight(self, block: Block) -> Reals:
        """How much of the hill is left at each place, 0 to 1."""
        x, y, z = block.from_centre(self.centre, self.turn)
        a, b, c = (np.float32(1 / width) for width in self.width)
        weight: Reals = np.exp(((x * a) ** 2 + (y * b) ** 2 + (z * c) ** 2) * np.float32(-0.5))
        return weight


@dataclass(frozen=True, slots=True, eq=False)
class Crease:
    """A groove along a curve in the skin, with the flesh swelling beside it.

    The curve's fourth number is the depth there, mm; `swell_mm` is how much of each mm comes up
    on the side of `towards`.
    """

    track: Track
    width: float
    towards: Vector
    beside: float
    reach: float
    low: Vector
    high: Vector

    @staticmethod
    def along(  # noqa: PLR0913
        points: ArrayLike,
        depths: ArrayLike,
        width: float,
        *,
        towards: ArrayLike = (0, 1, 0),
        beside: float = 0.0,
        pieces: int = 5,
    ) -> "Crease":
        """A groove through points in the skin; depths below 0 make a ridge."""
        places = np.asarray(points, np.float64)
        deep = np.broadcast_to(np.asarray(depths, np.float64), len(places))
        track = Track.of(spline(np.column_stack([places, deep]), pieces))
        reach = REACH * width * (2.4 if beside else 1.0)
        return Crease(
            track,
            width,
            vector(towards) / np.linalg.norm(vector(towards)),
            beside,
            reach,
            track.rows[:, :3].min(0) - reach,
            track.rows[:, :3].max(0) + reach,
        )

    def swell(self, solid: Reals, block: Block) -> Reals:
        """The solid with the groove pressed in."""
        if block.clearance(self.low, self.high) > 0:
            return solid
        away, depth, offset = self.track.nearest(block, self.towards, self.reach)
        groove = np.exp(-((away * np.float32(1 / self.width)) ** 2))
        if self.beside:
            far = away - np.float32(1.7 * self.width)
            side = step_side(offset * np.float32(1 / self.width))
            groove = groove - np.float32(self.beside) * side * np.exp(
                -((far * np.float32(1 / (1.5 * self.width))) ** 2)
            )
        pressed: Reals = solid + depth * groove
        return pressed


def step_side(offset: Reals) -> Reals:
    """0 on one side of a groove and 1 on the other, smooth across a width."""
    t = np.clip(offset * np.float32(0.5) + np.float32(0.5), 0, 1)
    smooth: Reals = t * t * (3 - 2 * t)
    return smooth
