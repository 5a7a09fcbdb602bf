"""The folder as it stands: read again whenever it changes, written one edit at a time."""

import logging
from collections import deque
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from itertools import count
from pathlib import Path
from secrets import token_hex
from threading import RLock

from sixwright.kernel.errors import FolderError, Problem
from sixwright.kernel.protocols import Clock
from sixwright.project.differences import differences
from sixwright.project.records import Change, Records
from sixwright.storage.cache import TOOLS
from sixwright.storage.edits.changed_files import all_rows
from sixwright.storage.folder import Folder, files_of, read
from sixwright.storage.past.history import History, read_history
from sixwright.storage.past.history_text import Edit
from sixwright.workflows.review import review
from sixwright.workflows.reviewed import Review

WAY_OUT = "every file is as it was written, and undo takes the last edit back"
READ_FROM = ("*.toml", "*.csv", "choices/*.toml")
HISTORY = ("history/*.jsonl",)
KEPT_MOVES = 60

Stamp = tuple[date, tuple[tuple[str, int, int], ...]]


@dataclass(frozen=True, slots=True)
class State:
    """A folder as read and judged; or, where it cannot be read, all of its problems.

    Attributes
    ----------
    version
        Names this state; another state of this run, or of another run, has another.
    """

    review: Review | None
    inputs: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()
    folder: Folder | None = None
    version: str = ""


@dataclass(frozen=True, slots=True)
class Move:
    """What led from one state to the next.

    Attributes
    ----------
    version
        Of the state that it led to.
    window
        The browser window that wrote it; empty where it came from outside sixwright.
    """

    version: str
    window: str
    at: datetime
    changes: tuple[Change, ...]
    before: Records
    after: Records


class Live:
    """One folder, kept as it was last read until a file of it changes or the day does.

    Parameters
    ----------
    path
        The folder.
    clock
        Tells the day that the line is judged on.
    now
        Tells the moment of what is written and looked at; `clock` where None.
    """

    def __init__(self, path: Path, clock: Clock, now: Clock | None = None) -> None:
        self.path = path
        self.now = now or clock
        self._clock = clock
        self._lock = RLock()
        self._kept: tuple[Stamp, State] | None = None
        self._read_last: Folder | None = None
        self._moves: deque[Move] = deque(maxlen=KEPT_MOVES)
        self._history: tuple[object, History] = (None, History((), {}))
        self._run = token_hex(4)
        self._numbers = count(1)

    def look(self) -> State:
        """The state of the folder now."""
        with self._lock:
            stamp = self._stamp()
            if self._kept is None or self._kept[0] != stamp:
                self._keep(stamp, *self._read(), window="")
            return self._kept_state()

    def write(self, write: Callable[[State], Folder], *, window: str) -> State:
        """The state after a write; nothing else is read or written meanwhile.

        Parameters
        ----------
        write
            Is given the state as it stands, and gives the folder as it stands then.
        window
            The browser window that asked for it.

        Raises
        ------
        SixwrightError
            Whatever `write` raises; the state stays as it was.
        """
        with self._lock:
            written = write(self.look())
            stamp = self._stamp()
            self._keep(stamp, written, (), window=window)
            if files_of(self.path) != dict(written.files):  # another wrote in the same moment
                self._keep(stamp, *self._read(), window="")
            return self._kept_state()

    def since(self, version: str) -> tuple[Move, ...]:
        """What happened after a state; nothing where that state is not known any more."""
        with self._lock:
            moves = tuple(self._moves)
        known = [index for index, move in enumerate(moves, 1) if move.version == version]
        return moves[known[-1] :] if known else ()

    def last_move(self) -> Move | None:
        """What led to the state that is kept."""
        with self._lock:
            return self._moves[-1] if self._moves else None

    def history(self) -> History:
        """The folder's history, read again whenever a file of it changes."""
        with self._lock:
            stamp = tuple(sorted(_stamps(self.path, HISTORY)))
            if self._history[0] != stamp:
                self._history = (stamp, read_history(self.path))
            return self._history[1]

    def edits(self) -> tuple[Edit, ...]:
        """All edits of the folder by their time."""
        return self.history().edits

    def _kept_state(self) -> State:
        if self._kept is None:
            raise FolderError(())
        return self._kept[1]

    def _keep(
        self, stamp: Stamp, folder: Folder | None, problems: tuple[Problem, ...], *, window: str
    ) -> None:
        version = f"{self._run}-{next(self._numbers)}"
        if folder is None:
            self._kept = (stamp, State(None, problems=problems, version=version))
            return
        judged, problems = self._judged(folder, stamp[0], self._kept and self._kept[1].review)
        after = all_rows(folder.files, folder.records)
        last = self._read_last
        before = all_rows(last.files, last.records) if last else after
        moved = Move(version, window, self.now(), differences(before, after), before, after)
        self._moves.append(moved)
        self._read_last = folder
        self._kept = (stamp, State(judged, folder.inputs, problems, folder, version))

    @staticmethod
    def _judged(
        folder: Folder, today: date, before: Review | None
    ) -> tuple[Review | None, tuple[Problem, ...]]:
        """The folder judged; where that fails, what is said, so that reading and undo go on."""
        try:
            return review(folder.project, today=today, before=before, tools=TOOLS), ()
        except Exception as error:  # a fault of ours must not take the folder away
            logging.getLogger(__name__).exception("A line could not be judged.")
            found = f"{type(error).__name__} in sixwright itself"
            expected = f"a line that can be judged; {WAY_OUT}"
            return None, (Problem("sixwright", expected, found),)

    def _read(self) -> tuple[Folder | None, tuple[Problem, ...]]:
        try:
            return read(self.path), ()
        except FolderError as error:
            return None, error.problems

    def _stamp(self) -> Stamp:
        return self._clock().date(), tuple(sorted(_stamps(self.path, READ_FROM)))


def _stamps(path: Path, patterns: tuple[str, ...]) -> Iterator[tuple[str, int, int]]:
    """Name, time and size of the files that match."""
    for pattern in patterns:
        for file in path.glob(pattern):
            try:
                stat = file.stat()
            except OSError:  # gone between the listing and the look: listed again next time
                continue
            yield str(file), stat.st_mtime_ns, stat.st_size
