"""A sculpt from any side, without perspective: for browsers that draw nothing in space."""

from dataclasses import dataclass

import numpy as np

from sixwright.numerics.mesh.views import ImageWindow, Lens, Model, view
from sixwright.numerics.rotations import facing
from sixwright.reports.raster.panel import encoded, ground, with_mesh

# So far off that a head is the same size before and behind to a thousandth of a millimetre.
AWAY_MM = 1e5


@dataclass(frozen=True, slots=True)
class Turned:
    """From where a sculpt is seen.

    Attributes
    ----------
    yaw_deg, pitch_deg
        Of the eye: towards the figure's left, and up.
    middle_mm
        What lies in the middle of the picture.
    step_mm
        Of a pixel.
    width, height
        In pixels.
    """

    yaw_deg: float
    pitch_deg: float
    middle_mm: tuple[float, float, float]
    step_mm: float
    width: int
    height: int


def turned(model: Model, asked: Turned) -> bytes:
    """The picture as JPEG.

    Raises
    ------
    InputError
        If it has no pixel.
    """
    turn = facing(np.radians(asked.yaw_deg), np.radians(asked.pitch_deg))
    shift = np.array([0.0, 0.0, AWAY_MM]) - turn @ np.array(asked.middle_mm)
    lens = Lens(turn, shift, AWAY_MM, np.zeros(2))
    left, top = (-asked.step_mm * (side - 1) / 2 for side in (asked.width, asked.height))
    window = ImageWindow(left, top, asked.step_mm, asked.width, asked.height)
    seen = view(model, lens, window)
    return encoded(with_mesh(ground(asked.width, asked.height), seen, alpha=1.0))
