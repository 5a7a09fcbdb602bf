"""The sculpts' landmarks as somebody placed them on the meshes, and how far each sculpt is off."""

import csv
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from heads.files import landmarks_file, mesh_file
from heads.landmarks import Key
from heads.sculpts import PER_MM, Sculpt
from numpy.typing import NDArray

from stills.subject import Person

Reals = NDArray[np.float64]

PLACING_MM = 0.03  # standard deviation on each axis, at 1:6


@dataclass(frozen=True, slots=True)
class Placed:
    """One landmark of one round: where it was placed, and how far the sculpt is off there (1:6)."""

    round: str
    key: Key
    place: Reals
    off: Reals | None


def placed(sculpt: Sculpt, folder: Path, chance: np.random.Generator) -> list[Placed]:
    """Every landmark of a round, placed on its mesh by hand.

    Parameters
    ----------
    folder
        Where the meshes and their landmarks lie.
    """
    import trimesh

    with landmarks_file(folder, sculpt).open(encoding="utf-8", newline="") as table:
        rows = list(csv.DictReader(table))
    keys = [(row["landmark"], row["side"]) for row in rows]
    true = np.array([[float(row[f"{axis}_mm"]) for axis in "xyz"] for row in rows])
    mesh: Any = trimesh.load(mesh_file(folder, sculpt), process=False)
    closest: Any = trimesh.proximity.closest_point
    laid, _, _ = closest(mesh, true + chance.normal(0, PLACING_MM, true.shape))
    person = Person(sculpt.head.name).all_landmarks
    return [
        Placed(sculpt.id, key, place, at - person[key] / PER_MM if key in person else None)
        for key, place, at in zip(keys, laid, true, strict=True)
    ]
