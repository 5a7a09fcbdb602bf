"""Mesh files that came and are not in the folder yet: looked at, corrected, kept or put away."""

import os
import shutil
from collections.abc import Callable
from contextlib import suppress
from dataclasses import replace
from functools import partial
from pathlib import Path
from secrets import token_hex
from threading import Lock, Thread
from typing import TypeVar

from sixwright.kernel.errors import InputError, MeshError
from sixwright.line.mesh_turns import turned
from sixwright.line.meshes import MeshRef, Oddity
from sixwright.reports.delivered import DeliveredMesh, Stage
from sixwright.storage.meshes.arriving import Checked, Sight, checked, first_sight, warm
from sixwright.storage.meshes.left_arrivals import FILE, LOOK, arrivals_path, hold
from sixwright.web.beside import Beside

T = TypeVar("T")
MOST = 8  # files that wait to be kept; each is at most 1.5 GB beside the folder
TOO_MANY = f"{MOST} meshes wait to be kept already; keep them or put them away first."
GONE = "That mesh is not here any more; drop it once more. Nothing was written."
ENDED = "{} could not be read: the work on it ended too soon. Drop it once more."


class Coming:
    """One file, from its first byte until it is kept or put away.

    It is read in a process of its own, so that pages stay live, and ending that ends the work.
    """

    def __init__(self, name: str) -> None:
        self.id, self.name = token_hex(8), name
        self.folder = arrivals_path() / f"{os.getpid()}-{self.id}"
        self.file, self.look = self.folder / FILE, self.folder / LOOK
        self.ref = MeshRef(name)
        self.sha256 = ""
        self.sight: Sight | None = None
        self.checked: Checked | None = None
        self.fault = ""
        self.stage = Stage.COMING
        self._beside = Beside(niceness=0)
        self._thread: Thread | None = None
        self.folder.mkdir(parents=True, exist_ok=True)
        self._lock = hold(self.folder)

    def warm(self) -> None:
        """Start the other process while the file is still on its way."""
        self._thread = Thread(target=self._warm, daemon=True)
        self._thread.start()

    def whole(self, sha256: str) -> None:
        """All of it has come: look at it."""
        self.sha256 = sha256
        self.stage = Stage.LOOKING
        begun = self._thread
        self._thread = Thread(target=self._work, args=(begun,), daemon=True)
        self._thread.start()

    def shown(self) -> DeliveredMesh:
        """What a page says of it."""
        reading = None if self.sight is None else self.sight.reading(self.ref)
        odd: tuple[Oddity, ...] = ()
        if self.checked is not None and self.sight is not None:
            odd = self.checked.oddities(replace(self.ref, sha256=self.sha256), self.sha256,
                                        self.sight)  # fmt: skip
        box = None if self.sight is None else (self.sight.low, self.sight.high)
        count = 0 if self.sight is None else self.sight.triangles
        return DeliveredMesh(self.id, self.name, self.stage, self.fault, count, reading, box, odd)

    def read_as(self, unit: str, turn: str) -> None:
        """Take another unit, or a quarter turn, for what was guessed.

        Raises
        ------
        InputError
            If it is none.
        """
        if self.sight is None:
            raise InputError(GONE)
        reading = self.sight.reading(self.ref)
        up, front = reading.up.value, reading.front.value
        if turn:
            up, front = turned(up, front, turn)
        ref = MeshRef(self.name, None, unit or reading.unit.value, up, front)
        self.sight.reading(ref)
        self.ref = ref

    def end(self) -> None:
        """Stop the work and delete what came; what of it the folder has stays."""
        self.stage = Stage.ENDED
        self._beside.end()
        self._clear()

    def _clear(self) -> None:
        if self._lock is not None:
            self._lock.release()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _warm(self) -> None:
        with suppress(EOFError, OSError):
            self._beside.there(warm)
        if self.stage is Stage.ENDED:  # put away before the process was there
            self._beside.end()

    def _work(self, begun: Thread | None) -> None:
        if begun is not None:
            begun.join()
        try:
            self.sight = self._told(partial(_first_sight, self.file, self.name, self.look), Sight)
            if self.sight is not None:
                self.ref = MeshRef(self.name)
                self.stage = Stage.SEEN
                work = partial(_checked, self.file, self.name, self.sha256)
                self.checked = self._told(work, Checked)
                self.stage = Stage.CHECKED if self.checked is not None else self.stage
        except (EOFError, OSError):
            self.fault = ENDED.format(self.name)
        if self.fault and self.stage is not Stage.ENDED:
            self.stage = Stage.REFUSED
            self._clear()
        self._beside.end()

    def _told(self, work: Callable[[], object], kind: type[T]) -> T | None:
        answer = self._beside.there(work)
        if isinstance(answer, kind):
            return answer
        self.fault = str(answer)
        return None


def _first_sight(file: Path, name: str, look: Path) -> Sight | str:
    """In the other process: what is seen, or the sentence that refuses it."""
    try:
        return first_sight(file, name, look)
    except MeshError as error:
        return str(error.of(name))


def _checked(file: Path, name: str, sha256: str) -> Checked | str:
    try:
        return checked(file, name, sha256)
    except MeshError as error:
        return str(error.of(name))


class Arrivals:
    """The files that came to one server and wait."""

    def __init__(self) -> None:
        self._all: dict[str, Coming] = {}
        self._lock = Lock()

    def begin(self, name: str) -> Coming:
        """A file whose first byte is about to come.

        Raises
        ------
        InputError
            If too many wait already.
        """
        coming = Coming(name)
        with self._lock:
            if len(self._all) >= MOST:
                coming.end()
                raise InputError(TOO_MANY)
            self._all[coming.id] = coming
        coming.warm()
        return coming

    def get(self, id_: str) -> Coming:
        """One that waits.

        Raises
        ------
        InputError
            If it is not here any more.
        """
        found = self._all.get(id_)
        if found is None:
            raise InputError(GONE)
        return found

    def end(self, id_: str) -> None:
        """Put one away, whatever it is at."""
        with self._lock:
            coming = self._all.pop(id_, None)
        if coming is not None:
            coming.end()

    def shown(self) -> tuple[DeliveredMesh, ...]:
        """What a page says of all of them, in the order in which they came."""
        return tuple(coming.shown() for coming in tuple(self._all.values()))
