"""Blocks of the pages of sculpts: where meshes are brought in, and one that was not kept yet."""

from dataclasses import dataclass
from enum import StrEnum

from sixwright.kernel.sentences import Sentence
from sixwright.line.meshes import MeshReading, Oddity

Vector = tuple[float, float, float]


class Stage(StrEnum):
    """How far a mesh is that came and is not kept yet."""

    COMING = "coming"
    LOOKING = "looking"
    SEEN = "seen"  # shown; the whole of it is still being checked
    CHECKED = "checked"
    REFUSED = "refused"
    ENDED = "ended"


@dataclass(frozen=True, slots=True)
class DeliveredMesh:
    """A mesh file that came and is not kept yet.

    Attributes
    ----------
    fault
        Why it was refused, in a sentence; empty where it was not.
    reading
        How it is read now; None until it is seen.
    box
        Lowest and highest place, in the file's own numbers and axes.
    oddities
        What is odd about it; none until all of it is checked.
    """

    id: str
    name: str
    stage: Stage
    fault: str
    triangles: int
    reading: MeshReading | None
    box: tuple[Vector, Vector] | None
    oddities: tuple[Oddity, ...]


@dataclass(frozen=True, slots=True)
class FileDrop:
    """Where mesh files and stills are dropped on a page, or chosen.

    Attributes
    ----------
    persons
        Ids of those whom stills may show; one alone is chosen already.
    """

    persons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UnitAsk:
    """A unit that a mesh may be read in, and how high it then is, in words."""

    value: str
    words: str
    height: Sentence
    chosen: bool


@dataclass(frozen=True, slots=True)
class Arriving:
    """A mesh that waits to be kept: how it is read, to be confirmed or corrected.

    Attributes
    ----------
    said
        What it is and how it was read, or why it is refused.
    version
        Of its picture: another reading has another; empty where there is none yet.
    units
        None where it was not seen yet.
    turns
        Quarter turns: value and words.
    kept_as
        What it may be kept as: value and words, the likeliest first.
    persons
        Whom a head of its own may depict.
    """

    id: str
    name: str
    stage: str
    said: tuple[Sentence, ...]
    odd: tuple[Sentence, ...]
    version: str
    units: tuple[UnitAsk, ...]
    turns: tuple[tuple[str, str], ...]
    kept_as: tuple[tuple[str, str], ...]
    persons: tuple[str, ...]
