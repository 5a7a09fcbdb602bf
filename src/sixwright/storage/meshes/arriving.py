"""A mesh file that comes: seen in a moment, checked in some seconds; no folder is touched."""

from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256 as sha256_of
from pathlib import Path

from sixwright.kernel.errors import MeshError
from sixwright.line.head_shape import Fits, head_fits
from sixwright.line.mesh_guess import HEAD, FileSays, reading_of
from sixwright.line.mesh_oddities import FileFacts, Known, oddities_of
from sixwright.line.meshes import MeshReading, MeshRef, Oddity
from sixwright.numerics.mesh.model import Mesh, bounds
from sixwright.numerics.mesh.preview import first_look
from sixwright.numerics.mesh.survey import Survey, survey
from sixwright.storage.cache import keep, memo
from sixwright.storage.files.within import read_plain
from sixwright.storage.meshes.formats import read, too_large
from sixwright.storage.meshes.kept import keep_mesh
from sixwright.storage.meshes.load import MeshContent, placed, welded
from sixwright.storage.meshes.previews import keep_preview, packed, unpacked
from sixwright.storage.meshes.raw import MOST_BYTES

ENDINGS = {"STL": ".stl", "OBJ": ".obj", "PLY": ".ply", "GLB": ".glb", "3MF": ".3mf"}
MOST_LOOKS = 100_000_000
_PIECE = 1 << 22


@dataclass(frozen=True, slots=True)
class Sight:
    """What is seen of a mesh before it is welded.

    Attributes
    ----------
    triangles
        That the file holds.
    low, high
        Of the box around it, in the file's own numbers and axes.
    """

    says: FileSays
    triangles: int
    fits: Fits
    low: tuple[float, float, float]
    high: tuple[float, float, float]

    def reading(self, ref: MeshRef) -> MeshReading:
        """How it is read, where a row said as much as this.

        Raises
        ------
        InputError
            As `reading_of`.
        """
        largest = max(high - low for low, high in zip(self.low, self.high, strict=True))
        return reading_of(ref, self.says, self.fits, largest, HEAD)

    @property
    def ending(self) -> str:
        """Of a file of its format."""
        return ENDINGS[self.says.format]


@dataclass(frozen=True, slots=True)
class Checked:
    """What was counted on the whole mesh."""

    facts: FileFacts
    survey: Survey

    def oddities(self, ref: MeshRef, sha256: str, sight: Sight) -> tuple[Oddity, ...]:
        """What is odd about it, read as a row says."""
        reading = sight.reading(ref)
        return oddities_of(Known(ref, sha256, self.facts, self.survey, reading, sight.fits, HEAD))


def warm() -> None:
    """Bring in what the others need, while the file is still on its way."""
    from scipy.spatial import cKDTree

    cKDTree([[0.0, 0.0, 0.0]])


def first_sight(file: Path, name: str, look: Path) -> Sight:
    """What a file holds, and a rough mesh of it, packed, in another file.

    Parameters
    ----------
    file
        Where it lies, outside of any line.
    name
        As it was called.
    look
        Where the rough mesh goes.

    Raises
    ------
    MeshError
        If it is no mesh that can be used, or cannot be read any more.
    """
    raw = read(_content(file), name)
    soup = Mesh(raw.places, raw.faces)
    seen = first_look(soup)
    if not len(seen.faces):
        seen = soup
    keep(look, packed(seen), MOST_LOOKS)
    low, high = bounds(soup)
    says = FileSays(raw.format, raw.unit, raw.up, raw.front)
    x, y, z = (float(v) for v in low)
    right, top, front = (float(v) for v in high)
    fits = head_fits(seen)
    return Sight(says, len(raw.faces), fits, (x, y, z), (right, top, front))


def checked(file: Path, name: str, sha256: str) -> Checked:
    """The whole file welded, counted and kept in the cache, with the preview of it.

    Raises
    ------
    MeshError
        As `first_sight`, or where no triangle has three corners.
    """
    kept = welded(read(_content(file), name))
    mesh, _, facts = kept
    keep_mesh(sha256, *kept)
    keep_preview(sha256, mesh)
    told = memo("mesh-survey", MeshContent(sha256), Survey, lambda: survey(mesh))
    memo("mesh-head-fits", MeshContent(sha256), Fits, lambda: head_fits(mesh))
    return Checked(facts, told)


def looked(look: Path, reading: MeshReading) -> Mesh | None:
    """The rough mesh of a file as it is read now; None where it was put away."""
    try:
        packed_ = look.read_bytes()
    except OSError:
        return None
    mesh = unpacked(packed_)
    return None if mesh is None else placed(mesh, reading)


class Intake:
    """A file that is taken in piece by piece, beside any folder, and counted.

    Raises
    ------
    MeshError
        From `add`, where it grows beyond `MOST_BYTES`.
    """

    def __init__(self, file: Path) -> None:
        self._file = file.open("wb")
        self._held = bytearray()
        self._digest = sha256_of()
        self._size = 0

    def add(self, piece: bytes) -> bool:
        """Take a piece; whether enough of them are held that the disk should be asked."""
        self._size += len(piece)
        if self._size > MOST_BYTES:
            raise too_large(self._size)
        self._held += piece
        return len(self._held) >= _PIECE

    def write(self) -> None:
        """Give what is held to the disk."""
        self._digest.update(self._held)
        self._file.write(self._held)
        self._held.clear()

    def whole(self) -> str:
        """Write the rest; the checksum of all of it."""
        self.write()
        self._file.close()
        return self._digest.hexdigest()

    def close(self) -> None:
        """Let go of the file, whole or not."""
        with suppress(OSError):
            self._file.close()


def _content(file: Path) -> bytes:
    try:
        return read_plain(file, most=MOST_BYTES)
    except OSError as error:
        found = (error.strerror or "one that cannot be read").lower()
        raise MeshError("the file that was sent", found, "send it once more") from error
