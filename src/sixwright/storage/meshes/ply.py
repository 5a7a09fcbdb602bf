"""PLY, as text and binary in both byte orders, without a unit."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from sixwright.kernel.errors import MeshError
from sixwright.numerics.mesh.model import Longs, Vertices
from sixwright.numerics.rotations import Floats
from sixwright.storage.meshes.obj import cut_in_triangles
from sixwright.storage.meshes.ply_header import Element, Header, Property, read_header
from sixwright.storage.meshes.raw import (
    CUT_OFF,
    FEWER,
    MOST_TRIANGLES,
    MOST_VERTICES,
    Raw,
    refuse_too_many,
)
from sixwright.storage.meshes.text_rows import first_three, parsed, rows_of

_FACE_LISTS = ("vertex_indices", "vertex_index")
Elements = NDArray[Any]


def read_ply(content: bytes) -> Raw:
    """The surface of a PLY; polygons are cut into triangles from their first corner.

    Raises
    ------
    MeshError
        If there are no vertices with places, the file ends before its last row, or a face names
        no vertex.

    Source
    ------
    turk-1994.
    """
    header = read_header(content)
    vertex = _element(header, "vertex")
    xyz = [i for name in "xyz" for i, p in enumerate(vertex.properties)
           if p.name == name and not p.counted]  # fmt: skip
    if len(xyz) != 3:
        names = " ".join(p.name for p in vertex.properties) or "none"
        raise MeshError(
            "x, y and z of the vertices", f"the properties {names[:80]}", "ask for a mesh"
        )
    _refuse_strips(header)
    read = _read_text if header.text else _read_binary
    places, corners, sizes = read(content, header, vertex, xyz)
    refuse_too_many(int(np.maximum(sizes - 2, 0).sum()))
    return Raw(places, cut_in_triangles(corners, sizes, len(places)), "PLY")


def _element(header: Header, name: str) -> Element:
    for element in header.elements:
        if element.name == name:
            if element.count > MOST_VERTICES:
                raise MeshError(f"at most {MOST_VERTICES:,} vertices", f"{element.count:,}", FEWER)
            return element
    raise MeshError(
        f"an element “{name}” in the header", "none", "ask for the surface to be exported"
    )


def _refuse_strips(header: Header) -> None:
    names = {element.name for element in header.elements}
    if "tristrips" in names and "face" not in names:
        raise MeshError("faces", "strips of triangles", "ask for an export of single triangles")


def _corner_list(element: Element) -> int:
    """Which property of a face lists its vertices; -1 where none does."""
    for i, prop in enumerate(element.properties):
        if prop.counted and prop.name in _FACE_LISTS:
            return i
    return -1


def _read_text(
    content: bytes, header: Header, vertex: Element, xyz: list[int]
) -> tuple[Vertices, Longs, Longs]:
    """Rows as lines, taken element by element."""
    places: list[Floats] = []
    corners: list[Longs] = []
    sizes: list[Longs] = []
    begin = 0
    spans = []
    for element in header.elements:
        spans.append((element, begin, begin + element.count))
        begin += element.count
    done = 0
    for rows in rows_of(content, start=header.body, line=header.line):
        lines = np.arange(done, done + len(rows.line))
        done += len(rows.line)
        for element, low, high in spans:
            chosen = (lines >= low) & (lines < high)
            if not chosen.any():
                continue
            if element is vertex:
                values, counts = parsed(rows, chosen, np.float64, skip=0, least=max(xyz) + 1)
                places.append(first_three(values, counts, tuple(xyz)))
            elif element.name == "face" and (at := _corner_list(element)) >= 0:
                values, counts = parsed(rows, chosen, np.float64, skip=0, least=1)
                got, size = _lists_of(values, counts, element, at)
                corners.append(got)
                sizes.append(size)
    if done < begin:
        raise MeshError(f"{begin:,} rows, as its header says", f"{done:,}", CUT_OFF)
    none = np.zeros(0, np.int64)
    return (
        np.concatenate([np.zeros((0, 3)), *places]),
        np.concatenate([none, *corners]),
        np.concatenate([none, *sizes]),
    )


def _lists_of(values: Floats, counts: Longs, element: Element, at: int) -> tuple[Longs, Longs]:
    """The list at place `at` of each row: all its members, and how many of each row."""
    start = np.cumsum(counts) - counts
    end = start + counts
    for prop in element.properties[:at]:
        start = start + 1 + (_sizes(values, start, end) if prop.counted else 0)
    size = _sizes(values, start, end)
    if (start + 1 + size > end).any():
        raise MeshError("as many corners as a face's row counts", "fewer", CUT_OFF)
    inside = np.arange(size.sum()) - np.repeat(np.cumsum(size) - size, size)
    members = values[np.repeat(start + 1, size) + inside]
    return _whole(members), size


def _sizes(values: Floats, start: Longs, end: Longs) -> Longs:
    if (start >= end).any():
        raise MeshError("a count before each face's corners", "a row without", CUT_OFF)
    return np.maximum(_whole(values[start]), 0)


def _whole(values: Floats) -> Longs:
    """Numbers as whole ones; what is none is a vertex that is not there."""
    fine = np.abs(values) < 2**53
    whole: Longs = np.where(fine, values, -1).astype(np.int64)
    return np.where(whole == values, whole, -1)


def _read_binary(
    content: bytes, header: Header, vertex: Element, xyz: list[int]
) -> tuple[Vertices, Longs, Longs]:
    """Rows one after another, element by element."""
    at = header.body
    places: Vertices = np.zeros((0, 3))
    corners, sizes = np.zeros(0, np.int64), np.zeros(0, np.int64)
    for element in header.elements:
        if element.name == "face" and (which := _corner_list(element)) >= 0:
            at, corners, sizes = _faces(content, at, header.order, element, which)
        elif element.has_lists:
            at = _Walk(content, at, header.order, element).end()
        else:
            table, at = _table(content, at, header.order, element)
            if element is vertex:
                places = _places(table, xyz)
    return places, corners, sizes


def _table(content: bytes, at: int, order: str, element: Element) -> tuple[Elements, int]:
    record = element.record(order)
    end = at + element.count * record.itemsize
    if end > len(content):
        room = (len(content) - at) // max(record.itemsize, 1)
        raise _too_short(element, max(room, 0))
    return np.frombuffer(content, record, element.count, at), end


def _too_short(element: Element, room: int) -> MeshError:
    if element.count > 4 * room + 4:
        return MeshError(
            f"{element.count:,} of “{element.name[:40]}”, as its header says",
            f"room for {room:,}",
            "its header is wrong or the file was cut off; fetch it again",
        )
    return MeshError(
        f"{element.count:,} of “{element.name[:40]}”, as its header says",
        f"the end of the file after {room:,}",
        CUT_OFF,
    )


def _places(table: Elements, xyz: list[int]) -> Vertices:
    names = table.dtype.names or ()
    kinds = {table.dtype[names[i]].newbyteorder("=") for i in xyz}
    single = kinds <= {np.dtype("f4"), np.dtype("i2"), np.dtype("u2"), np.dtype("i1"),
                       np.dtype("u1")}  # fmt: skip
    places = np.zeros((len(table), 3), np.float32 if single else np.float64)
    for axis, i in enumerate(xyz):
        places[:, axis] = table[names[i]]
    return places


def _faces(
    content: bytes, at: int, order: str, element: Element, which: int
) -> tuple[int, Longs, Longs]:
    """Where the faces end, all their corners, and how many each has."""
    # Nearly always every list has three members: then a row is a record.
    three = _as_triangles(element, order, which)
    if three is not None and at + element.count * three.itemsize <= len(content):
        table = np.frombuffer(content, three, element.count, at)
        if (table["count"] == 3).all():
            end = at + element.count * three.itemsize
            corners = table["corners"].astype(np.int64).ravel()
            return end, corners, np.full(element.count, 3, np.int64)
    walk = _Walk(content, at, order, element)
    return walk.corners(which)


def _as_triangles(element: Element, order: str, which: int) -> np.dtype[np.void] | None:
    """The type of a row whose one list has three members; None where there are more lists."""
    if sum(bool(p.counted) for p in element.properties) != 1:
        return None
    fields: list[Any] = []
    for i, prop in enumerate(element.properties):
        if i == which:
            fields += [("count", order + prop.counted), ("corners", order + prop.kind, 3)]
        else:
            fields.append((f"{i} ", order + prop.kind))
    return np.dtype(fields)


class _Walk:
    """An element whose rows differ in length, row by row."""

    def __init__(self, content: bytes, at: int, order: str, element: Element) -> None:
        self.content, self.at, self.element = content, at, element
        self.steps = [_Step(prop, order) for prop in element.properties]

    def end(self) -> int:
        """Where the element ends."""
        return self.corners(-1)[0]

    def corners(self, which: int) -> tuple[int, Longs, Longs]:
        """Where the element ends, and the members of one list and how many each row has.

        Raises
        ------
        MeshError
            If the file ends before, or there are more corners than any mesh's.
        """
        element = self.element
        least = sum(step.least for step in self.steps)
        if least and element.count > (len(self.content) - self.at) // least:
            raise _too_short(element, (len(self.content) - self.at) // least)
        if not least:
            return self.at, np.zeros(0, np.int64), np.zeros(0, np.int64)
        starts, sizes = [], []
        at, total = self.at, 0
        for row in range(element.count):
            for i, step in enumerate(self.steps):
                begin, size = step.list_at(self.content, at)
                if i == which:
                    starts.append(begin)
                    sizes.append(size)
                    total += size
                at = begin + size * step.width
            if at > len(self.content) or total > 4 * MOST_TRIANGLES:
                raise _too_short(element, row)
        if which < 0:
            return at, np.zeros(0, np.int64), np.zeros(0, np.int64)
        return at, self._members(which, starts, sizes), np.array(sizes, np.int64)

    def _members(self, which: int, starts: list[int], sizes: list[int]) -> Longs:
        step = self.steps[which]
        size = np.array(sizes, np.int64)
        within = np.arange(size.sum()) - np.repeat(np.cumsum(size) - size, size)
        first = np.repeat(np.array(starts, np.int64), size) + within * step.width
        whole = np.frombuffer(self.content, np.uint8)
        octets = whole[first[:, None] + np.arange(step.width)]
        members: Longs = np.ascontiguousarray(octets).view(step.kind).ravel().astype(np.int64)
        return members


class _Step:
    """How a property stands in a row: one value, or a count and as many."""

    def __init__(self, prop: Property, order: str) -> None:
        self.kind = np.dtype(order + prop.kind)
        self.width = self.kind.itemsize
        self.count_kind = np.dtype(order + prop.counted) if prop.counted else None
        self.count_width = self.count_kind.itemsize if self.count_kind else 0
        self.order = "big" if order == ">" else "little"
        self.least = self.count_width or self.width

    def list_at(self, content: bytes, at: int) -> tuple[int, int]:
        """Where the values begin, and how many there are."""
        if self.count_kind is None:
            return at, 1
        begin = at + self.count_width
        if self.count_width == 1:
            return begin, content[at] if at < len(content) else 0
        if self.count_kind.kind == "f":
            return begin, int(np.frombuffer(content[at:begin], self.count_kind, 1)[0])
        return begin, int.from_bytes(content[at:begin], self.order)  # type: ignore[arg-type]
