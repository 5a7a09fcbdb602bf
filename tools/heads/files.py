"""The meshes and their landmarks as files, at 1:6: written once, kept until the code changes."""

import csv
import hashlib
from collections.abc import Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Protocol

import numpy as np

from heads.fields import Vector
from heads.landmarks import Key
from heads.sculpts import PER_MM
from heads.surface import Surface

HERE = Path(__file__).resolve().parent
WORKERS = 2
HEADER = ("round", "landmark", "side", "x_mm", "y_mm", "z_mm")


class Made(Protocol):
    """What can be made: a sculpt, or a mask without landmarks."""

    @property
    def id(self) -> str:
        """Its name, and its files'."""

    @property
    def landmarks(self) -> Mapping[Key, Vector]:
        """Its landmarks, full-size mm."""

    def surface(self, triangles: int) -> Surface:
        """Its mesh with about so many triangles at most, full-size mm."""


def code_digest() -> str:
    """Twelve letters that change with any line of this package."""
    digest = hashlib.sha256()
    for path in sorted(HERE.glob("*.py")):
        digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:12]


def kept(sculpts: Sequence[Made], *, triangles: int, cache: Path) -> tuple[Path, tuple[str, ...]]:
    """The folder that holds the sculpts' files, and the ids of those made just now.

    Parameters
    ----------
    sculpts
        Which are wanted.
    triangles
        Of each, at most.
    cache
        Where folders of files are kept, one for each state of this package and size.

    Raises
    ------
    NotClosedError
        If a mesh is not closed; none of its files is there then.
    """
    folder = cache / f"{code_digest()}-{triangles}"
    folder.mkdir(parents=True, exist_ok=True)
    # The table of landmarks is written after the mesh: where it is, both are whole.
    missing = [one for one in sculpts if not landmarks_file(folder, one).is_file()]
    if missing:
        make = partial(write, triangles=triangles, folder=folder)
        with ProcessPoolExecutor(WORKERS, mp_context=get_context("spawn")) as workers:
            list(workers.map(make, missing))
    return folder, tuple(one.id for one in missing)


def mesh_file(folder: Path, sculpt: Made) -> Path:
    """Where a sculpt's mesh lies: a PLY, mm at 1:6, y up, z out of the face."""
    return folder / f"{sculpt.id}.ply"


def landmarks_file(folder: Path, sculpt: Made) -> Path:
    """Where its landmarks lie: a table, mm at 1:6 in the mesh's own axes."""
    return folder / f"{sculpt.id}.landmarks.csv"


def write(sculpt: Made, *, triangles: int, folder: Path) -> None:
    """Make one sculpt's mesh and landmarks, each file whole or not there.

    Raises
    ------
    NotClosedError
        If the mesh is not closed.
    """
    import trimesh

    surface = sculpt.surface(triangles)
    mesh = trimesh.Trimesh(surface.vertices / PER_MM, surface.faces, process=False)
    content: Any = mesh.export(file_type="ply")
    _put(mesh_file(folder, sculpt), content)
    # In a fold finer than the triangles the mesh runs beside the skin: they come out with the mesh.
    sought = np.array(list(sculpt.landmarks.values())) / PER_MM
    closest: Any = trimesh.proximity.closest_point
    laid = closest(mesh, sought)[0] if len(sought) else []
    rows = [
        (sculpt.id, *key, *(f"{number:.4f}" for number in place))
        for key, place in zip(sculpt.landmarks, laid, strict=True)
    ]
    table = landmarks_file(folder, sculpt)
    with table.with_suffix(".part").open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\n")
        writer.writerow(HEADER)
        writer.writerows(rows)
    table.with_suffix(".part").replace(table)


def _put(path: Path, content: bytes) -> None:
    part = path.with_suffix(".part")
    part.write_bytes(content)
    part.replace(path)
