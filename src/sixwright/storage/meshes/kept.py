"""Welded meshes in the cache directory, by the checksum of the file they came from.

Two plain arrays and a little JSON a mesh; no pickle. What cannot be read back is a miss, and the
meshes that were not asked for the longest go when all together are larger than `MOST_BYTES`.
"""

import json
import os
import shutil
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.line.mesh_guess import FileSays
from sixwright.line.mesh_oddities import FileFacts
from sixwright.numerics.mesh.model import Mesh
from sixwright.storage.cache import OURS
from sixwright.storage.code_digest import digest_of_code
from sixwright.storage.files.writer_lock import cache_path

MOST_BYTES = 4_000_000_000

Kept = tuple[Mesh, FileSays, FileFacts]


def kept_mesh(sha256: str) -> Kept | None:
    """A mesh that was kept, or None."""
    place = _folder() / _name(sha256)
    with suppress(OSError, EOFError, ValueError, TypeError, KeyError, InputError):
        told = json.loads((place / "facts.json").read_bytes())
        arrays = (np.load(place / f"{part}.npy", allow_pickle=False) for part in _PARTS)
        mesh = Mesh(*arrays)
        os.utime(place)
        return mesh, FileSays(**told["says"]), FileFacts(**told["facts"])
    return None


_PARTS = ("vertices", "faces")


def keep_mesh(sha256: str, mesh: Mesh, says: FileSays, facts: FileFacts) -> None:
    """Keep a mesh for the next time; a cache that cannot be written costs time, never an answer."""
    place = _folder() / _name(sha256)
    part = place.with_name(f"{place.name}-{os.getpid()}.part")
    with suppress(OSError):
        part.mkdir(parents=True, exist_ok=True)
        np.save(part / "vertices.npy", mesh.vertices, allow_pickle=False)
        np.save(part / "faces.npy", mesh.faces, allow_pickle=False)
        told = {"says": asdict(says), "facts": asdict(facts)}
        (part / "facts.json").write_bytes(json.dumps(told).encode())
        if place.exists():
            shutil.rmtree(place)
        part.replace(place)
        _forget_oldest()
    shutil.rmtree(part, ignore_errors=True)


def _folder() -> Path:
    return cache_path() / "meshes"


def _name(sha256: str) -> str:
    return f"{sha256}-{digest_of_code(__name__)[:16]}"


def _forget_oldest() -> None:
    """Remove what has not been asked for the longest, until the rest fits."""
    entries = []
    for place in (place for place in _folder().iterdir() if OURS.match(place.name)):
        with suppress(OSError):
            size = sum(file.stat().st_size for file in place.iterdir())
            entries.append((place.stat().st_mtime_ns, size, place))
    total = sum(size for _, size, _ in entries)
    for _, size, place in sorted(entries):
        if total <= MOST_BYTES:
            return
        shutil.rmtree(place, ignore_errors=True)
        total -= size
