"""From a row's reference to a mesh in the sculpt frame, with how it was read and what is odd."""

from dataclasses import dataclass, replace
from hashlib import sha256 as sha256_of
from pathlib import Path

import numpy as np

from sixwright.kernel.errors import MeshError
from sixwright.kernel.protocols import Memo
from sixwright.line.head_shape import Fits, frame_of, head_fits
from sixwright.line.mesh_guess import HEAD, FileSays, Meant, reading_of
from sixwright.line.mesh_oddities import FileFacts, Known, oddities_of
from sixwright.line.meshes import UNITS_MM, Delivery, MeshReading, MeshRef
from sixwright.numerics.mesh.model import Mesh, Vertices
from sixwright.numerics.mesh.survey import Survey, survey
from sixwright.numerics.mesh.weld import same_places, trimmed
from sixwright.storage.checksums import known_checksum, note_checksum
from sixwright.storage.files.within import is_there, place, read_within
from sixwright.storage.meshes.formats import read, too_large
from sixwright.storage.meshes.kept import Kept, keep_mesh, kept_mesh
from sixwright.storage.meshes.raw import MOST_BYTES, Raw


@dataclass(frozen=True, slots=True)
class MeshContent:
    """What an answer about a mesh rests on: the bytes of its file, and how they were read."""

    sha256: str


@dataclass(frozen=True, slots=True)
class MeshLoader:
    """Brings in the meshes of a line's folder; a second time without reading the file.

    Attributes
    ----------
    folder
        The line's.
    memo
        Remembers what was counted on a mesh.
    meant
        What its meshes are meant to be.
    """

    folder: Path
    memo: Memo
    meant: Meant = HEAD

    def __call__(self, ref: MeshRef, /) -> Delivery:
        """The mesh that a row names, in millimetres, x to the left, y up, z out of the face.

        Raises
        ------
        MeshError
            If the file is not there, is no plain file of the folder, or is no mesh that can be
            used.
        InputError
            If the row's unit, up or front is none.
        """
        try:
            sha256, (mesh, says, facts) = self._content(ref.path)
        except MeshError as error:
            raise error.of(ref.path) from None
        content = MeshContent(sha256)
        told = self.memo("mesh-survey", content, Survey, lambda: survey(mesh))
        fits = Fits(())
        if self.meant.head:
            fits = self.memo("mesh-head-fits", content, Fits, lambda: head_fits(mesh))
        reading = reading_of(ref, says, fits, told.largest_side, self.meant)
        known = Known(ref, sha256, facts, told, reading, fits, self.meant)
        return Delivery(ref, placed(mesh, reading), sha256, reading, oddities_of(known))

    def _content(self, path: str) -> tuple[str, Kept]:
        """The checksum of a file, and its triangles welded."""
        try:
            inner = place(self.folder, path)
            if not is_there(self.folder, path):
                raise MeshError("a file of this name", "none", _LOOK)
            known = known_checksum(inner)
            if known is not None and (kept := kept_mesh(known)) is not None:
                return known, kept
            before = inner.stat()
            if before.st_size > MOST_BYTES:
                raise too_large(before.st_size)
            content = read_within(self.folder, path, most=MOST_BYTES)
        except OSError as error:
            found = (error.strerror or "one that cannot be read").lower()
            raise MeshError("a plain file within the folder", found, _LOOK) from error
        sha256 = sha256_of(content).hexdigest()
        kept = kept_mesh(sha256)
        if kept is None:
            kept = welded(read(content, path))
            keep_mesh(sha256, *kept)
        note_checksum(inner, before, sha256)
        return sha256, kept


_LOOK = "look whether it was moved or renamed, or has not been synced yet"


def welded(raw: Raw) -> Kept:
    """A file's triangles with one vertex a place, what the file says, and what was left out.

    Raises
    ------
    MeshError
        If no triangle has three corners.
    """
    same = same_places(raw.places)
    vertices: Vertices = raw.places
    faces = raw.faces
    unused = 0
    if len(same.first) < len(vertices):
        vertices = vertices.take(same.first, axis=0, mode="clip")
        faces = same.label.take(faces, mode="clip")
    used = np.zeros(len(vertices), np.bool_)
    used[faces] = True
    unused = len(vertices) - int(used.sum())
    mesh = trimmed(vertices, faces)
    if not len(mesh.faces):
        raise MeshError(
            "at least one triangle with an area",
            f"{len(faces):,} whose corners fall on one place or two",
            "its numbers may have been rounded away: ask for an export in millimetres",
        )
    says = FileSays(raw.format, raw.unit, raw.up, raw.front)
    facts = FileFacts(
        raw.format,
        len(raw.faces),
        raw.promised,
        raw.left_over,
        collapsed=len(raw.faces) - len(mesh.faces),
        unused=unused,
    )
    return mesh, says, facts


def placed(mesh: Mesh, reading: MeshReading) -> Mesh:
    """A mesh of a file in the sculpt frame; float64 where a unit is converted."""
    factor = UNITS_MM[reading.unit.value]
    frame = frame_of(reading.up.value, reading.front.value)
    vertices: Vertices = mesh.vertices
    if not np.array_equal(frame, np.eye(3)):
        axis = np.abs(frame).argmax(axis=1)
        turned = vertices[:, axis]
        turned *= frame[np.arange(3), axis].astype(turned.dtype)
        vertices = turned
    if factor != 1:
        vertices = vertices.astype(np.float64) * factor
    return mesh if vertices is mesh.vertices else replace(mesh, vertices=vertices)
