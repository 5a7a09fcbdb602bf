"""What a reader takes from a file, and the limits that hold for all readers."""

from dataclasses import dataclass

import numpy as np

from sixwright.kernel.errors import MeshError
from sixwright.numerics.mesh.model import Ints, Vertices

MOST_BYTES = 1_500_000_000
MOST_SIZE = f"{MOST_BYTES / 1e9:.1f} GB"
MOST_TRIANGLES = 20_000_000
MOST_VERTICES = 3 * MOST_TRIANGLES
# A place beyond this is a broken number, whatever the unit: a thousand kilometres in millimetres.
FARTHEST = 1e9

ASK_AGAIN = "ask the sculptor to export and send it again"
CUT_OFF = "it was probably cut off while it was copied or sent, so fetch it again"
FEWER = "ask the sculptor for a decimated export"


@dataclass(frozen=True, slots=True, eq=False)
class Raw:
    """A file's triangles before anything is judged.

    Attributes
    ----------
    places
        (p, 3), as the file has them.
    faces
        (f, 3), into the places.
    format
        Its name: STL, OBJ, PLY, GLB or 3MF.
    unit, up, front
        What the file or its format says; None where it says nothing.
    promised, left_over
        As `FileFacts` has them.
    """

    places: Vertices
    faces: Ints
    format: str
    unit: str | None = None
    up: str | None = None
    front: str | None = None
    promised: int | None = None
    left_over: int = 0


def refuse_too_many(triangles: int, where: str = "") -> None:
    """Stop before more is taken into memory than any head needs.

    Raises
    ------
    MeshError
        If there are more triangles than `MOST_TRIANGLES`.
    """
    if triangles > MOST_TRIANGLES:
        raise MeshError(f"at most {MOST_TRIANGLES:,} triangles", f"{triangles:,}{where}", FEWER)


def other_text(expected: str, content: bytes) -> MeshError:
    """The refusal of a text that is no mesh."""
    begin = content[:400].decode("utf-8", "replace").lstrip("\ufeff \t\r\n")
    first = begin.splitlines()[0][:40].strip() if begin else ""
    return MeshError(
        expected,
        f"other text (it begins “{first}”)" if first else "blanks",
        "open it in a text editor: a message or a web page may have been saved under its name",
    )


def checked(raw: Raw) -> Raw:
    """The same, where every face names a place and every place is a number.

    Raises
    ------
    MeshError
        If not, or there is no triangle.
    """
    places, faces = raw.places, raw.faces
    refuse_too_many(len(faces))
    if len(places) > MOST_VERTICES:
        raise MeshError(f"at most {MOST_VERTICES:,} vertices", f"{len(places):,}", FEWER)
    if not len(faces):
        points = "1 point" if len(places) == 1 else f"{len(places):,} points"
        found = f"{points} and no triangle" if len(places) else "none"
        raise MeshError(
            "at least one triangle", found, "ask for the surface to be exported, not only points"
        )
    if faces.min() < 0 or faces.max() >= len(places):
        worst = int(faces.min()) if faces.min() < 0 else int(faces.max())
        raise MeshError(
            f"faces of vertices 1 to {len(places):,}", f"a face of vertex {worst + 1:,}", ASK_AGAIN
        )
    _check_places(places)
    return raw


def _check_places(places: Vertices) -> None:
    with np.errstate(over="ignore", invalid="ignore"):
        fine = np.isfinite(places.min()) and np.isfinite(places.max())
    if not fine:
        bad = np.flatnonzero(~np.isfinite(places).all(axis=1))
        raise MeshError(
            "a number for every coordinate",
            f"{len(bad):,} of {len(places):,} vertices without (the first is vertex "
            f"{bad[0] + 1:,}: {_shown(places[bad[0]])})",
            ASK_AGAIN,
        )
    far = max(abs(float(places.min())), abs(float(places.max())))
    if far > FARTHEST:
        raise MeshError(
            f"coordinates up to {FARTHEST:,.0f}",
            f"one of {far:.3g}",
            "the file is damaged, or its numbers are no lengths; " + ASK_AGAIN,
        )


def _shown(place: Vertices) -> str:
    words = {"nan": "not a number", "inf": "infinite", "-inf": "infinite"}
    numbers = (f"{float(x):g}" for x in place)
    return ", ".join(words.get(number, number) for number in numbers)
