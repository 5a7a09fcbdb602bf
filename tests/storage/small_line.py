"""A small line to write in, a clock that counts, and disks that fail."""

import errno
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from sixwright.importer.sample import sample_files
from sixwright.project.records import Change
from sixwright.storage.files.disk import RealDisk

START = datetime(2026, 9, 14, 9, tzinfo=UTC)
CHOICE = """question = "Which coat?"

[[alternatives]]
id = "oiled"
name = "Oiled"

[[alternatives]]
id = "plain"
name = "Plain"

[[alternatives.changes]]
table = "parts"
id = "coat"
column = "note"
was = ""
value = "plain cloth"
"""


class CountingClock:
    """Each look is a second later than the one before."""

    def __init__(self) -> None:
        self.looks = 0

    def __call__(self) -> datetime:
        self.looks += 1
        return START + timedelta(seconds=self.looks)


def small_line(path: Path) -> Path:
    """The line of `sixwright new`, with one open choice."""
    path.mkdir(parents=True, exist_ok=True)
    for name, text in sample_files(id_="small", today=date(2026, 9, 14)).items():
        (path / name).write_bytes(text.encode())
    (path / "choices").mkdir()
    (path / "choices/coat.toml").write_bytes(CHOICE.encode())
    return path


def bytes_of(path: Path) -> dict[str, bytes]:
    """Every file of a folder, hidden ones too."""
    return {
        file.relative_to(path).as_posix(): file.read_bytes()
        for file in sorted(path.rglob("*"))
        if file.is_file()
    }


def in_three_files(number: int) -> list[Change]:
    """One edit that says the same number in three files."""
    text = str(number)
    return [
        Change("parts", "oar", "note", value=text),
        Change("orders", "crossing", "quantity", value=text),
        Change("line", "line", "seed", value=text),
    ]


def numbers_in(folder) -> set[str]:
    """What the three files say: one number, where an edit is whole."""
    records = folder.records
    return {
        records["parts"]["oar"].cells["note"],
        records["orders"]["crossing"].cells["quantity"],
        records["line"]["line"].cells["seed"],
    }


class Crash(BaseException):
    """The end of a process: nothing of it runs any more."""


class StoppingDisk(RealDisk):
    """Stops at one of its steps: before it, after it, or in the middle of a write."""

    CHANGING = (
        "write", "append", "truncate", "flush", "link", "exchange", "replace", "remove", "mkdir",
        "probe",
    )  # fmt: skip

    def __init__(self, stop: int, moment: str = "before", error: Exception | None = None) -> None:
        self.stop, self.moment, self.error = stop, moment, error
        self.steps: list[str] = []
        self.over = False

    def _step(self, name: str, *arguments) -> None:
        if self.over:
            raise Crash
        self.steps.append(name)
        if len(self.steps) != self.stop:
            getattr(RealDisk, name)(self, *arguments)
            return
        if self.error is not None:
            raise self.error
        self.over = True
        if self.moment == "after":
            getattr(RealDisk, name)(self, *arguments)
        elif self.moment == "torn" and name in {"write", "append"}:
            path, content = arguments
            getattr(RealDisk, name)(self, path, content[: len(content) // 2])
        raise Crash

    def write(self, path, content):
        self._step("write", path, content)

    def append(self, path, content):
        self._step("append", path, content)

    def truncate(self, path, length):
        self._step("truncate", path, length)

    def flush(self, path):
        self._step("flush", path)

    def link(self, path, target):
        self._step("link", path, target)

    def exchange(self, path, target):
        self._step("exchange", path, target)

    def replace(self, path, target):
        self._step("replace", path, target)

    def remove(self, path):
        self._step("remove", path)

    def mkdir(self, path):
        self._step("mkdir", path)

    def probe(self, path):
        self._step("probe", path)


class FullDisk(RealDisk):
    """Has no room from its n-th step that needs room, and keeps half of what it is given."""

    def __init__(self, full_at: int) -> None:
        self.full_at, self.taken = full_at, 0

    def _room(self, path: Path, content: bytes, mode: str) -> None:
        self.taken += 1
        if self.taken >= self.full_at:
            with path.open(mode) as file:
                file.write(content[: len(content) // 2])
            raise OSError(errno.ENOSPC, "No space left on device")

    def write(self, path, content):
        self._room(path, content, "wb")
        super().write(path, content)

    def append(self, path, content):
        self._room(path, content, "ab")
        super().append(path, content)


class HeldDisk(RealDisk):
    """One file is held open elsewhere: it can be opened, and not replaced."""

    def __init__(self, name: str) -> None:
        self.name = name

    def replace(self, path, target):
        self._check(target)
        super().replace(path, target)

    def exchange(self, path, target):
        self._check(target)
        super().exchange(path, target)

    def _check(self, target):
        if target.name == self.name:
            raise PermissionError(errno.EACCES, "Permission denied")


class PowerDisk(RealDisk):
    """Knows what would be left of a folder if the power went now.

    A file's bytes are safe once the file was flushed, a name once its folder was. `worlds` are
    the extremes: of names and of bytes, each all that was done, or only what is safe.
    """

    def __init__(self, path: Path, stop: int) -> None:
        self.path, self.stop, self.step = path, stop, 0
        self.names_now = {path / name: _Inode(c, c) for name, c in bytes_of(path).items()}
        self.names_safe = dict(self.names_now)

    def _count(self) -> None:
        self.step += 1
        if self.step == self.stop:
            raise Crash

    def write(self, path, content):
        super().write(path, content)
        self.names_now[path] = _Inode(content, b"")
        self._count()

    def append(self, path, content):
        super().append(path, content)
        self.names_now.setdefault(path, _Inode(b"", b"")).now += content
        self._count()

    def truncate(self, path, length):
        super().truncate(path, length)
        self.names_now[path].now = self.names_now[path].now[:length]
        self._count()

    def flush(self, path):
        super().flush(path)
        if path in self.names_now:
            self.names_now[path].safe = self.names_now[path].now
        else:
            gone = [name for name in self.names_safe if name.parent == path]
            for name in gone:
                del self.names_safe[name]
            here = {name: i for name, i in self.names_now.items() if name.parent == path}
            self.names_safe.update(here)
        self._count()

    def link(self, path, target):
        super().link(path, target)
        self.names_now[target] = self.names_now[path]
        self._count()

    def exchange(self, path, target):
        super().exchange(path, target)
        both = self.names_now
        both[path], both[target] = both[target], both[path]
        self._count()

    def replace(self, path, target):
        super().replace(path, target)
        self.names_now[target] = self.names_now.pop(path)
        self._count()

    def remove(self, path):
        super().remove(path)
        self.names_now.pop(path, None)
        self._count()

    def worlds(self):
        for names in (self.names_safe, self.names_now):
            for state in ("safe", "now"):
                yield {path: getattr(inode, state) for path, inode in names.items()}

    def lay_down(self, world) -> None:
        for path in [path for path in self.path.rglob("*") if path.is_file()]:
            path.unlink()
        for path, content in world.items():
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(content)


class _Inode:
    def __init__(self, now: bytes, safe: bytes) -> None:
        self.now, self.safe = now, safe
