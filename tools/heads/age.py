"""What 61 years have left: folds, lines and hollows, some deeper as the face moves."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from heads.fields import Block, Reals, Vector
from heads.mouth import Mouth
from heads.person import Expression
from heads.shapes import Crease

Solid = Callable[[Block], Reals]
Points = Sequence[tuple[float, float, float]]

NEAR = 0.3  # between places at which a slope is taken, mm
ROUNDS = 8
# Height, where it starts and ends (x), and depth beside the others.
FOREHEAD = (
    (31, -30, 10, 0.8), (32.5, 2, 36, 0.9), (40, -38, 33, 1.1),
    (48.5, -26, 39, 1.0), (56, -34, 4, 0.8), (55, 6, 30, 0.6),
)  # fmt: skip
FOREHEAD_Z = (86.0, 92.0, 95.0, 92.0, 86.0)
CROWS_FEET = ((6, 57), (0.5, 59), (-5, 58), (-10, 55))  # where they end: height, and outward
UP, OUT = (0, 1, 0), (1, 0, 0)


@dataclass(frozen=True, slots=True)
class Wrinkle:
    """A crease to be: points near the skin, the depth at each, and how it is pressed in, mm."""

    points: Points
    depths: tuple[float, ...]
    width: float
    towards: tuple[float, float, float]
    beside: float


def laid_on(points: ArrayLike, solid: Solid) -> tuple[Vector, Vector]:
    """Points brought to a solid's surface along the way it faces, and that way; (n, 3) each."""
    places = np.array(points, np.float64)
    around = np.concatenate([np.zeros((1, 3)), np.eye(3) * NEAR, -np.eye(3) * NEAR])
    slope = np.zeros_like(places)
    for _ in range(ROUNDS):
        asked = (places + around[:, None]).reshape(-1, 3)
        value = solid(Block.of(*asked.T)).astype(float).reshape(7, -1)
        slope = (value[1:4] - value[4:]).T / (2 * NEAR)
        push = 0.8 * np.clip(value[0], -6, 6) / np.maximum((slope**2).sum(1), 0.3)
        places -= push[:, None] * slope
    return places, slope / np.maximum(np.linalg.norm(slope, axis=1, keepdims=True), 1e-9)


def creases(solid: Solid, mouth: Mouth) -> tuple[Crease, ...]:
    """All creases, those of his left half once for both, laid on the smooth face."""
    lines = [*_beside_the_mouth(mouth), *_of_the_brow(mouth.expression)]
    laid, _ = laid_on(np.concatenate([np.array(line.points, float) for line in lines]), solid)
    ends = np.cumsum([len(line.points) for line in lines])[:-1]
    return tuple(
        Crease.along(points, line.depths, line.width, towards=line.towards, beside=line.beside)
        for points, line in zip(np.split(laid, ends), lines, strict=True)
    )


def _beside_the_mouth(mouth: Mouth) -> list[Wrinkle]:
    e = mouth.expression
    x, y, _ = mouth.corner
    fold = 1.3 + 1.6 * e.smile + 0.9 * e.sneer
    cheek = 0.6 + 0.9 * e.smile
    return [
        Wrinkle(
            [
                (16.5, -32, 100), (22, -41, 96), (x + 5, y + 13, 90), (x + 9.5, y + 2, 82),
                (x + 9, y - 8, 78),
            ],
            (0.3 * fold, 0.9 * fold, fold, 0.7 * fold, 0.1), 2.3, (0.85, 0.5, 0), 0.5,
        ),
        Wrinkle(
            [(x + 1, y - 1, 84), (x + 3.5, y - 8, 82), (x + 3, y - 20, 82)],
            (0.7, 0.9, 0.1), 1.9, OUT, 0.35,
        ),
        Wrinkle(
            [(x + 14, y + 6, 76), (x + 17, y - 4, 72), (x + 15, y - 14, 70)],
            (0.1, cheek, 0.1), 2.4, OUT, 0.4,
        ),
        Wrinkle([(30, -104, 66), (34, -96, 60), (37, -86, 60)], (0.1, 0.7, 0.1), 3.0, OUT, 0.6),
    ]  # fmt: skip


def _of_the_brow(e: Expression) -> list[Wrinkle]:
    raised, drawn = 0.42 + 0.12 * max(e.brow_mm, 0), 0.7 + 1.3 * e.frown
    squeeze = 0.35 + 0.7 * max(e.squint, 0.6 * e.smile)
    lines = [
        Wrinkle([(5, 11, 97), (4.6, 18, 98), (6.5, 27, 98)], (0.2, drawn, 0.1), 1.4, OUT, 0.5),
        Wrinkle([(0, 8, 97), (8, 5.5, 92)], (0.5, 0.1), 1.3, UP, 0.3),
    ]
    for height, start, end, share in FOREHEAD:
        deep = raised * share
        xs = np.linspace(start, end, 5)
        heights = height + np.array([-3, 1, -1, 1, -3.5])
        points = list(zip(xs.tolist(), heights.tolist(), FOREHEAD_Z, strict=True))
        lines.append(Wrinkle(points, (0.0, deep, 0.8 * deep, deep, 0.0), 1.7, UP, 0.5))
    for up, out in CROWS_FEET:
        points = [(48.5, up * 0.35, 71), (53, up * 0.7, 66), (out, up, 58)]
        lines.append(Wrinkle(points, (0.2, squeeze, 0.05), 1.1, UP, 0.4))
    return lines
