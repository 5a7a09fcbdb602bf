"""The keeper: 61, lean, a nose broken once, big ears; and the five faces that he is sculpted with.

Full-size millimetres; x to his left, y up, z forward; the origin lies between the notches of the
ears, at the height of the pupils. All invented.
"""

from dataclasses import dataclass

import numpy as np

from heads.fields import Vector, vector

HINGE = vector((0.0, -14.0, 10.0))  # about which the jaw turns
EYE = vector((31.5, 0.0, 67.5))
EYE_RADIUS = 13.2


@dataclass(frozen=True, slots=True)
class Expression:
    """How a face departs from the level one.

    Attributes
    ----------
    jaw_deg
        How far the jaw is turned down.
    corner_out_mm, corner_up_mm
        Where the corners of the mouth go.
    lip_up_mm, lip_down_mm
        How far the upper lip is drawn up, and the lower one down beyond what the jaw does.
    smile, sneer
        How deep the fold beside the mouth, and how far the cheek is lifted; 0 to 1.
    brow_mm
        How far the brows are raised.
    frown
        How far they are drawn together; 0 to 1.
    lids
        How far the upper lids are lowered; below 0 they are opened wide.
    squint
        How far the lower lids are raised; 0 to 1.
    gaze
        Where the eyes look: to his left, and up; tangents.
    """

    jaw_deg: float = 0.0
    corner_out_mm: float = 0.0
    corner_up_mm: float = 0.0
    lip_up_mm: float = 0.0
    lip_down_mm: float = 0.0
    smile: float = 0.0
    sneer: float = 0.0
    brow_mm: float = 0.0
    frown: float = 0.0
    lids: float = 0.0
    squint: float = 0.0
    gaze: tuple[float, float] = (0.0, 0.0)

    def in_jaw(self, place: Vector) -> Vector:
        """Where the jaw takes a place of its own, mm."""
        angle = np.radians(self.jaw_deg)
        up, forward = place[1] - HINGE[1], place[2] - HINGE[2]
        return vector(
            (
                place[0],
                HINGE[1] + up * np.cos(angle) - forward * np.sin(angle),
                HINGE[2] + up * np.sin(angle) + forward * np.cos(angle),
            )
        )


EXPRESSIONS = {
    "level": Expression(),
    "counting": Expression(
        jaw_deg=5.5, corner_out_mm=1.5, lip_up_mm=3.5, lip_down_mm=3.5, sneer=0.25, brow_mm=3.0
    ),
    "weary": Expression(
        corner_up_mm=-2.5, lids=0.45, brow_mm=-0.5, frown=0.2, gaze=(0.0, -0.12)
    ),
    "shouting": Expression(
        jaw_deg=17.0, corner_out_mm=-0.5, lip_up_mm=4.5, lip_down_mm=3.0, sneer=0.9,
        brow_mm=-1.0, frown=1.0, squint=0.3, lids=-0.15,
    ),
    "laughing": Expression(
        jaw_deg=9.0, corner_out_mm=6.5, corner_up_mm=6.5, lip_up_mm=4.5, lip_down_mm=0.5,
        smile=1.0, brow_mm=1.0, lids=0.3, squint=0.9,
    ),
}  # fmt: skip
