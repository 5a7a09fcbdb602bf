"""Where a picture of a sculpt looks from: a still's solved camera, or one of our own."""

import numpy as np

from sixwright.line.shots import Camera
from sixwright.numerics.mesh.views import Lens, Model
from sixwright.numerics.rotations import facing

JUMP_MM = 1.0  # a step back of the surface that is drawn as an edge
LONGER = 3.0  # times an arrow is as long as the move it asks for: half a millimetre is six pixels
AWAY_MM = 2000 / 6  # of the camera of a contact sheet: 2 m at full size


def lens_of(camera: Camera) -> Lens:
    """A solved camera, to look through."""
    return Lens(
        np.array(camera.rotation),
        np.array(camera.t_mm),
        camera.f_px,
        np.array(camera.c_px),
        camera.squeeze,
        camera.width_px if camera.mirrored else None,
    )


def looking(
    model: Model, yaw_deg: float, pitch_deg: float, away_mm: float, focal_px: float
) -> Lens:
    """A lens that looks at the middle of a mesh from one side."""
    turn = facing(np.radians(yaw_deg), np.radians(pitch_deg))
    shift = np.array([0.0, 0.0, away_mm]) - turn @ model.middle
    return Lens(turn, shift, focal_px, np.zeros(2))
