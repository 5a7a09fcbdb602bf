"""Which part of the demo is which solid."""

from dataclasses import dataclass

import numpy as np
from heads.fields import vector
from heads.surface import Solid, Surface, meshed, thinned

from part_meshes.base import base_plate
from part_meshes.boots import boot, plate
from part_meshes.hands import gripping
from part_meshes.metal import KEYS, crank, key, lantern

ROOM = 1.5  # of the box about a part, in spacings


@dataclass(frozen=True, slots=True)
class Part:
    """A part that has a mesh.

    Attributes
    ----------
    id
        As in the demo's parts table.
    solid
        Distance to its surface, mm at 1:6.
    low, high
        The box it lies in, mm.
    spacing
        Of the grid it is sampled on, mm.
    triangles
        At most.
    holes
        How many ways lead through it: its genus.
    """

    id: str
    solid: Solid
    low: tuple[float, float, float]
    high: tuple[float, float, float]
    spacing: float
    triangles: int
    holes: int = 0

    def surface(self) -> Surface:
        """Its closed mesh.

        Raises
        ------
        NotClosedError
            If the solid leaves its box, or cannot be thinned.
        """
        room = ROOM * self.spacing * np.ones(3)
        low, high = vector(self.low) - room, vector(self.high) + room
        return thinned(meshed(self.solid, low, high, self.spacing), self.triangles)


PARTS = (
    Part("hn-gr", gripping, (-8.6, -8.2, 0), (8.8, 7.5, 24.5), 0.2, 24_000),
    Part("crnk", crank, (-4.5, -4.5, 0), (33.6, 4.5, 162), 0.3, 20_000),
    Part("lant", lantern, (-9.5, -9.5, 0), (9.5, 9.5, 34), 0.2, 24_000, 4),
    Part("boot", boot, (-8.5, 0, -14), (8.5, 52, 33), 0.35, 24_000),
    Part("sole", plate, (-5.5, 0, -17), (5.5, 0.8, 17), 0.12, 6_000),
    Part("plnt", base_plate, (-74, 0, -88), (74, 31, 88), 0.6, 40_000, 1),
    *(
        Part(f"key-{n:02d}", key(n), (-2.3, -0.8, 0), (2.3, 0.8, 11), 0.07, 8_000, 1)
        for n in range(1, KEYS + 1)
    ),
)
