"""Big ears that stand off: in a frame of their own, u backward, v up and w out along the flap."""

import numpy as np

from heads.fields import Block, Reals, Vector, cut, join, smooth_min, turned, vector
from heads.shapes import Egg, Tube

ROOT = vector((68.0, -12.0, -3.0))
# All of an ear lies between.
BOX_LOW, BOX_HIGH = ROOT + vector((-16, -46, -44)), ROOT + vector((34, 46, 24))
FLARE_DEG = {1.0: 30.0, -1.0: 34.0}  # the right one stands off more
TILT_DEG = 11.0

FLAP = Egg.at((11, 3, 0.8), (18.2, 31.0, 5.0), turned(0, 0, 7))
BOWL = Egg.at((4, -4, -7), (14, 18, 11))
LOBE = Egg.at((4.5, -29, 1.5), (8.2, 11.5, 4.2), turned(0, 0, -6))
CONCHA = Egg.at((6.0, -5.0, 7.3), (10.2, 14.8, 8.4), turned(0, 0, 9))
RIM = Tube.through(
    [
        (3, -1, 1.0), (-4, 3, 2.6), (-7, 13, 3.6), (-3.5, 25, 4.2), (6, 33.5, 4.4),
        (17, 32, 4.2), (25.5, 23, 4.0), (28, 9, 4.0), (25, -7, 3.8), (18, -20, 3.0), (10, -30, 2.0),
    ],
    [1.4, 2.2, 2.8, 3.2, 3.5, 3.5, 3.3, 3.2, 3.0, 2.8, 2.2],
)  # fmt: skip
GUTTER = Tube.through(
    [(-1, 20, 5.0), (8, 27.5, 5.6), (17.5, 24, 5.8), (22, 12, 5.8), (20.5, -4, 5.6)],
    [1.2, 1.9, 2.2, 2.0, 1.2],
)
FOLD = Tube.through(
    [
        (11, 20, 3.6),
        (14.5, 10, 4.8),
        (17, 1, 5.4),
        (15.5, -9, 5.4),
        (10, -17.5, 5.0),
        (4, -19.5, 4.8),
    ],
    [2.2, 2.6, 2.9, 2.8, 2.9, 2.6],
)
FORE_FOLD = Tube.through([(15, 9, 4.4), (8, 13, 3.4), (1, 14, 2.6)], [2.4, 2.2, 1.6])
FLAP_BEFORE = Tube.through([(-5, -1, 2.0), (-4.6, -7, 3.2), (-3.2, -12.5, 2.4)], [2.6, 3.6, 2.4])


def frame(side: float) -> Vector:
    """Axes of an ear as columns, in the mirrored space where both are the left one."""
    flare, tilt = np.radians(FLARE_DEG[side]), np.radians(TILT_DEG)
    out = np.array([np.cos(flare), 0, np.sin(flare)])
    back = np.array([np.sin(flare), 0, -np.cos(flare)])
    up = np.array([0, 1.0, 0])
    return np.stack(
        [back * np.cos(tilt) - up * np.sin(tilt), up * np.cos(tilt) + back * np.sin(tilt), out], 1
    )


def with_ear(solid: Reals, block: Block, side: float, raised_mm: float = 0.0) -> Reals:
    """The head with the ear of one side, set on so much too high."""
    if raised_mm:
        block = Block.of(block.x, block.y - np.float32(raised_mm), block.z)
    if block.clearance(BOX_LOW, BOX_HIGH) > float(solid.max()) + 6:
        return solid
    return smooth_min(solid, _ear(Block.of(*block.from_centre(ROOT, frame(side)))), 3.5)


def _ear(block: Block) -> Reals:
    ear = smooth_min(FLAP.distance(block), LOBE.distance(block), 8)
    ear = join(ear, block, BOWL, 5)
    ear = cut(ear, block, CONCHA, 2.5)
    ear = cut(ear, block, GUTTER, 2)
    ear = join(ear, block, RIM, 2.2)
    ear = join(ear, block, FOLD, 3)
    ear = join(ear, block, FORE_FOLD, 3)
    return join(ear, block, FLAP_BEFORE, 3)
