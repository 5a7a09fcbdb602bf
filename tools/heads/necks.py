"""Under the head: a sculpt's short neck with the bore for its peg, or the person's own neck."""

import numpy as np

from heads.fields import Block, Reals, both_sides, cut, join, smooth_max, step
from heads.shapes import Egg, Rod, Tube

NAPE = Egg.at((0, -46, -36), (48, 66, 47))
CORD = Tube.through(
    [(52, -32, -16), (44, -80, -4), (32, -130, 8), (13, -182, 12)], [7, 7.5, 7, 5], pieces=3
)
LARYNX = Egg.at((0, -136, 16), (7, 13, 8))
FOOT = -120.0  # where a sculpt's neck ends, mm
BORE_AXIS_Z = -22.0
BORE_DEPTH = 54.0


def with_neck(solid: Reals, block: Block) -> Reals:
    """The head on a column of neck, which goes on downwards."""
    solid = join(solid, block, NAPE, 20)
    middle = -22 - 26 * step(-60, -190, block.y)
    wide, deep = 45.5 + 8 * step(-130, -190, block.y), 43.5 + 7 * step(-130, -190, block.y)
    column = np.sqrt((block.x / wide) ** 2 + ((block.z - middle) / deep) ** 2) - 1
    column = (column * np.minimum(wide, deep)).astype(np.float32)
    column = smooth_max(column, block.y + np.float32(30), 30)
    near = np.maximum(20 - np.abs(solid - column), 0)
    solid = np.minimum(solid, column) - near * near * np.float32(0.25 / 20)
    solid = both_sides(solid, block, lambda s, b, _: join(s, b, CORD, 14))
    return join(solid, block, LARYNX, 18)


def bored(solid: Reals, block: Block, diameter_mm: float) -> Reals:
    """The head cut off below the chin, with a bore upwards for the neck peg (full-size mm)."""
    away = block.z - np.float32(30)
    # Behind the jaw only: an open jaw may hang lower than the neck ends.
    foot = np.where(away < 0, np.float32(FOOT) - block.y, np.float32(FOOT) - block.y - away)
    solid = smooth_max(solid, foot.astype(np.float32), 1.5)
    bore = Rod.between(
        (0, FOOT - 30, BORE_AXIS_Z), (0, FOOT + BORE_DEPTH, BORE_AXIS_Z), diameter_mm / 2
    )
    return cut(solid, block, bore, 0.3)
