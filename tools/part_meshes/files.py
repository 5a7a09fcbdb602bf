"""The parts' meshes as files: written once, kept until the code that makes them changes."""

import hashlib
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import heads

from part_meshes.parts import Part

PACKAGES = (Path(__file__).resolve().parent, Path(heads.__path__[0]).resolve())


def code_digest() -> str:
    """Twelve letters that change with any line of this package, or of the heads' shapes."""
    digest = hashlib.sha256()
    for package in PACKAGES:
        for path in sorted(package.glob("*.py")):
            digest.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:12]


def kept(parts: Sequence[Part], cache: Path) -> tuple[Path, tuple[str, ...]]:
    """The folder that holds the parts' meshes, and the ids of those made just now.

    Raises
    ------
    NotClosedError
        If a mesh is not closed; its file is not there then.
    """
    folder = cache / code_digest()
    folder.mkdir(parents=True, exist_ok=True)
    missing = [part for part in parts if not mesh_file(folder, part).is_file()]
    for part in missing:
        write(part, folder)
    return folder, tuple(part.id for part in missing)


def mesh_file(folder: Path, part: Part) -> Path:
    """Where a part's mesh lies: a PLY, mm at 1:6, length along z, width along x, height y."""
    return folder / f"{part.id}.ply"


def write(part: Part, folder: Path) -> None:
    """Make one part's mesh, its file whole or not there."""
    import trimesh

    surface = part.surface()
    mesh = trimesh.Trimesh(surface.vertices, surface.faces, process=False)
    content: Any = mesh.export(file_type="ply")
    path = mesh_file(folder, part)
    path.with_suffix(".part").write_bytes(content)
    path.with_suffix(".part").replace(path)
