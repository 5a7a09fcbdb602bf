"""The folder as it stands: read again whenever it changes, written one edit at a time."""

import logging
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date, datetime
from itertools import chain, count, islice
from pathlib import Path
from secrets import token_hex
from threading import RLock

from sixwright.kernel.errors import ConflictError, FolderError, Problem
from sixwright.kernel.protocols import Clock
from sixwright.project.differences import differences
from sixwright.project.records import Change, Records
from sixwright.storage.durations import Durations
from sixwright.storage.edits.changed_files import all_rows
from sixwright.storage.files.settling import settled
from sixwright.storage.files.within import is_inner
from sixwright.storage.folder import Folder, files_of, read
from sixwright.storage.history.log import History, read_history
from sixwright.storage.history.log_text import Edit
from sixwright.storage.pictures import MOST_OPENED
from sixwright.storage.tools import tools_for
from sixwright.web.background import Background, Progress
from sixwright.workflows.review import review
from sixwright.workflows.reviewed import Review

WAY_OUT = "every file is as it was written, and undo takes the last edit back"
READ_FROM = ("*.toml", "*.csv", "choices/*.toml")
HISTORY = ("history/*.jsonl",)
KEPT_TRANSITIONS = 30
WAIT_S = 60.0  # at a time, for answers in the background

FileStamp = tuple[str, int, int, int, int]
Stamps = tuple[FileStamp, ...]
Stamp = tuple[date, Stamps]


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
class Transition:
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


