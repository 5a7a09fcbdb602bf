"""The base plate: a shell, open below, with a bed for the tide dial and a way out for a lead."""

from heads.fields import Block, Reals, cut
from heads.shapes import Rod, Slab

LENGTH, WIDTH, HEIGHT = 176.0, 148.0, 31.0
WALL_MM = 2.5
DIAL_MM, DIAL_DEEP_MM = 92.4, 3.0  # the dial is 92 mm across and 3 mm thick
LEAD_MM = 6.0

OUTER = Slab.at((0, HEIGHT / 2, 0), (WIDTH / 2, HEIGHT / 2, LENGTH / 2), 1.0)
HOLLOW = Slab.at(
    (0, (HEIGHT - WALL_MM - DIAL_DEEP_MM - 20) / 2, 0),
    (WIDTH / 2 - WALL_MM, (HEIGHT - WALL_MM - DIAL_DEEP_MM + 20) / 2, LENGTH / 2 - WALL_MM),
    0.5,
)
DIAL = Rod.between((0, HEIGHT - DIAL_DEEP_MM, 0), (0, HEIGHT + 9, 0), DIAL_MM / 2)
LEAD = Rod.between((0, 8, -LENGTH), (0, 8, -LENGTH / 2 + 9), LEAD_MM / 2)


def base_plate(block: Block) -> Reals:
    """The base plate, its lead's hole at the back."""
    solid = OUTER.distance(block)
    for away in (HOLLOW, DIAL, LEAD):
        solid = cut(solid, block, away, 0.2)
    return solid
