"""What moves the finished head: his own lopsidedness, a sculptor's hand, and faults on purpose.

A drag takes the flesh about a place along with it, as a bell falls off. A head is asked backwards
(where was this place before?), its landmarks forwards (where does this place go?).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from heads.fields import Block, Vector, vector
from heads.person import Expression

REACH = 4.5  # of a drag's widths


@dataclass(frozen=True, slots=True, eq=False)
class Drag:
    """Flesh drawn along: what was `move` before `arrives` comes to lie there, mm."""

    arrives: Vector
    width: Vector
    move: Vector

    @staticmethod
    def to(arrives: ArrayLike, width: ArrayLike, move: ArrayLike) -> "Drag":
        """A drag that ends at a place; it moves less than its width, or places would cross."""
        return Drag(vector(arrives), vector(width), vector(move))

    def before(self, block: Block) -> Block:
        """Where the block's places were."""
        reach = REACH * self.width
        if block.clearance(self.arrives - reach, self.arrives + reach) > 0:
            return block
        x, y, z = (
            axis * np.float32(1 / width)
            for axis, width in zip(block.from_centre(self.arrives), self.width, strict=True)
        )
        away = x * x + y * y + z * z
        weight = np.exp(away * np.float32(-0.5))
        a, b, c = self.move.astype(np.float32)
        return Block.of(block.x - a * weight, block.y - b * weight, block.z - c * weight)


@dataclass(frozen=True, slots=True, eq=False)
class Waves:
    """Flesh that is a little off everywhere: w waves through space, each with its own way to push.

    Attributes
    ----------
    ways
        (w, 3): radians a mm.
    phases
        (w,): radians.
    pushes
        (w, 3): how far each wave moves a place, mm.
    """

    ways: Vector
    phases: Vector
    pushes: Vector

    def before(self, block: Block) -> Block:
        """Where the block's places were."""
        x, y, z = block.x, block.y, block.z
        moved = [x.copy(), y.copy(), z.copy()]
        waves = (np.asarray(part, np.float32) for part in (self.ways, self.phases, self.pushes))
        for way, phase, push in zip(*waves, strict=True):
            swing = np.sin(x * way[0] + y * way[1] + z * way[2] + phase)
            for axis in range(3):
                moved[axis] -= push[axis] * swing
        return Block.of(*moved)


Warp = tuple[Drag | Waves, ...]

# A break that healed askew: the ridge leans to his right, the tip comes back.
BREAK: Warp = (
    Drag.to((-4.6, -12, 102), (13, 10, 16), (-4.6, 0, -0.4)),
    Drag.to((2.2, -38, 116), (13, 11, 16), (2.4, 0, 0)),
    Drag.to((5, -10, 94), (6, 8, 10), (0, 0, -1.1)),
)
LOPSIDED: Warp = (
    Drag.to((34, 18, 84), (20, 12, 24), (0, 1.3, 0.4)),
    Drag.to((-32, 0, 80), (16, 9, 20), (0, -0.8, -0.3)),
    Drag.to((24, -66, 84), (16, 14, 20), (0.6, 0.9, 0)),
    Drag.to((-30, -90, 60), (26, 24, 34), (-1.4, 0, 0)),
    Drag.to((8, -100, 92), (22, 16, 26), (1.2, 0, 0)),
    Drag.to((48, -28, 60), (18, 18, 26), (0, -0.9, 0.7)),
    Drag.to((-40, 60, 60), (36, 34, 40), (0, 0.8, 1.2)),
)


def expressive(e: Expression) -> Warp:
    """What an expression draws along on both sides: brows, cheeks, the nose's wings."""
    drags = []
    for side in (1, -1):
        if e.brow_mm or e.frown:
            up = e.brow_mm - 2.0 * e.frown
            drags.append(Drag.to((side * 30, 20 + up, 84), (18, 9, 24), (0, up, 0.3 * up)))
        if e.frown:
            inward = (-2.6 * e.frown * side, -2.8 * e.frown, 1.0 * e.frown)
            drags.append(Drag.to((side * 10, 13, 94), (9, 8, 16), inward))
        if e.smile:
            lift = (1.5 * side * e.smile, 4.5 * e.smile, 3.2 * e.smile)
            drags.append(Drag.to((side * 38, -28, 74), (14, 13, 20), lift))
        if e.sneer:
            wide = (1.8 * side * e.sneer, 2.2 * e.sneer, 0)
            drags.append(Drag.to((side * 17, -38, 98), (7, 8, 12), wide))
    return tuple(drags)


def before(warp: Warp, block: Block) -> Block:
    """Where a block's places were before all drags."""
    for drag in warp:
        block = drag.before(block)
    return block


def after(warp: Warp, places: Vector) -> Vector:
    """Where all drags take places, (n, 3)."""
    moved = np.array(places, np.float64)
    for _ in range(60):
        block = before(warp, Block.of(*moved.T))
        moved += places - np.column_stack([block.x, block.y, block.z])
    return moved
