"""The person in one expression, as a solid: every feature, in the order in which they overlap."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from heads.age import creases
from heads.bones import bare_head
from heads.covers import COVERS, brows
from heads.ears import with_ear
from heads.eyes import with_eyes
from heads.fields import Block, Feature, Reals, both_sides, join, vector
from heads.mouth import Mouth, with_mouth
from heads.necks import with_neck
from heads.nose import with_nose
from heads.person import EXPRESSIONS, Expression
from heads.shapes import Crease, Tube
from heads.warps import BREAK, LOPSIDED, Warp, before, expressive

LOW, HIGH = vector((-112, -150, -132)), vector((112, 142, 138))
BROWS_LOW, BROWS_HIGH = vector((-66, -4, 40)), vector((66, 40, 112))
TUFT_MELT = 0.6


@dataclass(frozen=True)
class Head:
    """The person himself, no sculptor's hand in it; his neck goes on downwards.

    Attributes
    ----------
    name
        Of an expression: a key of `EXPRESSIONS`.
    cover
        What is on the head: a key of `COVERS`, or "bare".
    ear_raised_mm
        How much too high a sculptor set his right ear.
    """

    name: str
    cover: str = "bare"
    ear_raised_mm: float = 0.0

    @property
    def expression(self) -> Expression:
        """How his face departs from the level one."""
        return EXPRESSIONS[self.name]

    @cached_property
    def warp(self) -> Warp:
        """What moves his features from where they are modelled, the outermost first."""
        return (*LOPSIDED, *BREAK, *expressive(self.expression))

    @cached_property
    def mouth(self) -> Mouth:
        """His mouth, before it is moved."""
        return Mouth.of(self.expression)

    def solid(self, outside: Block) -> Reals:
        """Distance to his surface, mm."""
        return self.unmoved(before(self.warp, outside))

    def unmoved(self, block: Block) -> Reals:
        """The same before all that moves his features."""
        base = self._base(block)
        solid = self._faced(base, block)
        for crease in self._creases:
            solid = both_sides(solid, block, _pressed(crease))
        if self.cover in COVERS:
            solid = COVERS[self.cover](solid, base, block)
        if block.clearance(BROWS_LOW, BROWS_HIGH) < TUFT_MELT + float(solid.max()):
            for tuft in self._brows:
                solid = both_sides(solid, block, _grown(tuft))
        return both_sides(solid, block, self._with_ear).astype(np.float32)

    def _with_ear(self, solid: Reals, block: Block, side: float) -> Reals:
        return with_ear(solid, block, side, self.ear_raised_mm if side < 0 else 0.0)

    def _base(self, block: Block) -> Reals:
        return with_neck(bare_head(block, self.expression), block)

    def _faced(self, solid: Reals, block: Block) -> Reals:
        solid = with_nose(solid, block)
        solid = with_mouth(solid, block, self.mouth)
        return with_eyes(solid, block, self.expression)

    def _smooth(self, block: Block) -> Reals:
        return self._faced(self._base(block), block)

    @cached_property
    def _creases(self) -> tuple[Crease, ...]:
        return creases(self._smooth, self.mouth)

    @cached_property
    def _brows(self) -> tuple[Tube, ...]:
        return brows(self._smooth)


def _pressed(crease: Crease) -> Feature:
    return lambda solid, block, _: crease.swell(solid, block)


def _grown(tuft: Tube) -> Feature:
    return lambda solid, block, _: join(solid, block, tuft, TUFT_MELT)
