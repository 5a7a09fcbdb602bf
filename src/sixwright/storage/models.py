"""The sculpts that are looked at or marked: each mesh read and made ready once, two in memory."""

from collections import OrderedDict
from contextlib import suppress
from pathlib import Path
from threading import Lock

from sixwright.kernel.errors import InputError, MeshError
from sixwright.line.meshes import MeshReading, MeshRef
from sixwright.numerics.mesh.model import Mesh
from sixwright.numerics.mesh.views import Model, model_of
from sixwright.storage.checksums import known_checksum
from sixwright.storage.files.within import place
from sixwright.storage.meshes.kept import kept_mesh
from sixwright.storage.meshes.load import placed
from sixwright.storage.meshes.previews import keep_preview, kept_preview
from sixwright.storage.tools import Meshes

MODELS = 2  # in memory: some 0.5 GB each at five million triangles


class Models:
    """The meshes of one folder, made ready for rays.

    Parameters
    ----------
    folder
        The line's.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._kept: OrderedDict[tuple[MeshRef, str], Model] = OrderedDict()
        self._readings: dict[tuple[MeshRef, str], MeshReading] = {}
        self._lock = Lock()

    def __call__(self, ref: MeshRef, sha256: str) -> Model | None:
        """The full mesh of a file in the sculpt frame; None where another lies there, or none."""
        key = (ref, sha256)
        with self._lock:  # one at a time: each takes memory and all of the processor
            if key not in self._kept:
                try:
                    delivery = Meshes(self._folder)(ref)
                except (MeshError, InputError):
                    return None
                if delivery.sha256 != sha256:
                    return None
                self._readings[key] = delivery.reading
                self._kept[key] = model_of(delivery.mesh)
            self._kept.move_to_end(key)
            while len(self._kept) > MODELS:
                self._kept.popitem(last=False)
            return self._kept[key]

    def content(self, ref: MeshRef) -> tuple[str, str]:
        """The checksum of a file that can be used, else empty; and why it cannot be."""
        sha256 = ""
        with suppress(OSError):
            sha256 = known_checksum(place(self._folder, ref.path)) or ""
        if (ref, sha256) in self._readings:
            return sha256, ""
        try:
            delivery = Meshes(self._folder)(ref)
        except (MeshError, InputError) as error:
            return "", str(error)
        self._readings[ref, delivery.sha256] = delivery.reading
        return delivery.sha256, ""

    def preview(self, ref: MeshRef, sha256: str) -> Mesh | None:
        """The same with few faces, to be looked at; None as above."""
        if self.content(ref)[0] != sha256:
            return None
        seen = kept_preview(sha256)
        if seen is None:
            kept = kept_mesh(sha256)
            if kept is None:
                return None
            seen = keep_preview(sha256, kept[0])
        return placed(seen, self._readings[ref, sha256])
