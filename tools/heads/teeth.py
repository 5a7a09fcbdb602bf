"""Teeth on their gums, the tongue and the palate: what one sees between open lips."""

from dataclasses import dataclass

import numpy as np

from heads.bones import in_jaw
from heads.fields import Block, Reals, join, turned
from heads.person import Expression
from heads.shapes import Egg, Slab, Tube

# Width and height of each crown from the middle backward, mm: roughly a grown man's.
UPPER = ((8.6, 10.4), (6.8, 9.8), (7.7, 10.2), (7.2, 9.5), (6.9, 9.2), (9.6, 8.8))
LOWER = ((5.6, 9.4), (6.0, 9.5), (6.9, 10.2), (7.0, 9.0), (7.0, 8.8), (10.0, 8.2))
UNEVEN = (0.15, -0.3, 0.2, -0.2, 0.3, 0.0)  # he has had them for 61 years
FRONT_TEETH = 3
ARCH_BACK = 62.0  # z from where the arches curve forward, mm
TONGUE = Egg.at((0, -80, 66), (17, 7, 21))
FLOOR = Egg.at((0, -88, 60), (22, 12, 30))
PALATE = Egg.at((0, -49, 58), (22, 9, 30))


@dataclass(frozen=True, slots=True)
class DentalArch:
    """The teeth of one jaw and the gum that they stand in."""

    teeth: tuple[Slab, ...]
    gum: Tube

    @staticmethod
    def along(
        crowns: tuple[tuple[float, float], ...],
        *,
        half_width: float,
        length: float,
        gum_y: float,
        grow: float,
    ) -> "DentalArch":
        """Teeth along half an ellipse; they grow up from the gum (1) or down (-1)."""
        angle = np.linspace(0, np.pi / 2, 400)
        arch = np.column_stack([half_width * np.sin(angle), length * np.cos(angle)])
        way = np.concatenate([[0], np.cumsum(np.linalg.norm(np.diff(arch, axis=0), axis=1))])
        middles = np.cumsum([width for width, _ in crowns]) - np.array(crowns)[:, 0] / 2
        teeth = [
            _tooth(
                number, side, crowns[number], arch, int(np.searchsorted(way, middle)), gum_y, grow
            )
            for number, middle in enumerate(middles)
            for side in (1, -1)
        ]
        ridge = np.column_stack(
            [
                0.9 * half_width * np.sin(angle[::57]),
                np.full(8, gum_y - 2.0 * grow),
                ARCH_BACK + length * np.cos(angle[::57]) - 3.4,
            ]
        )
        return DentalArch(
            tuple(teeth), Tube.through(np.vstack([ridge[:0:-1] * (-1, 1, 1), ridge]), 3.8)
        )


def _tooth(  # noqa: PLR0913, PLR0917
    number: int,
    side: int,
    crown: tuple[float, float],
    arch: np.ndarray,
    i: int,
    gum_y: float,
    grow: float,
) -> Slab:
    width, height = crown
    way = arch[min(i + 1, len(arch) - 1)] - arch[i - 1]
    inward = np.array([way[1], -way[0]]) / np.linalg.norm(way)
    front = number < FRONT_TEETH
    depth = 3.0 if front else 4.2
    x, z = arch[i] + depth * inward
    tall = height + UNEVEN[(2 * number + (side < 0)) % len(UNEVEN)]
    lean = 8 * UNEVEN[(number + 3 * (side < 0)) % len(UNEVEN)]
    yaw = side * np.degrees(np.arctan2(-way[1], way[0]))
    return Slab.at(
        (side * x, gum_y + grow * (tall / 2 - 1.5), ARCH_BACK + z),
        (width / 2 - 0.15, tall / 2 + 1.5, depth),
        1.7 if front else 2.2,
        turned(0, yaw + lean, 0),
    )


UPPER_ROW = DentalArch.along(UPPER, half_width=25.0, length=32.5, gum_y=-58.0, grow=-1.0)
LOWER_ROW = DentalArch.along(LOWER, half_width=22.5, length=30.0, gum_y=-77.5, grow=1.0)


def within(block: Block, expression: Expression) -> Reals:
    """Teeth, gums, tongue and palate, as a solid."""
    jaw = in_jaw(block, expression)
    inside = join(FLOOR.distance(jaw), jaw, TONGUE, 2)
    inside = join(inside, block, PALATE, 1)
    for here, row in ((block, UPPER_ROW), (jaw, LOWER_ROW)):
        for tooth in row.teeth:
            inside = join(inside, here, tooth, 0.5)
        inside = join(inside, here, row.gum, 1.2)
    return inside
