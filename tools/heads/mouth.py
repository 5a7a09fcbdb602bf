"""The mouth as an expression leaves it: lips about an opening, teeth, gums and tongue behind it."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from heads.fields import Block, Reals, Vector, join, smooth_max, smooth_min, step, vector
from heads.person import Expression
from heads.shapes import Egg, Tube
from heads.teeth import within

CORNER = vector((26.0, -67.6, 82.5))
MIDDLE = vector((0.0, -66.8, 101.0))
STOPS = np.array([0.0, 0.2, 0.42, 0.65, 0.84, 1.0])  # along half a lip, of its half width
UPPER_RADII = np.array([3.5, 3.8, 3.2, 2.4, 1.5, 0.8])
LOWER_RADII = np.array([4.3, 4.3, 3.7, 2.7, 1.6, 0.8])
RING_RADII = np.array([7.0, 7.0, 6.8, 6.4, 6.0, 5.6])


@dataclass(frozen=True, eq=False)
class Mouth:
    """The opening, by its left corner and the middles of its upper and lower edge, mm.

    `stretch` is what is left of the lips' thickness.
    """

    corner: Vector
    upper: Vector
    lower: Vector
    stretch: float
    expression: Expression

    @staticmethod
    def of(expression: Expression) -> "Mouth":
        """The mouth of an expression."""
        drop = 0.42 * (expression.in_jaw(CORNER) - CORNER)
        moved = (
            expression.corner_out_mm,
            expression.corner_up_mm,
            -0.55 * abs(expression.corner_out_mm),
        )
        upper = MIDDLE + vector((0, expression.lip_up_mm, -0.25 * expression.lip_up_mm))
        lower = expression.in_jaw(MIDDLE - (0, expression.lip_down_mm, 0.4))
        stretch = 1 - 0.25 * expression.smile
        return Mouth(CORNER + drop + moved, upper, lower, stretch, expression)

    @property
    def opened(self) -> bool:
        """Whether one can look between the lips."""
        return bool(self.upper[1] - self.lower[1] > 1.0)

    def edges(self, x: Reals) -> tuple[Reals, Reals]:
        """Height of the upper and the lower edge of the opening at x, mm."""
        f = np.abs(x) * np.float32(1 / self.corner[0])
        arch = 1 - f * f * np.sqrt(np.sqrt(f))
        up, down = self.upper[1] - self.corner[1], self.lower[1] - self.corner[1]
        return (
            (self.corner[1] + up * arch).astype(np.float32),
            (self.corner[1] + down * arch).astype(np.float32),
        )

    @cached_property
    def ring(self) -> tuple[Tube, ...]:
        """The muscle in which the upper and the lower lip lie."""
        behind = RING_RADII + 5.2 - 3.4 * STOPS**2
        return tuple(
            self._rope(RING_RADII, RING_RADII + 1.0, behind, upper=upper, pieces=2)
            for upper in (True, False)
        )

    @cached_property
    def lips(self) -> tuple[Tube, ...]:
        """The red of the upper and the lower lip, from corner to corner."""
        return tuple(
            self._rope(radii, radii * 0.9, radii * 0.8, upper=upper, pieces=3)
            for radii, upper in (
                (UPPER_RADII * self.stretch, True),
                (LOWER_RADII * self.stretch, False),
            )
        )

    def _rope(
        self, radii: Vector, beside: Vector, behind: Vector, *, upper: bool, pieces: int
    ) -> Tube:
        middle = self.upper if upper else self.lower
        x = STOPS * self.corner[0]
        edge = self.edges(x.astype(np.float32))[0 if upper else 1]
        y = edge + (beside if upper else -beside) * (1 - 0.85 * STOPS**4)
        z = middle[2] - (middle[2] - self.corner[2]) * STOPS**2.2 - behind
        half = np.column_stack([x, y, z])
        whole = np.vstack([half[:0:-1] * (-1, 1, 1), half])
        return Tube.through(whole, np.concatenate([radii[:0:-1], radii]), pieces=pieces)


def with_mouth(solid: Reals, block: Block, mouth: Mouth) -> Reals:
    """The head with its mouth."""
    low = vector((-54, mouth.lower[1] - 34, 24))
    high = vector((54, mouth.upper[1] + 34, 122))
    if block.clearance(low, high) > 0:
        return solid
    for rope in mouth.ring:
        solid = join(solid, block, rope, 11)
    if mouth.opened:
        solid = smooth_max(solid, -_hollow(solid, block, mouth), 2.0)
    for rope in mouth.lips:
        solid = join(solid, block, rope, 3)
    if not mouth.opened:
        return _parted(solid, block, mouth)
    return smooth_min(solid, within(block, mouth.expression), 1.6)


def _parted(solid: Reals, block: Block, mouth: Mouth) -> Reals:
    """The line between closed lips."""
    x = np.abs(block.x) * np.float32(1 / mouth.corner[0])
    line, _ = mouth.edges(block.x)
    line = line - np.float32(0.7) * np.exp(-((block.x / 4.5) ** 2))
    deep = 1.9 * step(1.2, 0.7, x) * step(72, 78, block.z)
    parted: Reals = solid + deep * np.exp(-(((block.y - line) / np.float32(1.0)) ** 2))
    return parted


def _hollow(solid: Reals, block: Block, mouth: Mouth) -> Reals:
    """What is cut out between the lips, and behind them where 4 mm of cheek are left."""
    upper, lower = mouth.edges(block.x)
    between = np.maximum(block.y - upper, lower - block.y) * np.float32(0.85)
    middle, half = (mouth.upper[1] + mouth.lower[1]) / 2, (mouth.upper[1] - mouth.lower[1]) / 2
    x, z = block.x * np.float32(1 / 24.5), (block.z - 58) * np.float32(1 / 35.5)
    arch = (np.sqrt(x * x + z * z) - 1) * np.float32(24.5)
    behind = smooth_max(arch, np.maximum(between, 54 - block.z), 4)
    plug = Egg.at((0, middle, 64), (25, half + 8, 33)).distance(block)
    behind = smooth_max(behind, np.minimum(solid, plug) + np.float32(4), 3)
    throat = Egg.at((0, middle + 1, 62), (15, half + 2, 22)).distance(block)
    hollow: Reals = np.minimum(np.minimum(np.maximum(between, 80 - block.z), behind), throat)
    return hollow
