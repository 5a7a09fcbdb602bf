"""The demo's sculpts: whose head each is, what its maker got wrong, and what was planted in it.

Nothing of this is told in the line's folder: a reader of the folder has to find it.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from heads.fields import Block, Reals, Vector, vector
from heads.head import HIGH, LOW, Head
from heads.landmarks import Key, landmarks
from heads.necks import bored
from heads.surface import Solid, Surface, meshed, thinned
from heads.warps import Drag, Warp, Waves, after, before

SEED = 20260914
PER_MM = 6.0  # full-size mm to one of the figure
BORE_MM = 8.00  # of the neck, at 1:6
HAND_MM = 0.04  # how far an honest sculpt is off on each axis, standard deviation, at 1:6
HAND_WAVES = 18
HAND_LENGTHS_MM = (8.0, 26.0)  # of its waves, at 1:6
# Of the triangles that a spacing of 1 mm gives; fewer are thinned from half as many again.
AT_ONE_MM = 480_000
FINER = 1.7


@dataclass(frozen=True, slots=True)
class Fault:
    """Flesh moved on purpose about a landmark; 1:6 mm, x left, y up, z forward."""

    landmark: Key
    move_mm: tuple[float, float, float]
    width_mm: tuple[float, float, float]


NOSE_WIDTH = (1.6, 1.6, 2.6)  # the tip alone: the wings stay
NOSE = Fault(("pronasale", "mid"), (0.0, 0.0, 0.9), NOSE_WIDTH)
PARTLY_CORRECTED = Fault(("pronasale", "mid"), (0.0, 0.0, 0.6), NOSE_WIDTH)
# The whole right ear; once the head is laid on the person it is half a millimetre too high.
EAR_RAISED_MM = 0.6 * PER_MM


@dataclass(frozen=True)
class Sculpt:
    """One delivered round of a sculpt.

    Attributes
    ----------
    id
        The round's in the line's tables.
    part
        Whose sculpt it is.
    head
        The person's head that it should be.
    bore_mm
        Diameter of its neck bore, at 1:6.
    faults
        What was planted, the last one outermost.
    """

    id: str
    part: str
    head: Head
    bore_mm: float = BORE_MM
    faults: tuple[Fault, ...] = ()

    @property
    def sculpt(self) -> str:
        """The sculpt of which this is a round."""
        return self.id.rsplit("-", 1)[0]

    @property
    def number(self) -> int:
        """Which round it is."""
        return int(self.id.rsplit("-", 1)[1])

    @cached_property
    def warp(self) -> Warp:
        """What its maker did to the person's head, the outermost first."""
        done = hand(self.sculpt.split("-")[0])
        for fault in self.faults:
            at = after(done, landmarks(self.head)[fault.landmark][None])[0]
            move = vector(fault.move_mm) * PER_MM
            width = vector(fault.width_mm) * PER_MM
            done = (Drag.to(at + move, width, move), *done)
        return done

    def solid(self, block: Block) -> Reals:
        """Distance to its surface, full-size mm."""
        return bored(self.head.solid(before(self.warp, block)), block, self.bore_mm * PER_MM)

    @cached_property
    def landmarks(self) -> Mapping[Key, Vector]:
        """Where the person's landmarks have come to lie on it, full-size mm."""
        places = landmarks(self.head)
        moved = after(self.warp, np.array(list(places.values())))
        return dict(zip(places, moved, strict=True))

    def surface(self, triangles: int) -> Surface:
        """Its mesh with about so many triangles, full-size mm."""
        return surface_of(self.solid, triangles, LOW, HIGH)


def surface_of(solid: Solid, triangles: int, low: Vector, high: Vector) -> Surface:
    """A head-sized solid's mesh: sampled finer, then thinned to so many triangles."""
    spacing = float(np.sqrt(AT_ONE_MM / (triangles * FINER)))
    return thinned(meshed(solid, low, high, spacing, pinholes=False), triangles)


def hand(name: str, spread_mm: float = HAND_MM) -> Warp:
    """A sculptor's unevenness, the same for all rounds of one sculpt."""
    digest = hashlib.sha256(f"{SEED} {name}".encode()).digest()
    chance = np.random.Generator(np.random.Philox(int.from_bytes(digest[:8], "big")))
    ways = chance.normal(0, 1, (HAND_WAVES, 3))
    ways *= (
        2
        * np.pi
        / (chance.uniform(*HAND_LENGTHS_MM, HAND_WAVES) * PER_MM)[:, None]
        / (np.linalg.norm(ways, axis=1, keepdims=True))
    )
    phases = chance.uniform(0, 2 * np.pi, HAND_WAVES)
    pushes = chance.normal(0, spread_mm * PER_MM * np.sqrt(2 / HAND_WAVES), (HAND_WAVES, 3))
    return (Waves(ways, phases, pushes),)


SCULPTS = (
    Sculpt("m1-level-1", "hd-m1", Head("level"), faults=(NOSE,)),
    Sculpt("m1-level-2", "hd-m1", Head("level", "bare", EAR_RAISED_MM), faults=(PARTLY_CORRECTED,)),
    Sculpt("m2-counting-1", "hd-m2", Head("counting")),
    Sculpt("l1-weary-1", "hd-l1", Head("weary", "cap")),
    Sculpt("l2-shouting-1", "hd-l2", Head("shouting", "cap")),
    Sculpt("l3-laughing-1", "hd-l3", Head("laughing", "cap"), bore_mm=8.35),
)
# The alternative to rooted hair, of both Muster heads; the later round of the level one.
HAIRED = (
    Sculpt("m1-hair-2", "hd-m1", Head("level", "queue", EAR_RAISED_MM), faults=(PARTLY_CORRECTED,)),
    Sculpt("m2-hair-1", "hd-m2", Head("counting", "queue")),
)
