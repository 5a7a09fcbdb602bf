"""The big forms: skull, face, jaw, the flesh between them and the neck."""

import numpy as np

from heads.fields import Block, Reals, both_sides, join, smooth_min, turned
from heads.person import HINGE, Expression
from heads.shapes import Bell, Egg, Tube

VAULT = Egg.at((0, 30, -20), (74, 82, 74))
FOREHEAD = Egg.at((0, 35, 22), (58, 67, 70.5))
OCCIPUT = Egg.at((0, 4, -48), (53, 42, 43))
TEMPLE_LINE = Bell.at((60, 30, 44), (9, 22, 16), -3.4)
FRONTAL = Bell.at((24, 52, 82), (17, 13, 14), 1.6)
BROW_RIDGE = Tube.through(
    [(7, 14, 90), (17, 16, 90), (30, 17, 84), (42, 12, 73), (47, 3, 64)],
    [4, 5.5, 5.4, 5.2, 5],
    pieces=2,
)
FACE = Egg.at((0, -20, 28), (54, 60, 55))
CHEEKBONE = Egg.at((41, -25, 62), (14, 9.5, 12.5), turned(0, 25, 8))
SIDE_RIM = Tube.through([(47, 6, 62), (49, -6, 59), (46, -18, 61)], [6, 5.5, 7], pieces=2)
ARCH = Tube.through([(46, -22, 60), (58, -19, 38), (60, -15, 10)], [6, 4, 3.6], pieces=3)
MAXILLA = Egg.at((0, -50, 62), (26, 25, 34.5))
MUZZLE = Bell.at((17, -34, 92), (7, 11, 12), 3.4)
JAWBONE = Tube.through(
    [(51, -20, 2), (48.5, -58, 0), (42, -79, 12), (29, -93, 44), (13, -98.5, 71), (0, -99, 78)],
    [8, 8, 8.5, 8.5, 10, 11],
    pieces=2,
)
CHIN = Egg.at((7, -98.5, 81), (10, 10, 14))
LOWER_ARCH = Egg.at((0, -77, 58), (29, 20, 33))
CHEEK = Egg.at((27, -54, 43), (21, 38, 34), turned(0, 30, 12))
CHEEK_BEHIND = Egg.at((36, -42, 28), (23, 34, 30))
CHEWING = Egg.at((46, -52, 14), (9, 30, 18), turned(0, 10, 8))
FLOOR = Egg.at((0, -90, 36), (36, 17, 42))
SULCUS = Bell.at((0, -85, 97), (15, 4.5, 14), -2.6)
HOLLOW = Bell.at((46, -58, 50), (9, 19, 20), -2.4, turned(0, 0, -14))
ORBIT = (
    Bell.at((18.5, 3, 84), (6.5, 7, 12), -4.6),
    Bell.at((31, 5, 84), (12, 6.5, 12), -3.2),
    Bell.at((44, 1, 74), (6, 8, 12), -1.4),
    Bell.at((30, -16, 82), (12, 5, 12), -1.6),
)
ROOT = Bell.at((0, 4, 96), (7, 6, 12), -2.6)
SUB_CHEEK = Bell.at((34, -40, 80), (10, 8, 14), -1.5, turned(0, 0, -30))


def skull(block: Block) -> Reals:
    """Vault, forehead and the back of the head."""
    solid = smooth_min(VAULT.distance(block), FOREHEAD.distance(block), 34)
    return join(solid, block, OCCIPUT, 26)


def in_jaw(block: Block, expression: Expression, share: float = 1.0) -> Block:
    """The block as the jaw at rest sees it; with a `share` below 1, as flesh between does."""
    angle = np.radians(expression.jaw_deg) * share
    if angle == 0:
        return block
    up, forward = block.y - np.float32(HINGE[1]), block.z - np.float32(HINGE[2])
    c, s = np.float32(np.cos(angle)), np.float32(np.sin(angle))
    return Block.of(
        block.x,
        up * c + forward * s + np.float32(HINGE[1]),
        forward * c - up * s + np.float32(HINGE[2]),
    )


def bare_head(block: Block, expression: Expression) -> Reals:
    """The head's big forms, without eyes, nose, lips, ears and neck."""
    solid = both_sides(skull(block), block, _upper)
    solid = smooth_min(solid, both_sides(FACE.distance(block), block, _face), 14)
    solid = join(solid, block, MAXILLA, 18)
    solid = both_sides(solid, block, lambda s, b, _: MUZZLE.swell(s, b))
    between = in_jaw(block, expression, 0.5)
    solid = both_sides(solid, between, _cheek)
    jaw = in_jaw(block, expression)
    solid = smooth_min(solid, both_sides(_jaw(jaw), jaw, _jaw_side), 13)
    solid = SULCUS.swell(solid, jaw)
    solid = both_sides(solid, between, lambda s, b, _: HOLLOW.swell(s, b))
    solid = ROOT.swell(solid, block)
    return both_sides(solid, block, _hollows)


def _upper(solid: Reals, block: Block, _side: float) -> Reals:
    solid = join(solid, block, BROW_RIDGE, 10)
    return FRONTAL.swell(TEMPLE_LINE.swell(solid, block), block)


def _face(solid: Reals, block: Block, _side: float) -> Reals:
    solid = join(solid, block, CHEEKBONE, 17)
    solid = join(solid, block, SIDE_RIM, 12)
    return join(solid, block, ARCH, 24)


def _cheek(solid: Reals, block: Block, _side: float) -> Reals:
    flesh = smooth_min(CHEEK.distance(block), CHEEK_BEHIND.distance(block), 12)
    return smooth_min(join(flesh, block, CHEWING, 16), solid, 16)


def _jaw(block: Block) -> Reals:
    return join(LOWER_ARCH.distance(block), block, FLOOR, 16)


def _jaw_side(solid: Reals, block: Block, _side: float) -> Reals:
    return join(join(solid, block, JAWBONE, 15), block, CHIN, 10)


def _hollows(solid: Reals, block: Block, _side: float) -> Reals:
    for hollow in ORBIT:
        solid = hollow.swell(solid, block)
    return SUB_CHEEK.swell(solid, block)