class WatchedFolder:
    """One folder, kept as it was last read until a file of it changes or the day does.

    Parameters
    ----------
    path
        The folder.
    clock
        Tells the day that the line is judged on.
    now
        Tells the moment of what is written and looked at; `clock` where None.
    waits
        Whether who looks waits for answers that take seconds; else they follow.
    """

    def __init__(
        self, path: Path, clock: Clock, now: Clock | None = None, *, waits: bool = True
    ) -> None:
        self.path = path
        self._background = None if waits else Background(self._follow, Durations(path))
        self.tools = replace(tools_for(path), later=self._background)
        self.now = now or clock
        self._clock = clock
        self._lock = RLock()
        self._kept: tuple[Stamp, State] | None = None
        self._read_last: Folder | None = None
        self._pictures: Stamps = ()
        self._sizes: dict[str, int] = {}
        self._transitions: deque[Transition] = deque(maxlen=KEPT_TRANSITIONS)
        self._history: tuple[object, History] = (None, History((), {}))
        self._run = token_hex(4)
        self._numbers = count(1)

    def look(self) -> State:
        """The state of the folder now."""
        with self._lock:
            stamp = self._stamp()
            if self._kept is None or self._kept[0] != stamp or self._pictures != self._seen():
                if self._lacks(stamp):
                    stamp = settled(self._stamp, stamp)
                self._keep(stamp, *self._read(), window="")
            return self._kept_state()

    def settled(self) -> State:
        """The state of the folder now, with every answer: for those who wait, as a report does."""
        self.go_on()
        state = self.look()
        while state.review is not None and state.review.pending and self._background is not None:
            self._background.wait(WAIT_S)
            state = self.look()
        return state

    def progress(self) -> dict[str, Progress]:
        """How far the answers that are being worked out are, by topic."""
        return {} if self._background is None else self._background.progress()

    def stop(self, topic: str) -> bool:
        """Stop working a topic's answer out; whether it was under way."""
        stopped = self._background is not None and self._background.stop(topic)
        if stopped:
            self._follow()
        return stopped

    def go_on(self, topic: str = "") -> None:
        """Work out what was stopped: one topic's answer, or all of them."""
        if self._background is not None:
            self._background.go_on(topic)
            self._follow()

    def write(
        self, write: Callable[[State], Folder], *, window: str
    ) -> tuple[State, Transition | None]:
        """The state after a write, and what led to it; nothing else is read or written meanwhile.

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
            try:
                written = write(self.look())
            except ConflictError:
                self._look_again()
                raise
            stamp = self._stamp()
            transition = self._keep(stamp, written, (), window=window)
            if not self._stands(written):  # another wrote in the same moment
                self._look_again()
                self.look()
            return self._kept_state(), transition

    def _lacks(self, stamp: Stamp) -> bool:
        """Whether a file has become shorter, or is gone: it may be half of what is being saved."""
        sizes = {name: size for name, _, size, *_ in stamp[1]}
        return any(sizes.get(name, 0) < size for name, size in self._sizes.items())

    def _look_again(self) -> None:
        """Have the folder read at the next look, though nothing tells that it was changed."""
        if self._kept is not None:
            self._kept = ((date.min, ()), self._kept[1])

    def _stands(self, written: Folder) -> bool:
        """Whether the folder still is what was written.

        Where it cannot be read, it is not: a sync program may have taken a file away in this very
        moment. What was written was written, and is told as that.
        """
        try:
            return files_of(self.path) == dict(written.files)
        except FolderError:
            return False

    def since(self, version: str) -> tuple[Transition, ...]:
        """What happened after a state; nothing where that state is not known any more."""
        with self._lock:
            transitions = tuple(self._transitions)
        known = [
            index
            for index, transition in enumerate(transitions, 1)
            if transition.version == version
        ]
        return transitions[known[-1] :] if known else ()

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
    ) -> Transition | None:
        version = f"{self._run}-{next(self._numbers)}"
        self._sizes = {name: size for name, _, size, *_ in stamp[1]}
        if folder is None:
            self._kept = (stamp, State(None, problems=problems, version=version))
            return None
        judged, problems = self._judged(folder, stamp[0], self._kept and self._kept[1].review)
        after = all_rows(folder.files, folder.records)
        last = self._read_last
        before = all_rows(last.files, last.records) if last else after
        transition = Transition(
            version, window, self.now(), differences(before, after), before, after
        )
        self._transitions.append(transition)
        self._read_last = folder
        self._pictures = self._seen()
        self._kept = (stamp, State(judged, folder.inputs, problems, folder, version))
        return transition

    def _follow(self) -> None:
        """Judge the line again when an answer has come in the background, or was stopped."""
        with self._lock:
            if self._kept is None or self._read_last is None:
                return
            stamp, state = self._kept
            if state.folder is not None and state.review is not None and _is_behind(state.review):
                judged, problems = self._judged(state.folder, stamp[0], state.review)
                version = f"{self._run}-{next(self._numbers)}"
                rows = all_rows(state.folder.files, state.folder.records)
                self._transitions.append(Transition(version, "", self.now(), (), rows, rows))
                self._kept = (stamp, replace(state, review=judged, problems=problems,
                                             version=version))  # fmt: skip

    def _judged(
        self, folder: Folder, today: date, before: Review | None
    ) -> tuple[Review | None, tuple[Problem, ...]]:
        """The folder judged; where that fails, what is said, so that reading and undo go on."""
        try:
            return review(folder.project, today=today, before=before, tools=self.tools), ()
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

    def _seen(self) -> Stamps:
        """The files that stills and rounds named when they were last read, as they stand."""
        if self._read_last is None:
            return ()
        project = self._read_last.project
        meshes = (each.mesh for each in project.rounds.values())
        named = chain(islice(project.pictures, MOST_OPENED), islice(meshes, MOST_OPENED))
        names = [name for name in named if name and is_inner(name)]
        return tuple(_stamps_of(self.path / name for name in names))


def _is_behind(review: Review) -> bool:
    return bool(review.pending or review.stopped)


def _stamps(path: Path, patterns: tuple[str, ...]) -> Iterator[FileStamp]:
    """What tells that one of the files that match was changed or replaced."""
    for pattern in patterns:
        yield from _stamps_of(path.glob(pattern))


def _stamps_of(files: Iterable[Path]) -> Iterator[FileStamp]:
    for file in files:
        try:
            stat = file.stat()
        except OSError:  # gone between the listing and the look: listed again next time
            continue
        # Some disks know times to 2 s alone, and some programs set them back.
        yield str(file), stat.st_mtime_ns, stat.st_size, stat.st_ino, stat.st_ctime_ns
