"""Meshes with few faces, to be looked at: made once of each file, and sent to a browser."""

from contextlib import suppress
from io import BytesIO
from pathlib import Path

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh.model import Mesh
from sixwright.numerics.mesh.preview import preview
from sixwright.storage.cache import keep
from sixwright.storage.code_digest import digest_of_code
from sixwright.storage.files.writer_lock import cache_path

MOST_BYTES = 200_000_000  # of previews in the cache: some seventy heads


def kept_preview(sha256: str) -> Mesh | None:
    """The preview of a file, in the file's own numbers and axes; None where none was made."""
    with suppress(OSError):
        return unpacked(_file(sha256).read_bytes())
    return None


def keep_preview(sha256: str, mesh: Mesh) -> Mesh:
    """Make the preview of a file's welded mesh, and keep it where the cache can."""
    made = preview(mesh)
    with suppress(OSError):
        keep(_file(sha256), packed(made), MOST_BYTES)
    return made


def packed(mesh: Mesh) -> bytes:
    """A mesh as a browser reads it: how many vertices and faces, places, corners; little endian.

    Two 32-bit counts, n and f; then 3 n 32-bit floats, then 3 f 32-bit numbers of vertices.
    """
    out = BytesIO()
    out.write(np.array([len(mesh.vertices), len(mesh.faces)], "<u4").tobytes())
    out.write(mesh.vertices.astype("<f4").tobytes())
    out.write(mesh.faces.astype("<u4").tobytes())
    return out.getvalue()


def unpacked(content: bytes) -> Mesh | None:
    """The mesh that was packed; None where it is not whole."""
    if len(content) < 8:
        return None
    vertices, faces = (int(count) for count in np.frombuffer(content[:8], "<u4"))
    if len(content) != 8 + 12 * (vertices + faces):
        return None
    middle = 8 + 12 * vertices
    with suppress(InputError):
        return Mesh(
            np.frombuffer(content[8:middle], "<f4").reshape(-1, 3).astype(np.float32),
            np.frombuffer(content[middle:], "<u4").reshape(-1, 3).astype(np.int32),
        )
    return None


def _file(sha256: str) -> Path:
    return cache_path() / "previews" / f"{sha256}-{digest_of_code(preview.__module__)[:16]}.bin"
