"""The folder as it stands: read again whenever one of its files has changed."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from threading import Lock

from sixwright.kernel.errors import FolderError, Problem
from sixwright.kernel.protocols import Clock
from sixwright.storage.folder import read
from sixwright.workflows.review import Review, review

READ_FROM = ("*.toml", "*.csv", "choices/*.toml")

Stamp = tuple[date, tuple[tuple[str, int, int], ...]]


@dataclass(frozen=True, slots=True)
class State:
    """A folder as read and judged; or, where it cannot be read, all of its problems."""

    review: Review | None
    inputs: Mapping[str, str] = field(default_factory=dict)
    problems: tuple[Problem, ...] = ()


class Live:
    """One folder, kept as it was last read until a file of it changes or the day does.

    Parameters
    ----------
    path
        The folder.
    clock
        Tells the day that quotes are read on.
    """

    def __init__(self, path: Path, clock: Clock) -> None:
        self.path = path
        self._clock = clock
        self._lock = Lock()
        self._kept: tuple[Stamp, State] | None = None

    def look(self) -> State:
        """The state of the folder now."""
        with self._lock:
            stamp = self._stamp()
            if self._kept is None or self._kept[0] != stamp:
                self._kept = (stamp, self._read(stamp[0]))
            return self._kept[1]

    def _stamp(self) -> Stamp:
        return self._clock().date(), tuple(sorted(self._files()))

    def _files(self) -> Iterator[tuple[str, int, int]]:
        for pattern in READ_FROM:
            for path in self.path.glob(pattern):
                try:
                    stat = path.stat()
                except OSError:  # gone between the listing and the look: listed again next time
                    continue
                yield str(path), stat.st_mtime_ns, stat.st_size

    def _read(self, today: date) -> State:
        try:
            folder = read(self.path)
        except FolderError as error:
            return State(None, problems=error.problems)
        return State(review(folder.project, today=today), inputs=folder.inputs)
