"""Pictures of a folder's sculpts, drawn when they are asked for and kept by their content.

What takes long is the mesh: it is read and made ready once, and two of them stay in memory.
"""

from collections import OrderedDict
from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from threading import Lock

from sixwright.kernel.errors import InputError, MeshError
from sixwright.line.meshes import MeshRef
from sixwright.line.shots import Shot, TwelveSides
from sixwright.numerics.mesh.views import Model, model_of
from sixwright.storage.cache import keep
from sixwright.storage.code_digest import digest_of_code
from sixwright.storage.files.within import read_within
from sixwright.storage.files.writer_lock import cache_path
from sixwright.storage.pictures import MOST_FILE
from sixwright.storage.tools import Meshes

Draw = Callable[[Shot, Model, bytes | None], bytes]
MOST_BYTES = 400_000_000  # of pictures in the cache
MODELS = 2  # in memory: some 0.5 GB each at five million triangles


class Pictures:
    """The pictures of one folder.

    Parameters
    ----------
    folder
        The line's.
    draw
        Draws one, given the mesh made ready and the still's bytes; its code is part of the key.
    """

    def __init__(self, folder: Path, draw: Draw) -> None:
        self._folder = folder
        self._draw = draw
        self._models: OrderedDict[tuple[MeshRef, str], Model] = OrderedDict()
        self._drawing = Lock()

    def key(self, shot: Shot) -> str:
        """Names a picture's content: another shot, still, mesh or code has another."""
        still = self._still(shot)
        stated = "\0".join(
            (repr(shot), digest_of_code(self._draw.__module__),
             "" if still is None else sha256(still).hexdigest())
        )  # fmt: skip
        return sha256(stated.encode()).hexdigest()

    def __call__(self, shot: Shot) -> bytes | None:
        """A picture as JPEG, from the cache where the same was drawn before.

        None where the mesh cannot be read any more.
        """
        file = cache_path() / "pictures" / f"{self.key(shot)}.jpg"
        with suppress(OSError):
            return file.read_bytes()
        with self._drawing:  # one at a time: each uses all of the processor
            with suppress(OSError):
                return file.read_bytes()
            model = self._model(shot)
            if model is None:
                return None
            made = self._draw(shot, model, self._still(shot))
        with suppress(OSError):
            keep(file, made, MOST_BYTES)
        return made

    def _still(self, shot: Shot) -> bytes | None:
        if isinstance(shot, TwelveSides) or not shot.file:
            return None
        with suppress(OSError):
            return read_within(self._folder, shot.file, most=MOST_FILE)
        return None

    def _model(self, shot: Shot) -> Model | None:
        """The mesh that a shot shows, made ready; None where another lies there now, or none."""
        key = (shot.mesh, shot.sha256)
        if key not in self._models:
            try:
                delivery = Meshes(self._folder)(shot.mesh)
            except (MeshError, InputError):
                return None
            if delivery.sha256 != shot.sha256:
                return None
            self._models[key] = model_of(delivery.mesh)
        self._models.move_to_end(key)
        while len(self._models) > MODELS:
            self._models.popitem(last=False)
        return self._models[key]
