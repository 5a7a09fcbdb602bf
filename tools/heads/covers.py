"""What grows or sits on the head: bushy brows, swept hair with its queue, or a tight skullcap."""

from collections.abc import Callable

import numpy as np

from heads.age import Solid, laid_on
from heads.curves import signed_distance, spline
from heads.fields import Block, Reals, Vector, join, smooth_max, smooth_min, step, vector
from heads.shapes import Tube

# The hair lies in one of these boxes, the queue in the third.
TOP = vector((-94, 12, -118)), vector((94, 138, 108))
BACK = vector((-94, -90, -118)), vector((94, 62, 32))
TAIL = vector((-17, -134, -126)), vector((17, -26, -82))
TIE = vector((0, -42, -98))  # where the queue is bound
FLOW = vector((0, 58, 175))  # the hair runs back from here, as from a pole
# The edge of the hair as seen from the side (z, y), closed far above and behind.
HAIRLINE = spline(
    [
        (112, 92), (96, 86), (78, 80), (60, 68), (46, 54), (42, 42), (34, 30), (25, 14), (22, -8),
        (15, -15), (9, -8), (6, 10), (0, 25), (-10, 31), (-20, 27), (-27, 8), (-32, -20),
        (-42, -46), (-58, -66), (-80, -76), (-130, -80), (-150, 40), (-90, 170), (60, 170),
        (120, 130),
    ],
    3,
)  # fmt: skip
LOCKS = ((-1.0, 8.0, 0.6), (-0.7, 19.0, -1.0), (-0.35, 37.0, 1.5))  # height mm, how often, twist
CORE = Tube.through(
    [(0, -36, -90), (0, -50, -102), (0, -80, -107), (0, -116, -99)], [11, 9.5, 6, 4.5], pieces=3
)
RIBBON = Tube.through([(0, -43.5, -99.5), (0, -50.5, -104.5)], [11, 10.4], pieces=1)
BRUSH = Tube.through([(0, -112, -101), (0, -121, -98.5), (1, -131, -97)], [5.4, 5, 0.8], pieces=3)
CAP_MM = 2.4  # thickness of its cloth
SEAMS = (-0.62, 0.0, 0.62)  # angle about the head's length (rad)

BROW = np.array([(9, 14), (14, 15.6), (22, 17.6), (31, 18.6), (40, 17.2), (48, 13), (54, 8)])
TUFTS = 24
TUFT_SEED = 61
# How far a tuft stands off the skin and how thick it is, from its root to its tip.
LIFTS = np.array([-0.5, 0.2, 0.6, 0.8, 0.6, 0.3])
THICKNESS = np.array([0.6, 1.0, 1.0, 0.85, 0.6, 0.2])


def _strand(phase: float) -> Tube:
    """One of the three strands that are plaited about the queue's core."""
    down = np.linspace(0, 1, 27)
    wide, turn = 1 - 0.45 * down, 20 * down + phase
    return Tube.through(
        np.column_stack(
            [
                6.0 * wide * np.sin(turn),
                -50 - 66 * down,
                -104 - 6 * np.sin(2.2 * down) + 10 * down**2 + 3.2 * wide * np.sin(2 * turn),
            ]
        ),
        np.linspace(6.6, 4.0, 27),
        pieces=2,
    )


PLAIT = tuple(_strand(2 * np.pi * third / 3) for third in range(3))


def queue(solid: Reals, base: Reals, block: Block) -> Reals:
    """The head under grey hair drawn back from the brow, with its plaited queue."""
    reach = float(solid.max()) + 1
    if min(block.clearance(*TOP), block.clearance(*BACK)) <= reach:
        solid = smooth_min(solid, _swept(base, block), 1.0)
    if block.clearance(*TAIL) <= reach + 1:
        for rope in (CORE, RIBBON, BRUSH):
            solid = join(solid, block, rope, 2.0)
        for strand in PLAIT:
            solid = join(solid, block, strand, 1.0)
    return solid


def _swept(base: Reals, block: Block) -> Reals:
    """The mass of the hair on the head's big forms, combed from the brow to the nape."""
    line = signed_distance(block.z, block.y + np.float32(0.6) * np.sin(block.x * 0.45), HAIRLINE)
    top = step(10, 90, block.y)
    thick = 4.0 + 3.5 * top + 3.0 * step(20, 80, block.z) * top
    inward = 1 - np.clip(-line / np.float32(20), 0, 1)
    edge = np.sqrt(np.maximum(1 - inward * inward, 0))
    raised = edge * (thick + _combed(block) * (0.6 + 0.5 * top)) - 2.0 * (1 - edge)
    return smooth_max(base - raised.astype(np.float32), line, 2.5)


