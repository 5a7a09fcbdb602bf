"""Pictures of a folder's sculpts, drawn when they are asked for and kept by their content."""

from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from threading import Lock

from sixwright.line.shots import Shot, TwelveSides, UnseenSide
from sixwright.numerics.mesh.views import Model
from sixwright.storage.cache import keep
from sixwright.storage.code_digest import digest_of_code
from sixwright.storage.files.within import read_within
from sixwright.storage.files.writer_lock import cache_path
from sixwright.storage.models import Models
from sixwright.storage.pictures import MOST_FILE

Draw = Callable[[Shot, Model, bytes | None], bytes]
MOST_BYTES = 400_000_000  # of pictures in the cache


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
        self.models = Models(folder)
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
        """A picture as JPEG, a layer as PNG, from the cache where the same was drawn before.

        None where the mesh cannot be read any more.
        """
        file = cache_path() / "pictures" / f"{self.key(shot)}.jpg"
        with suppress(OSError):
            return file.read_bytes()
        with self._drawing:  # one at a time: each uses all of the processor
            with suppress(OSError):
                return file.read_bytes()
            model = self.models(shot.mesh, shot.sha256)
            if model is None:
                return None
            made = self._draw(shot, model, self._still(shot))
        with suppress(OSError):
            keep(file, made, MOST_BYTES)
        return made

    def _still(self, shot: Shot) -> bytes | None:
        if isinstance(shot, (TwelveSides, UnseenSide)) or not shot.file:
            return None
        with suppress(OSError):
            return read_within(self._folder, shot.file, most=MOST_FILE)
        return None
