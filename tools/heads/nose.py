"""The nose: a ridge with a hump, a heavy tip, wings and nostrils. The break is in `warps`."""

from heads.fields import Block, Reals, both_sides, cut, join, turned
from heads.shapes import Bell, Crease, Egg, Tube

RIDGE = Tube.through(
    [(0, 11, 86.5), (0, 2, 88.5), (0, -8, 97), (0, -16, 100.8), (0, -26, 104), (0, -34, 109)],
    [6.5, 5.4, 5.9, 6.0, 5.8, 6.6],
    pieces=3,
)
FLANK = Tube.through(
    [(3.5, 5, 83), (5, -8, 87), (7.5, -20, 91), (10, -33, 95)], [4.8, 6, 7.2, 8], pieces=2
)
TIP = Egg.at((2.3, -37.5, 111.5), (6.8, 6.6, 8.2))
CORE = Egg.at((0, -38.5, 99), (8, 6.5, 10))
PARTITION = Tube.through(
    [(0, -41.5, 113), (0, -44.5, 106), (0, -46, 98), (0, -46, 92)], [3.4, 2.6, 2.6, 2.6]
)
WING = Egg.at((12.2, -39.5, 100.0), (5.9, 7.2, 11.6), turned(-14, 26, -8))
SHOULDER = Egg.at((7.6, -36.5, 106.5), (5.6, 6.4, 7.5))
NOSTRIL = Egg.at((8.0, -46.0, 104.2), (3.5, 6.4, 6.0), turned(-24, 0, -2))
# The dent between nose and lip, and the ridge on either side of it.
COLUMN = Bell.at((4.6, -55, 102), (2.2, 6, 12), 0.9)
DIMPLE = Bell.at((0, -55, 102), (2.4, 6, 12), -0.7)
WING_GROOVE = Crease.along(
    [(11.5, -32, 106), (16.5, -33.5, 101), (19.8, -39, 95.5), (18.5, -46, 94)],
    [0.2, 1.1, 1.4, 0.5],
    1.5,
)


def with_nose(solid: Reals, block: Block) -> Reals:
    """The head with its nose."""
    if block.high[2] < 58 or block.low[1] > 34 or block.high[1] < -70:
        return solid
    solid = join(solid, block, RIDGE, 8)
    solid = both_sides(solid, block, _side)
    solid = join(solid, block, CORE, 3)
    solid = join(solid, block, PARTITION, 3)
    solid = both_sides(solid, block, lambda s, b, _: COLUMN.swell(cut(s, b, NOSTRIL, 1.6), b))
    return DIMPLE.swell(solid, block)


def _side(solid: Reals, block: Block, _side: float) -> Reals:
    solid = join(solid, block, FLANK, 9)
    solid = join(solid, block, TIP, 6)
    solid = join(solid, block, SHOULDER, 7)
    solid = join(solid, block, WING, 4)
    return WING_GROOVE.swell(solid, block)
