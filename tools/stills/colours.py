"""What colour each place of the subject is, and how much it shines; shares of the light, 0 to 1."""

import numpy as np
from heads.eyes import HALF_WIDTH, IRIS, Opening
from heads.fields import Block
from heads.head import Head
from heads.person import EYE, EYE_RADIUS
from heads.teeth import within
from heads.warps import before
from numpy.typing import NDArray

from stills.subject import Person

Reals = NDArray[np.float64]

SKIN, RUDDY, BEARD = (0.56, 0.385, 0.30), (0.56, 0.28, 0.215), (0.43, 0.36, 0.33)
LIP, MOUTH, TOOTH = (0.44, 0.215, 0.19), (0.27, 0.09, 0.08), (0.70, 0.64, 0.50)
WHITE, EYE_COLOUR, PUPIL = (0.70, 0.66, 0.62), (0.20, 0.26, 0.28), (0.015, 0.015, 0.018)
HAIR, BROW, CAP = (0.40, 0.39, 0.38), (0.30, 0.28, 0.27), (0.12, 0.135, 0.15)
COAT, ENAMEL, TIN = (0.075, 0.10, 0.125), (0.06, 0.20, 0.26), (0.26, 0.25, 0.22)
COVERED = 0.7  # so far off the bare skin something lies on it, mm
# Where blood shows: place, reach (mm) and strength.
RUDDY_PLACES = (
    ((0, -37, 112), 15, 0.8), ((42, -26, 70), 22, 0.5), ((-42, -26, 70), 22, 0.5),
    ((82, 0, -14), 24, 0.7), ((-82, 0, -14), 24, 0.7), ((0, -98, 95), 14, 0.3),
)  # fmt: skip


def of_person(person: Person, vertices: Reals) -> tuple[Reals, Reals]:
    """Colour (n, 3) and shine (n,) of his head at its vertices."""
    block = before(person.warp, Block.of(*vertices.T))
    bare = Head(person.expression)
    inner = before(bare.warp, block)
    colour = _skin(vertices)
    shine = np.full(len(vertices), 0.16)
    near = np.linalg.norm(vertices - (0, -70, 90), axis=1) < 60
    _on_lips(bare, inner, colour, shine, near)
    _in_eyes(bare, inner, colour, shine)
    brow = _smooth_without(bare, inner) > 0.25
    colour[brow] = BROW
    over = covered(person, vertices)
    colour[over] = HAIR if person.head.cover == "queue" else CAP
    shine[over] = 0.2 if person.head.cover == "queue" else 0.05
    return colour, shine


def covered(person: Person, vertices: Reals) -> NDArray[np.bool_]:
    """Which places are hair or cap, by standing off his bare skin."""
    block = before(person.warp, Block.of(*vertices.T))
    over: NDArray[np.bool_] = Head(person.expression).solid(block) > COVERED
    return over


def _skin(vertices: Reals) -> Reals:
    colour = np.broadcast_to(SKIN, vertices.shape).copy()
    for place, reach, strength in RUDDY_PLACES:
        share = strength * np.exp(-(((vertices - place) ** 2).sum(1)) / (2 * reach**2))
        colour += share[:, None] * (np.array(RUDDY) - colour)
    x, y, z = vertices.T
    jaw = np.exp(-(((y + 82) / 24) ** 2)) / (1 + np.exp(-(z - 30) / 9))
    colour += (0.35 * jaw)[:, None] * (np.array(BEARD) - colour)
    mottled = np.sin(0.31 * x + 1.7 * np.sin(0.17 * y)) * np.sin(0.27 * y + 0.23 * z)
    fine = np.sin(1.1 * x + 2.3 * np.sin(0.7 * y)) * np.sin(0.9 * z + 1.3 * y)
    mottle: Reals = colour * (1 + 0.035 * mottled + 0.025 * fine)[:, None]
    return mottle


def _on_lips(
    head: Head, inner: Block, colour: Reals, shine: Reals, near: NDArray[np.bool_]
) -> None:
    from heads.shapes import Tube

    def ropes(lips: tuple[Tube, ...]) -> Reals:
        away: Reals = np.min([rope.distance(inner) for rope in lips], axis=0)
        return away

    red = np.clip(1.0 - ropes(head.mouth.lips) / 0.9, 0, 1) * near
    colour += red[:, None] * (np.array(LIP) - colour)
    shine += 0.12 * red
    if not head.mouth.opened:
        return
    upper, lower = head.mouth.edges(inner.x)
    inside = near & (inner.y < upper + 4) & (inner.y > lower - 4)
    inside &= (ropes(head.mouth.lips) > 0.5) & (np.abs(inner.x) < head.mouth.corner[0])
    inside &= inner.z < head.mouth.upper[2] - 3 + 0 * inner.x
    colour[inside] = MOUTH
    teeth = inside & (within(inner, head.expression) < 0.5) & (inner.z > 70)
    colour[teeth] = TOOTH
    shine[inside] = 0.3


def _in_eyes(head: Head, inner: Block, colour: Reals, shine: Reals) -> None:
    for side in (1, -1):
        x, y, z = inner.x * side - EYE[0], inner.y - EYE[1], inner.z - EYE[2]
        away = np.sqrt(x * x + y * y + z * z)
        upper, lower = Opening.of(head.expression).edges(x)
        ball = (away < EYE_RADIUS + 0.8) & (z > 2) & (np.abs(x) < HALF_WIDTH)
        ball &= (y < upper + 0.4) & (y > lower - 0.4)
        gaze = np.array([side * head.expression.gaze[0], head.expression.gaze[1], 1.0])
        along = np.stack([x, y, z], -1) @ (gaze / np.linalg.norm(gaze))
        off = np.sqrt(np.maximum(away**2 - along**2, 0))
        colour[ball] = WHITE
        colour[ball & (off < IRIS + 0.2)] = EYE_COLOUR
        colour[ball & (off < 2.4)] = PUPIL
        shine[ball] = 0.9


def _smooth_without(head: Head, inner: Block) -> Reals:
    """How far a place stands off the skin as it would be without brows; far from them, 0."""
    about = (np.abs(inner.x) < 66) & (inner.y > -4) & (inner.y < 34) & (inner.z > 40)
    off = np.zeros(len(inner.x))
    tufts = [
        tuft.distance(Block.of(side * inner.x[about], inner.y[about], inner.z[about]))
        for tuft in head._brows  # noqa: SLF001 - the tufts themselves, not their box
        for side in (1, -1)
    ]
    off[about] = 0.6 - np.min(tufts, axis=0)
    return off
