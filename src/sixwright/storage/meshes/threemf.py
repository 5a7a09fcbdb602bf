"""3MF through lib3mf: the build as it would be printed, in the unit that the file states."""

import ctypes
import io
from functools import cache
from typing import Any

from sixwright.kernel.errors import MeshError
from sixwright.storage.meshes.raw import Raw, refuse_too_many
from sixwright.storage.meshes.stl import read_stl
from sixwright.storage.meshes.threemf_archive import DAMAGED, check_archive

# The 3MF core specification's units and ours; its default is the millimetre.
_UNITS = ("um", "mm", "cm", "in", "ft", "m")


def read_3mf(content: bytes) -> Raw:
    """All objects of a 3MF's build, each where the build puts it.

    Raises
    ------
    MeshError
        If the archive is damaged, unpacks without end, or holds no build.

    Source
    ------
    3mf-core-1.4 (3MF Consortium; ISO/IEC 25422:2025): right-handed, +z up, a unit for all.
    """
    check_archive(content)
    import lib3mf

    try:
        unit, triangles = _as_stl(content)
    except lib3mf.ELib3MFException as error:
        raise MeshError("a 3MF that holds together", "one that does not", DAMAGED) from error
    raw = read_stl(triangles)
    return Raw(raw.places, raw.faces, "3MF", unit=unit, up="+z")


def _as_stl(content: bytes) -> tuple[str, bytes]:
    """The file's unit, and its build as a binary STL."""
    from lib3mf import Lib3MF

    model = _library().CreateModel()
    reader = model.QueryReader("3mf")
    source = io.BytesIO(content)

    @Lib3MF.ReadCallback  # type: ignore[untyped-decorator]
    def read(address: int, size: int, _data: object) -> None:
        piece = source.read(size)
        ctypes.memmove(address, piece, len(piece))

    @Lib3MF.SeekCallback  # type: ignore[untyped-decorator]
    def seek(place: int, _data: object) -> None:
        source.seek(place)

    reader.ReadFromCallback(read, len(content), seek, None)
    refuse_too_many(_build_triangles(model))
    target = io.BytesIO()

    @Lib3MF.WriteCallback  # type: ignore[untyped-decorator]
    def write(address: int, size: int, _data: object) -> None:
        target.write(ctypes.string_at(address, size))

    @Lib3MF.SeekCallback  # type: ignore[untyped-decorator]
    def seek_target(place: int, _data: object) -> None:
        target.seek(place)

    model.QueryWriter("stl").WriteToCallback(write, seek_target, None)
    return _UNITS[int(model.GetUnit())], target.getvalue()


@cache
def _library() -> Any:
    """lib3mf, opened once: it takes ten milliseconds."""
    from lib3mf import get_wrapper

    return get_wrapper()


def _build_triangles(model: Any) -> int:
    """Triangles of the build, an object counted each time it is placed."""
    known: dict[int, int] = {}
    items = model.GetBuildItems()
    total = 0
    while items.MoveNext():
        total += _object_triangles(items.GetCurrent().GetObjectResource(), known)
    if not total:
        raise MeshError(
            "at least one triangle",
            "a 3MF that builds none of its objects",
            "ask for the surface to be exported",
        )
    return total


def _object_triangles(thing: Any, known: dict[int, int]) -> int:
    key = int(thing.GetUniqueResourceID())
    if key not in known:
        known[key] = 0
        if thing.IsMeshObject():
            known[key] = int(thing.GetTriangleCount())
        elif thing.IsComponentsObject():
            known[key] = sum(
                _object_triangles(thing.GetComponent(i).GetObjectResource(), known)
                for i in range(thing.GetComponentCount())
            )
    return known[key]
