"""The cameras behind the demo's stills: where each stood, and what became of its picture.

A projection of its own; the solver that has to find these cameras shares nothing with it.
Lengths are full-size mm in the head's frame (x to his left, y up, z forward), pixels as in the
picture: x right, y down, the middle of the top-left pixel at (0, 0).
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

Reals = NDArray[np.float64]

FULL = (1440, 1080)
LOOKED_AT = np.array([0.0, -8.0, 18.0])  # what lies about the middle of each picture


@dataclass(frozen=True)
class Shot:
    """One still.

    Attributes
    ----------
    id
        In the line's tables.
    expression
        The person's, a key of `heads.person.EXPRESSIONS`.
    yaw_deg, pitch_deg
        How far the camera stands to his left, and above.
    roll_deg
        How far it leans.
    distance_mm, focal_px
        From the head's middle; of the lens, before any squeeze.
    light_deg
        Where the main light stands: to his left, and above.
    worn
        What hides part of the face: a key of `heads.masks.MASKS`, or nothing.
    mirrored, squeeze
        What was done to the picture and is not told.
    crop
        What was cut out of the whole frame: left, top, width, height (px).
    """

    id: str
    expression: str
    yaw_deg: float
    pitch_deg: float
    roll_deg: float
    distance_mm: float
    focal_px: float
    light_deg: tuple[float, float]
    worn: str = ""
    mirrored: bool = False
    squeeze: float = 1.0
    crop: tuple[int, int, int, int] | None = None

    @property
    def size(self) -> tuple[int, int]:
        """Width and height of the picture, px."""
        return (self.crop[2], self.crop[3]) if self.crop else FULL

    @property
    def corner(self) -> tuple[int, int]:
        """Where the picture's top-left pixel lay in the whole frame."""
        return (self.crop[0], self.crop[1]) if self.crop else (0, 0)

    @cached_property
    def axes(self) -> Reals:
        """Right, down and forward of the camera, the rows of a (3, 3)."""
        yaw, pitch, roll = np.radians([self.yaw_deg, self.pitch_deg, self.roll_deg])
        out = np.array([np.sin(yaw) * np.cos(pitch), np.sin(pitch), np.cos(yaw) * np.cos(pitch)])
        right = np.cross([0.0, 1.0, 0.0], out)
        right /= np.linalg.norm(right)
        down = np.cross(right, out)
        c, s = np.cos(roll), np.sin(roll)
        axes: Reals = np.array([c * right + s * down, c * down - s * right, -out])
        return axes

    @property
    def place(self) -> Reals:
        """Where the lens is, mm."""
        where: Reals = LOOKED_AT - self.distance_mm * self.axes[2]
        return where

    @cached_property
    def centre(self) -> Reals:
        """Where the lens's axis meets the picture, px: near the middle of the whole frame."""
        off = np.array([5.0 * np.sin(self.focal_px), 4.0 * np.cos(self.focal_px)])
        middle: Reals = (np.array(FULL) - 1) / 2 + off - np.array(self.corner)
        return middle

    def seen_from(self, places: Reals) -> Reals:
        """Places (n, 3) on the camera's axes: right, down, forward, mm."""
        inside: Reals = (places - self.place) @ self.axes.T
        return inside

    def pixels(self, places: Reals) -> Reals:
        """Where the picture shows places, (n, 2), before it is mirrored."""
        right, down, forward = self.seen_from(places).T
        along = np.stack([self.squeeze * right / forward, down / forward], -1)
        at: Reals = self.focal_px * along + self.centre
        return at

    def as_kept(self, pixels: Reals) -> Reals:
        """The same pixels in the picture as it is kept: mirrored where it was."""
        kept = np.array(pixels, np.float64)
        if self.mirrored:
            kept[..., 0] = self.size[0] - 1 - kept[..., 0]
        return kept


SHOTS = (
    Shot("s01-quay", "level", 4, 2, 1.2, 2600, 8500, (40, 38)),
    Shot("s02-stairs", "level", 38, -6, -2.0, 1900, 6250, (75, 45)),
    Shot("s03-window", "level", -34, 5, 0.8, 2300, 7500, (-80, 30)),
    Shot("s04-lamp", "level", 82, 0, -0.6, 2500, 8250, (50, 42)),
    Shot("s05-gate", "level", -66, 8, 2.4, 2200, 7250, (-35, 50), mirrored=True),
    Shot("s06-rain", "level", -14, -18, -1.5, 2000, 6500, (-50, 60), squeeze=0.75),
    Shot("s07-bell", "counting", 12, 4, 0.5, 2100, 7000, (55, 40)),
    Shot("s08-ledger", "counting", -47, -8, -2.6, 2400, 7750, (-20, 48), worn="half"),
    Shot(
        "s09-bench", "weary", 24, 10, 1.8, 2300, 7500, (70, 50), crop=(330, 70, 960, 960)
    ),
    Shot("s10-boat", "weary", -57, 2, -0.9, 2000, 6750, (-90, 35), worn="raised"),
    Shot("s11-storm", "shouting", 7, -3, 3.0, 2200, 7250, (-45, 55)),
    Shot("s12-feast", "laughing", -9, 4, -1.2, 2400, 8000, (30, 35)),
)  # fmt: skip
