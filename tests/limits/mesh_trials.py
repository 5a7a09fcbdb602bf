"""Limits of sculpts' files, each gone beyond by one."""

import io
import zipfile
from pathlib import Path

from limits.trials import Trial
from numerics.mesh.shapes import box
from sixwright.kernel.errors import MeshError
from sixwright.kernel.protocols import no_memo
from sixwright.line.meshes import MeshRef
from sixwright.storage.meshes import glb, raw, threemf_archive
from sixwright.storage.meshes.load import MeshLoader
from storage.meshes import made
from storage.meshes.test_refusals import lying_zip


def load(folder: Path, name: str) -> str:
    """What is said of a sculpt that cannot be read, which it must not be able to."""
    try:
        MeshLoader(folder, no_memo)(MeshRef(name))
    except MeshError as error:
        return str(error)
    return "it was read"


def sculpt(name: str, content: bytes):
    def said(folder: Path) -> str:
        (folder / name).write_bytes(content)
        return load(folder, name)

    return said


def hole(folder: Path) -> str:
    with (folder / "head.stl").open("wb") as file:
        file.truncate(raw.MOST_BYTES + 50_000_000)
    return load(folder, "head.stl")


def glb_with(**changes) -> bytes:
    return made.glb_of(*made.glb_header(box(), **changes))


def many_triangles() -> bytes:
    """One whose description alone promises them."""
    header, body = made.glb_header(box())
    for accessor in header["accessors"]:
        if accessor["type"] == "SCALAR":
            accessor["count"] = 3 * (raw.MOST_TRIANGLES + 1)
    return made.glb_of(header, body)


def many_vertices() -> bytes:
    return (
        f"ply\nformat binary_little_endian 1.0\nelement vertex {raw.MOST_VERTICES + 1}\n"
        "property float x\nproperty float y\nproperty float z\n"
        "element face 1\nproperty list uchar int vertex_indices\nend_header\n"
    ).encode()


def many_files() -> bytes:
    held = io.BytesIO(made.threemf(box()))
    with zipfile.ZipFile(held, "a") as archive:
        for at in range(threemf_archive.MOST_MEMBERS + 1 - len(archive.infolist())):
            archive.writestr(f"x{at}", b"")
    return held.getvalue()


def many_placed() -> bytes:
    """Seventeen objects, each of the one before twice."""
    more = "".join(
        f'<object id="{i}" type="model"><components>'
        f'<component objectid="{i - 1}"/><component objectid="{i - 1}"/></components></object>'
        for i in range(2, 19)
    )
    return made.threemf(box(), more=more, build='<item objectid="18"/>')


def unpacks_on(folder: Path) -> str:
    return sculpt("head.3mf", lying_zip(threemf_archive.MOST_UNPACKED + 1))(folder)


GIGABYTE = 1e9
TRIALS = {
    "size of a sculpt's file": Trial(f"{raw.MOST_BYTES / GIGABYTE:.1f} GB", hole),
    "triangles of a sculpt": Trial(
        f"{raw.MOST_TRIANGLES:,}", sculpt("head.glb", many_triangles())
    ),
    "vertices of a sculpt's file": Trial(
        f"{raw.MOST_VERTICES:,}", sculpt("head.ply", many_vertices())
    ),
    "files in a 3MF": Trial(
        f"{threemf_archive.MOST_MEMBERS:,}", sculpt("head.3mf", many_files())
    ),
    "size of a 3MF, unpacked": Trial(
        f"{threemf_archive.MOST_UNPACKED / GIGABYTE:.1f} GB",
        unpacks_on,
        slow=True,
    ),
    "parts of a 3MF that are placed by way of others": Trial(
        f"{threemf_archive.MOST_PLACED:,}", sculpt("head.3mf", many_placed())
    ),
    "parts of a GLB": Trial(
        f"{glb.MOST_NODES:,}",
        sculpt("head.glb", glb_with(nodes=[{"mesh": 0}] * (glb.MOST_NODES + 1))),
    ),
}  # fmt: skip
