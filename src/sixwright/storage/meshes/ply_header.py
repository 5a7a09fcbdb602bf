"""The header of a PLY: its encoding, its elements and their properties."""

from dataclasses import dataclass

import numpy as np

from sixwright.kernel.errors import MeshError
from sixwright.storage.meshes.raw import ASK_AGAIN

MOST_HEADER = 1 << 16
MOST_COUNT = 1 << 40
_KINDS = {
    "char": "i1", "uchar": "u1", "short": "i2", "ushort": "u2", "int": "i4", "uint": "u4",
    "float": "f4", "double": "f8", "int8": "i1", "uint8": "u1", "int16": "i2", "uint16": "u2",
    "int32": "i4", "uint32": "u4", "float32": "f4", "float64": "f8",
}  # fmt: skip
ENCODINGS = {"ascii": "=", "binary_little_endian": "<", "binary_big_endian": ">"}


@dataclass(frozen=True, slots=True)
class Property:
    """A column of an element; `counted` is the type of the count before a list, else empty."""

    name: str
    kind: str
    counted: str = ""


@dataclass(frozen=True, slots=True)
class Element:
    """A table of the file."""

    name: str
    count: int
    properties: tuple[Property, ...]

    @property
    def has_lists(self) -> bool:
        """Whether a row's length is not the same for all."""
        return any(p.counted for p in self.properties)

    def record(self, order: str) -> np.dtype[np.void]:
        """The type of a row without lists, in this byte order."""
        names = [f"{i} {p.name}" for i, p in enumerate(self.properties)]
        return np.dtype({"names": names, "formats": [order + p.kind for p in self.properties]})


@dataclass(frozen=True, slots=True)
class Header:
    """What a PLY says of itself; `body` is where its first row begins, `line` the row's line."""

    order: str
    text: bool
    elements: tuple[Element, ...]
    body: int
    line: int


def read_header(content: bytes) -> Header:
    """The header of a PLY.

    Raises
    ------
    MeshError
        If it has no end, or a line of it is none of the format's.

    Source
    ------
    turk-1994 (Greg Turk, The PLY Polygon File Format).
    """
    begin = content[:MOST_HEADER]
    at = begin.find(b"end_header")
    end = begin.find(b"\n", at)
    if at < 0 or end < 0:
        raise MeshError("a PLY's header with “end_header”", "none", ASK_AGAIN)
    lines = begin[:at].decode("latin-1").splitlines()
    encoding = ""
    found: list[tuple[str, int, list[Property]]] = []
    for number, text in enumerate(lines[1:], start=2):
        words = text.split()
        if not words or words[0] in {"comment", "obj_info"}:
            continue
        if words[0] == "format" and len(words) >= 2 and words[1] in ENCODINGS:
            encoding = words[1]
        elif words[0] == "element" and len(words) == 3:
            found.append((words[1], _count(words[2], number), []))
        elif words[0] == "property" and found and (made := _property(words)):
            found[-1][2].append(made)
        else:
            raise _line_not_so(number, text)
    if not encoding:
        raise MeshError("a PLY's “format” line", "none", ASK_AGAIN)
    elements = tuple(Element(name, count, tuple(rows)) for name, count, rows in found)
    return Header(ENCODINGS[encoding], encoding == "ascii", elements, end + 1, len(lines) + 2)


def _count(word: str, number: int) -> int:
    if word.isascii() and word.isdigit() and len(word) < 16 and int(word) < MOST_COUNT:
        return int(word)
    raise _line_not_so(number, f"element … {word}")


def _property(words: list[str]) -> Property | None:
    if len(words) == 3 and words[1] in _KINDS:
        return Property(words[2], _KINDS[words[1]])
    if len(words) == 5 and words[1] == "list" and words[2] in _KINDS and words[3] in _KINDS:
        return Property(words[4], _KINDS[words[3]], _KINDS[words[2]])
    return None


def _line_not_so(number: int, text: str) -> MeshError:
    return MeshError(
        f"an element, a property or a comment in line {number} of the header",
        f"“{text.strip()[:60]}”",
        ASK_AGAIN,
    )
