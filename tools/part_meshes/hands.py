"""The gripping hand: four fingers and a thumb round a bore, with a socket for the wrist's peg."""

from heads.fields import Block, Reals, cut, join
from heads.shapes import Rod, Slab, Tube

GRIP_MM = 4.2  # bore between the fingers, for a rod of 4.0 with a tenth all round
HELD_MM = 4.0  # of what it holds: the crank's handle, the lantern's bar
WRIST_MM = 4.0  # bore of the wrist, as the joint wrist-4 is named
WRIST_DEPTH = 5.0

AXIS_Y, AXIS_Z = 1.2, 18.4  # of the grip; it runs along x
FINGER = 1.75
AROUND = GRIP_MM / 2 + FINGER  # from the grip's axis to a finger's own
# Where a finger bends about the grip: up and forward in shares of the way around.
BENDS = ((0.85, -1.9), (1.0, -0.5), (0.75, 0.66), (0.0, 1.0), (-0.75, 0.66), (-1.0, 0.0))
KNUCKLES = (-6.0, -2.3, 1.6, 5.5)
PALM = Slab.at((0, 2.1, 8.0), (7.4, 3.2, 6.3), 2.6)
WRIST = Rod.between((0, 1.2, 0.05), (0, 1.2, 4), 3.6)
THUMB = Tube.through(
    [(5.8, 0, 6), (6.6, -3.6, 10), (3.6, -5.7, 15), (0, -6.0, 19)], [2.6, 2, 1.7, 1.5]
)


def gripping(block: Block) -> Reals:
    """The gripping hand."""
    solid = join(PALM.distance(block), block, WRIST, 2.0)
    for across in KNUCKLES:
        solid = join(solid, block, _finger(across), 0.5)
    solid = join(solid, block, THUMB, 1.5)
    grip = Rod.between((-12, AXIS_Y, AXIS_Z), (12, AXIS_Y, AXIS_Z), GRIP_MM / 2)
    solid = cut(solid, block, grip, 0.2)
    socket = Rod.between((0, 1.2, -5), (0, 1.2, WRIST_DEPTH), WRIST_MM / 2)
    return cut(solid, block, socket, 0.2)


def _finger(across: float) -> Tube:
    places = [(across, AXIS_Y + AROUND * up, AXIS_Z + AROUND * on) for up, on in BENDS]
    return Tube.through(places, FINGER)
