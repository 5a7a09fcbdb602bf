"""STL, binary and text: a soup of triangles, without a unit."""

import numpy as np

from sixwright.kernel.errors import MeshError
from sixwright.numerics.mesh.model import Ints
from sixwright.numerics.rotations import Floats
from sixwright.storage.meshes.raw import ASK_AGAIN, CUT_OFF, Raw, other_text, refuse_too_many
from sixwright.storage.meshes.text_rows import first_three, parsed, rows_of

# fabbers-1989 (the SLC/STL interface of October 1989): 80 bytes of header, a count, and 50 bytes
# a triangle: a normal and three corners as little-endian float32, and two bytes of attributes.
HEADER = 84
RECORD = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
_TEXT_LOOKED_AT = 2048
_NEVER_IN_TEXT = frozenset(range(9)) | frozenset(range(14, 32))
_END_LOOKED_AT = 4096


def read_stl(content: bytes) -> Raw:
    """The triangles of an STL, binary or text, told apart by what is in it.

    Raises
    ------
    MeshError
        If it is neither, holds fewer triangles than its header says, or too many.

    Source
    ------
    fabbers-1989. The word ``solid`` at the begin says nothing: binary files begin so too. What
    has the length that its count asks for is binary.
    """
    if len(content) >= HEADER and len(content) == HEADER + RECORD.itemsize * _count(content):
        return _binary(content, _count(content))
    if _is_text(content):
        return _text(content)
    return _binary(content, _promised(content))


def _count(content: bytes) -> int:
    return int.from_bytes(content[80:84], "little")


def _is_text(content: bytes) -> bool:
    """Whether it begins as text does: a binary STL has zeros in its first triangles."""
    return not set(content[:_TEXT_LOOKED_AT]) & _NEVER_IN_TEXT


def _promised(content: bytes) -> int:
    """Triangles to read from a binary file whose length is not what its count asks for."""
    if len(content) < HEADER:
        raise MeshError(f"an STL of {HEADER} bytes or more", f"{len(content)} bytes", CUT_OFF)
    count, room = _count(content), (len(content) - HEADER) // RECORD.itemsize
    exact = (len(content) - HEADER) % RECORD.itemsize == 0
    if count > room:
        lost = f"{count:,} triangles, as its header says"
        if count > 4 * room + 4:
            raise MeshError(
                f"{lost} ({HEADER + count * RECORD.itemsize:,} bytes)",
                f"room for {room:,}",
                "it is damaged, or it is no STL; " + ASK_AGAIN,
            )
        raise MeshError(lost, f"the end of the file after {room:,}", CUT_OFF)
    # Some programs write the count last and never come back to it.
    return room if count == 0 and exact else count


def _binary(content: bytes, count: int) -> Raw:
    refuse_too_many(count)
    records = np.frombuffer(content, RECORD, count, HEADER)
    corners = np.ascontiguousarray(records["corners"]).reshape(-1, 3)
    stated = _count(content)
    return Raw(
        corners,
        _soup(len(corners)),
        "STL",
        promised=stated if stated != count else None,
        left_over=len(content) - HEADER - count * RECORD.itemsize,
    )


def _soup(corners: int) -> Ints:
    """Every three corners a face."""
    return np.arange(corners, dtype=np.int32).reshape(-1, 3)


def _text(content: bytes) -> Raw:
    if b"\n" not in content[: 1 << 16]:
        content = content.replace(b"\r", b"\n")
    _check_text(content)
    found: list[Floats] = []
    count = 0
    facets = 0
    for rows in rows_of(content):
        is_vertex = rows.begins(b"vertex")
        facets += int(rows.begins(b"facet").sum())
        if is_vertex.any():
            values, counts = parsed(rows, is_vertex, np.float64, skip=1, least=3)
            found.append(first_three(values, counts))
            count += len(counts)
            refuse_too_many(count // 3)
    places = np.concatenate([np.zeros((0, 3)), *found])
    _check_whole(count, facets)
    return Raw(places, _soup(len(places)), "STL")


def _check_text(content: bytes) -> None:
    """Refuse a text that is no STL, or breaks off, before it is taken apart."""
    if b"facet" not in content[: 1 << 16].lower():
        if not content[:_TEXT_LOOKED_AT].lower().lstrip().startswith(b"solid"):
            raise other_text("the triangles of an STL", content)
    elif b"endsolid" not in content[-_END_LOOKED_AT:].lower():
        last = content[-_END_LOOKED_AT:].decode("utf-8", "replace").split("\n")[-1].strip()
        raise MeshError("“endsolid” at the end of the text", f"“{last[-40:]}”", CUT_OFF)


def _check_whole(corners: int, facets: int) -> None:
    if corners != 3 * facets:
        raise MeshError(
            "three corners a triangle",
            f"{corners:,} corners of {facets:,} triangles",
            ASK_AGAIN,
        )
