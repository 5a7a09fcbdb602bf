"""The boot, and the steel plate that lies in its sole."""

from heads.fields import Block, Reals, cut, join
from heads.shapes import Egg, Rod, Slab

ANKLE_MM, ANKLE_DEPTH = 6.0, 14.0  # bore, as the joint ankle-6 is named
PLATE = (34.0, 11.0, 0.8)  # length, width, height, as the part `sole` is
ROOM = 0.1  # about the plate, mm
PLATE_Z = 9.5  # its middle, from the heel's end being at -14

SOLE = (
    Rod.between((0, 0, -7), (0, 4, -7), 7.0),
    Rod.between((0, 0, 24.5), (0, 4, 24.5), 8.5),
    Slab.at((0, 2.0, 9), (7.0, 2.0, 16), 0.1),
)
TOE = Egg.at((0, 5, 19), (8.0, 9, 12.5))
INSTEP = Egg.at((0, 10, 6), (7.4, 12, 15))
SHAFT = Rod.between((0, 5, -4), (0, 52, -4), 8.0)
LEG = Rod.between((0, 52 - ANKLE_DEPTH, -4), (0, 60, -4), ANKLE_MM / 2)
GROUND = Slab.at((0, -10, 9), (30, 10, 50), 0.0)
# The waist between heel and ball, which does not touch the ground.
WAIST = Slab.at((0, 0.0, -2.0), (20, 0.8, 3.0), 0.2)


def boot(block: Block) -> Reals:
    """A boot with a sole, a bore for the ankle's peg, and room beneath for the steel plate."""
    solid = join(SHAFT.distance(block), block, INSTEP, 5.0)
    solid = join(solid, block, TOE, 5.0)
    for piece in SOLE:
        solid = join(solid, block, piece, 0.3)
    solid = cut(solid, block, LEG, 0.3)
    length, width, height = PLATE
    bed = Slab.at((0, 0, PLATE_Z), (width / 2 + ROOM, height, length / 2 + ROOM), 0.1)
    solid = cut(solid, block, GROUND, 0.05)
    return cut(cut(solid, block, WAIST, 0.1), block, bed, 0.05)


def plate(block: Block) -> Reals:
    """The steel plate of one sole."""
    length, width, height = PLATE
    return Slab.at((0, height / 2, 0), (width / 2, height / 2, length / 2), 0.1).distance(block)
