"""What is known of the files of a line's heads, and of their landmarks on the surface.

Lengths are mm at 1:6 in the sculpt frame.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from sixwright.line.likeness import Key
from sixwright.line.meshes import MeshReading, Odd, Oddity

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class SurfaceMark:
    """One landmark of a round against the round's mesh.

    Attributes
    ----------
    off_mm
        Distance to the nearest place of the surface, zero or more.
    outward
        Unit normal of the surface there; None where the landmark is not on it.
    seen_from
        For each viewpoint of `viewpoints`, whether nothing stands between; empty with `outward`.
    """

    landmark: str
    side: str
    off_mm: float
    outward: Vector | None = None
    seen_from: tuple[bool, ...] = ()

    @property
    def key(self) -> Key:
        """Landmark and side."""
        return (self.landmark, self.side)


@dataclass(frozen=True, slots=True)
class SculptFile:
    """The mesh of one round.

    Attributes
    ----------
    round, path
        The round, and its file in the folder.
    refusal
        Why it cannot be used, in a sentence; empty where it was read.
    is_there
        Whether a file of that name lies in the folder.
    sha256
        Of the file; empty where it was not read, as all below.
    triangles
        That it holds, after welding.
    size_mm
        Width, height and depth of the box around it.
    reading
        How it was read; None where it was not.
    oddities
        What is odd about it.
    marks
        Its landmarks against its surface.
    """

    round: str
    path: str
    refusal: str = ""
    is_there: bool = True
    sha256: str = ""
    triangles: int = 0
    size_mm: Vector | None = None
    reading: MeshReading | None = None
    oddities: tuple[Oddity, ...] = ()
    marks: tuple[SurfaceMark, ...] = ()

    @property
    def is_inside_out(self) -> bool:
        """Whether its triangles look inward."""
        return any(odd.kind is Odd.INSIDE_OUT for odd in self.oddities)


@dataclass(frozen=True, slots=True)
class SculptContent:
    """What stands for the meshes in what is remembered: by round the file, and how it was read."""

    of: Mapping[str, tuple[str, str, str, str, bool]]


def content_of(files: tuple[SculptFile, ...], rounds: Mapping[str, object]) -> SculptContent:
    """What stands for the meshes of some rounds.

    Parameters
    ----------
    files
        The meshes of a line.
    rounds
        Those that are asked for.
    """
    return SculptContent({
        file.round: (
            file.sha256,
            file.reading.unit.value,
            file.reading.up.value,
            file.reading.front.value,
            file.is_inside_out,
        )
        for file in files
        if file.round in rounds and file.reading is not None
    })  # fmt: skip
