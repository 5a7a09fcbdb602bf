"""Eyes: the ball with its iris, lids cut open, an old man's folds above and bags below."""

from dataclasses import dataclass

import numpy as np

from heads.fields import Block, Reals, both_sides, join, smooth_max, smooth_min, step, vector
from heads.person import EYE, EYE_RADIUS, Expression
from heads.shapes import Crease, Egg, Tube

HALF_WIDTH = 14.0  # of the opening between the lids, mm
# All of an eye and its lids lies between.
BOX_LOW, BOX_HIGH = EYE + vector((-26, -34, -6)), EYE + vector((30, 28, 32))
IRIS = 5.9  # its radius, mm
BALL = Egg.at(EYE, EYE_RADIUS)
LID = Egg.at(EYE, EYE_RADIUS + 2.2)
CORNER = Egg.at(EYE + vector((-HALF_WIDTH + 1.9, -1.2, 5.0)), (2.6, 2.0, 2.2))
OUTER = Egg.at(EYE + vector((HALF_WIDTH - 1.4, 0.2, 3.6)), (2.2, 1.8, 2.6))
HOOD = Tube.through(
    [(15, 10, 76), (24, 11.5, 81), (34, 11.8, 82), (43, 7.2, 77.5), (49, -1, 69)],
    [1.0, 2.8, 3.8, 3.8, 2.5],
)
BAG = Tube.through(
    [(21, -8.5, 78.5), (28, -12, 80), (36, -12, 78), (43, -8.5, 73.5)], [1.6, 2.4, 2.6, 1.6]
)
TROUGH = Crease.along(
    [(17.5, -8, 82), (24, -16.5, 83.5), (33, -19.5, 82), (43, -16, 75)],
    [0.5, 0.8, 0.5, 0.1],
    3.2,
)
LOWER_FOLD = Crease.along(
    [(20, -6.8, 81), (27, -9.4, 83), (36, -9.2, 81), (43, -6, 76)], [0.2, 0.5, 0.5, 0.2], 1.1
)


@dataclass(frozen=True, slots=True)
class Opening:
    """The opening between the lids: their edges by the distance from the ball's middle."""

    lids: float
    squint: float

    @staticmethod
    def of(expression: Expression) -> "Opening":
        """The opening that an expression leaves."""
        return Opening(expression.lids, expression.squint)

    def edges(self, x: Reals) -> tuple[Reals, Reals]:
        """Height of the upper and the lower lid's edge at x from his eye's middle outward, mm."""
        u = x * np.float32(1 / HALF_WIDTH)
        arch = 1 - u * u
        line = 0.5 * u - 0.5
        rise, fall = 4.4 * (1 - self.lids), 4.6 * (1 - 0.5 * self.squint - 0.15 * self.lids)
        upper = line + arch * (rise - 0.8 * u) - arch * 2.4 * max(self.lids, 0.0)
        lower = line - arch * (fall + 0.6 * u) + arch * 0.6 * self.squint
        outside = arch < 0
        return (
            np.where(outside, line + 6 * arch, upper).astype(np.float32),
            np.where(outside, line - 6 * arch, lower).astype(np.float32),
        )


def with_eyes(solid: Reals, block: Block, expression: Expression) -> Reals:
    """The head with its eyes."""

    def eye(solid: Reals, block: Block, side: float) -> Reals:
        return _eye(solid, block, side, expression)

    return both_sides(solid, block, eye)


def _eye(solid: Reals, block: Block, side: float, expression: Expression) -> Reals:
    if block.clearance(BOX_LOW, BOX_HIGH) > 0:
        return solid
    solid = join(solid, block, LID, 6)
    solid = join(solid, block, HOOD, 5)
    solid = join(solid, block, BAG, 7)
    x, y, z = block.from_centre(EYE)
    away = np.sqrt(x * x + y * y + z * z)
    upper, lower = Opening.of(expression).edges(x)
    front = step(2, 9, z)
    u = x * np.float32(1 / HALF_WIDTH)
    window = np.clip(np.float32(1.3) - u * u, np.float32(0), np.float32(1)) * front
    # The fold at which the upper lid rolls up under the hood, and the lids' thick edges.
    fold = y - upper - (3.6 - 2.2 * u * u)
    edges = 0.5 * np.exp(-(((y - upper - 1.0) / 1.3) ** 2))
    edges = edges + 0.4 * np.exp(-(((y - lower + 1.0) / 1.3) ** 2))
    pressed = (1.1 * np.exp(-((fold / 1.4) ** 2)) - edges) * window
    solid = (solid + pressed).astype(np.float32)
    solid = TROUGH.swell(LOWER_FOLD.swell(solid, block), block)
    between = np.maximum(y - upper, lower - y) * np.float32(0.85)
    opening = np.maximum(between, np.maximum(EYE_RADIUS - 3 - away, 1 - z))
    solid = smooth_max(solid, -opening, 1.2)
    ball = join(_ball((x, y, z), away, side, expression), block, CORNER, 1)
    return smooth_min(solid, join(ball, block, OUTER, 1), 0.7)


def _ball(
    place: tuple[Reals, Reals, Reals], away: Reals, side: float, expression: Expression
) -> Reals:
    """The eyeball: a cornea, the iris sunk in, the pupil deeper, a spark of light left standing."""
    x, y, z = place
    gaze = np.array([side * expression.gaze[0], expression.gaze[1], 1.0])
    a, b, c = (gaze / np.linalg.norm(gaze)).astype(np.float32)
    along = x * a + y * b + z * c
    off = np.sqrt(np.maximum(away * away - along * along, 0))
    off = np.where(along > 0, off, np.float32(99))
    ball = away - np.float32(EYE_RADIUS)
    ball = ball - np.float32(0.5) * np.exp(-((off / 5.6) ** 4))
    sunk = 0.9 * step(IRIS + 0.4, IRIS - 0.6, off) - 0.3 * step(IRIS - 0.4, 4, off)
    sunk = sunk + 2.4 * step(2.9, 1.9, off)
    spark = np.sqrt((x * side - np.float32(1.9) - 13 * a * side) ** 2 + (y - 2.0 - 13 * b) ** 2)
    carved: Reals = (ball + sunk * step(0.7, 1.5, spark)).astype(np.float32)
    return carved
