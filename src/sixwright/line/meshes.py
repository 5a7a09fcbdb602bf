"""A delivered mesh: how a row says to read it, what was taken for granted, and what is odd."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from sixwright.kernel.sentences import Sentence

if TYPE_CHECKING:
    from sixwright.numerics.mesh.model import Mesh

UNITS_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8, "um": 0.001}
UNIT_WORDS = {
    "mm": "millimetres",
    "cm": "centimetres",
    "m": "metres",
    "in": "inches",
    "ft": "feet",
    "um": "thousandths of a millimetre",
}


@dataclass(frozen=True, slots=True)
class MeshRef:
    """A mesh of the folder, and how to read it (of rounds.csv: the columns by name).

    Attributes
    ----------
    path
        Within the folder.
    sha256
        Of the file as it was recorded, in hexadecimal; None: not recorded.
    unit
        One of `UNITS_MM`; None: found out.
    up, front
        The file's axis that points up, and the one out of the face: one of `head_shape.AXES`, or a
        letter alone for the positive one; None: found out.
    """

    path: str
    sha256: str | None = None
    unit: str | None = None
    up: str | None = None
    front: str | None = None


class ReadingBasis(StrEnum):
    """Where what a mesh was read by comes from."""

    STATED = "stated"  # the row says so
    FORMAT = "format"  # the file or its format says so
    GUESSED = "guessed"  # size or shape say so, and nothing else fits
    ASSUMED = "assumed"  # nothing decides; the usual was taken


@dataclass(frozen=True, slots=True)
class MeshConvention:
    """A unit or an axis that a mesh was read by, and why.

    Attributes
    ----------
    value
        One of `UNITS_MM`, or an axis with its sign.
    reason
        To be said to the producer.
    """

    value: str
    how: ReadingBasis
    reason: Sentence


@dataclass(frozen=True, slots=True)
class MeshReading:
    """How a mesh was read: into millimetres, x to the figure's left, y up, z out of the face."""

    unit: MeshConvention
    up: MeshConvention
    front: MeshConvention


class Odd(StrEnum):
    """What can be odd about a mesh that is usable."""

    CHANGED = "changed"  # not the file that the row records
    NAMED = "named"  # its name says another format than its content
    HEADER = "header"  # its header says other than its content
    ATTITUDE = "attitude"  # up and front do not fit its shape
    SIZE = "size"  # far larger or smaller than what it is meant to be
    OPEN = "open"
    INSIDE_OUT = "inside-out"
    TURNED = "turned"  # some faces inside out against their neighbours
    CROWDED = "crowded"  # edges of three faces or more
    NO_AREA = "no-area"
    TWICE = "twice"  # the same faces more than once
    STRAY = "stray"  # many small pieces apart from the large one
    TWO = "two"  # two pieces of much the same size, apart
    UNUSED = "unused"  # vertices of no face
    COARSE = "coarse"  # numbers too coarse for where the mesh lies


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something odd about a usable mesh: said once, to become a finding where it matters.

    Attributes
    ----------
    sentence
        What is odd and what follows from it.
    amount
        How much of it: faces, edges, pieces, a factor; what the sentence states.
    remedy
        What the producer can do.
    """

    kind: Odd
    sentence: Sentence
    amount: float
    remedy: Sentence


@dataclass(frozen=True, slots=True, eq=False)
class Delivery:
    """A mesh as it was delivered, put in the sculpt frame.

    Attributes
    ----------
    mesh
        Welded; millimetres, x to the figure's left, y up, z out of the face.
    sha256
        Of the file, in hexadecimal.
    """

    ref: MeshRef
    mesh: "Mesh"
    sha256: str
    reading: MeshReading
    oddities: tuple[Oddity, ...]
