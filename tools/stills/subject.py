"""Who stood before the camera: the hidden true head, what he wears, and his coat.

The person's head comes from the generator of the sculpts, with the unevenness of nature instead of
a sculptor's, and no fault. Lengths are full-size mm in the head's frame.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property

import numpy as np
from heads import masks
from heads.fields import Block, Reals, Vector
from heads.head import HIGH, LOW, Head
from heads.landmarks import HIDDEN, Key, landmarks
from heads.masks import MASKS
from heads.sculpts import hand
from heads.surface import Surface, meshed
from heads.warps import Warp, after, before

NATURE_MM = 0.03  # how uneven he is beside the formulas, on each axis, standard deviation at 1:6
SPACING_MM = 1.0
NECK_ENDS = -141.0  # inside the coat
WEARS = {
    "level": "queue", "counting": "queue", "weary": "cap", "shouting": "cap", "laughing": "cap",
}  # fmt: skip
# Rings of the coat's collar and shoulders: height, half its width, half its depth, middle's z.
COAT = np.array(
    [
        (-146, 50, 47, -14), (-126, 66, 62, -12), (-128, 73, 69, -12), (-152, 84, 76, -13),
        (-178, 108, 84, -16), (-200, 152, 94, -20), (-224, 196, 102, -24), (-262, 214, 108, -26),
        (-420, 224, 112, -28),
    ],
    np.float64,
)  # fmt: skip
COAT_STEPS = (140, 420)  # along and around


@dataclass(frozen=True)
class Person:
    """The person in one expression."""

    expression: str

    @cached_property
    def head(self) -> Head:
        """His head with what he wears on it."""
        return Head(self.expression, WEARS[self.expression])

    @cached_property
    def warp(self) -> Warp:
        """What nature did to him, the same in every expression."""
        return hand("keeper", NATURE_MM)

    def solid(self, block: Block) -> Reals:
        """Distance to his skin, hair and cap; his neck ends inside the coat."""
        solid: Reals = np.maximum(
            self.head.solid(before(self.warp, block)), np.float32(NECK_ENDS) - block.y
        )
        return solid

    @cached_property
    def all_landmarks(self) -> Mapping[Key, Vector]:
        """Where each landmark truly lies, under hair and cap too."""
        places = landmarks(Head(self.expression))
        moved = after(self.warp, np.array(list(places.values())))
        return dict(zip(places, moved, strict=True))

    @property
    def landmarks(self) -> Mapping[Key, Vector]:
        """Those that neither hair nor cap hides."""
        hidden = HIDDEN[self.head.cover]
        return {key: place for key, place in self.all_landmarks.items() if key[0] not in hidden}


@cache
def skin(expression: str) -> Surface:
    """His head in an expression."""
    return meshed(Person(expression).solid, LOW, HIGH, SPACING_MM)


@cache
def worn(name: str) -> Surface:
    """What he wears over his face."""
    return meshed(MASKS[name].worn(Head("level")), masks.LOW, masks.HIGH, SPACING_MM)


@cache
def coat() -> Surface:
    """His collar and shoulders: no solid, for nobody sees them from below."""
    steps, around = COAT_STEPS
    at = np.linspace(0, len(COAT) - 1, steps)
    y, wide, deep, z = (np.interp(at, np.arange(len(COAT)), column) for column in COAT.T)
    turn = np.linspace(0, 2 * np.pi, around, endpoint=False)
    fold = 1 + 0.012 * np.sin(9 * turn + 0.02 * y[:, None])
    vertices = np.stack(
        [
            wide[:, None] * fold * np.sin(turn),
            np.broadcast_to(y[:, None], (steps, around)),
            z[:, None] + deep[:, None] * fold * np.cos(turn),
        ],
        -1,
    ).reshape(-1, 3)
    ring = np.arange(steps - 1)[:, None] * around
    here, beside = np.arange(around), (np.arange(around) + 1) % around
    a, b = (ring + here).ravel(), (ring + beside).ravel()
    faces = np.concatenate(
        [np.stack([a, a + around, b], 1), np.stack([b, a + around, b + around], 1)]
    )
    return Surface(vertices, faces.astype(np.int32))