def _combed(block: Block) -> Reals:
    """How far each lock stands up or lies down, mm: locks run from pole to pole of the head."""
    along = (FLOW - TIE) / np.linalg.norm(FLOW - TIE)
    x, y, z = block.from_centre(TIE)
    up = np.abs(y * np.float32(along[2]) - z * np.float32(along[1]))
    angle = np.arctan2(x + np.float32(4) * step(0, 60, block.z), up + np.float32(1e-3))
    way = (y * np.float32(along[1]) + z * np.float32(along[2])) * np.float32(0.01)
    angle = angle + 0.05 * np.sin(3 * angle + 2.2 * way) + 0.02 * np.sin(9 * angle - 3 * way)
    combed = np.zeros_like(x)
    for height, often, twist in LOCKS:
        combed += height * (1 - 2 * np.abs(np.sin(often * angle + twist * way)) ** 0.7)
    return combed


def skullcap(solid: Reals, base: Reals, block: Block) -> Reals:
    """The head under a tight cap of sewn gores with a rolled rim."""
    above = block.y - _rim_height(block.z)
    if float(above.max()) < -float(solid.max()) - 3:
        return solid
    across = np.arctan2(block.x, np.maximum(block.y - 20, 1.0))
    rim = 1.8 * np.exp(-(((above - 3.0) / 2.6) ** 4))
    seam = np.zeros_like(above)
    for at in SEAMS:
        away = (across - at) * 62
        seam += np.exp(-((away / 1.2) ** 2)) - 0.9 * np.exp(-((away / 3.4) ** 2))
    slack = 0.5 * np.sin(block.z * 0.11 + 5 * across) * np.sin(across * 9 + 0.03 * block.y)
    thick = CAP_MM + rim + step(5, 12, above) * (0.7 * seam + slack)
    cap = smooth_max(base - thick.astype(np.float32), -above, 1.6)
    return smooth_min(solid, cap, 0.8)


def _rim_height(z: Reals) -> Reals:
    """Height of the cap's rim, by how far forward it lies, mm."""
    rise = np.where(z > 0, np.float32(0.0027), np.float32(0.0046))
    height: Reals = np.float32(35) + rise * z * np.abs(z)
    return height


COVERS: dict[str, Callable[[Reals, Reals, Block], Reals]] = {"queue": queue, "cap": skullcap}


def brows(solid: Solid) -> tuple[Tube, ...]:
    """The tufts of his left brow, rooted in the skin and lying along it."""
    chance = np.random.Generator(np.random.Philox(TUFT_SEED))
    shares = np.linspace(0, 1, TUFTS)
    laid, facing = laid_on(np.concatenate([_tuft(share, chance) for share in shares]), solid)
    tufts = []
    for i, share in enumerate(shares):
        wide = 1.45 - 0.5 * share
        lift = LIFTS * wide * chance.uniform(0.6, 1.2)
        part = slice(len(LIFTS) * i, len(LIFTS) * (i + 1))
        way = laid[part] + lift[:, None] * facing[part]
        tufts.append(Tube.through(way, wide * THICKNESS, pieces=2))
    return tuple(tufts)


def _tuft(share: float, chance: np.random.Generator) -> Vector:
    """Places along one tuft, before they are laid on the skin; `share` of the way out."""
    at = share * (len(BROW) - 1.001)
    start = BROW[int(at)] + (at % 1) * (BROW[int(at) + 1] - BROW[int(at)])
    start = start - (0, chance.uniform(0, 3.0))
    length = (10.5 - 2.0 * share) * chance.uniform(0.75, 1.25)
    slope = np.radians(75 * (1 - share) ** 1.2 - 42 * share**1.5 + chance.normal(0, 9))
    parts = np.linspace(0, 1, len(LIFTS))
    slopes = slope - 0.35 * parts
    x = start[0] + parts * length * np.cos(slopes)
    y = start[1] + parts * length * np.sin(slopes)
    return np.column_stack([x, y, 98 - 0.012 * x * x])
