"""Several files replaced as one: a journal says what to put back where that was cut short.

The journal holds the old bytes of every file of an edit. It is written, and on the disk, before
the first file is replaced, and removed after the last: removing it is what makes the edit count.
Where it is still there, the edit did not end, and the next that opens the folder puts the old
bytes back. A file that has neither its old nor its new bytes by then is left as it is.
"""

import json
from base64 import b64decode, b64encode
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from platform import node
from typing import Any

from sixwright.kernel.errors import BusyError, DiskError
from sixwright.storage.files.disk import REAL_DISK, Disk
from sixwright.storage.files.spreadsheet_locks import refusal
from sixwright.storage.files.writer_lock import folder_lock

JOURNAL = ".sixwright-journal"
PART = ".sixwright-part"
_FOLDERS = (".", "choices", "history")


@dataclass(frozen=True, slots=True)
class Swap:
    """A file's bytes before and after; None where there is no file."""

    name: str
    before: bytes | None
    after: bytes | None


@dataclass(frozen=True, slots=True)
class Tail:
    """What is added to the end of a file that had `length` bytes, by the writer whose it is."""

    name: str
    length: int
    text: bytes


def replace_files(path: Path, swaps: Sequence[Swap], tail: Tail, disk: Disk) -> None:
    """Put the new bytes in place and add the tail: all of it, or none.

    Raises
    ------
    BusyError
        If a file may not be replaced.
    DiskError
        If the disk is full or refuses.
    """
    at = ""
    try:
        for swap in swaps:
            at = swap.name
            _lay_beside(path / at, swap.after, disk)
        at = JOURNAL
        _lay_beside(path / at, _journal_text(swaps, tail), disk)
        _take_beside(path / at, disk)
        disk.flush(path)
        at = tail.name
        _append(path / at, tail, disk)
        for swap in swaps:
            at = swap.name
            _take_beside(path / at, disk, gone=swap.after is None)
        _flush_folders(path, swaps, disk)
        at = JOURNAL
        disk.remove(path / at)
    except OSError as error:
        with suppress(OSError, BusyError, DiskError):
            put_back(path, disk)
        raise refusal(at, error) from error
    with suppress(OSError):
        disk.flush(path)


def put_back(path: Path, disk: Disk) -> None:
    """Undo what an edit that was cut short has done; for those who hold the folder's lock.

    Raises
    ------
    BusyError
        If a file may not be replaced, or the edit is another machine's: it may be under way there.
    DiskError
        If the disk refuses.
    """
    at = JOURNAL
    try:
        if (content := disk.read(path / JOURNAL)) is not None:
            swaps, tail, machine = _parsed(content)
            if machine not in {None, node()}:
                raise BusyError(_elsewhere(str(machine)))
            for swap in swaps:
                at = swap.name
                _restore(path / at, swap, disk)
            if tail is not None:
                at = tail.name
                _shorten(path / at, tail, disk)
            _flush_folders(path, swaps, disk)
            at = JOURNAL
            disk.remove(path / JOURNAL)
            disk.flush(path)
        _sweep(path, disk)
    except OSError as error:
        raise refusal(at, error) from error


def settled(path: Path, load: Callable[[], dict[str, bytes]]) -> dict[str, bytes]:
    """The files of a folder at one moment: never between two files of one edit.

    An edit that was cut short is put back first; where that cannot be just now, the files are
    those from before it.

    Parameters
    ----------
    load
        Reads them.
    """
    stamps = _stamps(path)
    if not (path / JOURNAL).exists():
        files = load()
        if _stamps(path) == stamps:
            return files
    try:
        with folder_lock(path):
            put_back(path, REAL_DISK)
            return load()
    except (BusyError, DiskError):
        return _as_before(path, load())


def recover(path: Path, disk: Disk = REAL_DISK) -> None:
    """Put back what an edit that was cut short has done, where there is any.

    Raises
    ------
    BusyError, DiskError
        If a file may not be replaced; the folder still reads as it did before the edit.
    """
    if (path / JOURNAL).exists():
        with folder_lock(path):
            put_back(path, disk)


def _as_before(path: Path, files: dict[str, bytes]) -> dict[str, bytes]:
    """The files as the journal says that they were, where it cannot be played back."""
    content = REAL_DISK.read(path / JOURNAL)
    for swap in _parsed(content)[0] if content is not None else ():
        if swap.before is not None and _digest(files.get(swap.name)) == _digest(swap.after):
            files[swap.name] = swap.before
        elif swap.before is None and _digest(files.get(swap.name)) == _digest(swap.after):
            files.pop(swap.name, None)
    return files


def _stamps(path: Path) -> list[tuple[str, int, int, int]]:
    """What tells that a file of the folder was replaced."""
    stamps = []
    for pattern in ("*.csv", "*.toml", "choices/*.toml"):
        for file in sorted(path.glob(pattern)):
            with suppress(OSError):
                stat = file.stat()
                stamps.append((str(file), stat.st_mtime_ns, stat.st_size, stat.st_ino))
    return stamps


def _part(file: Path) -> Path:
    return file.with_name(f".{file.name}{PART}")


def _lay_beside(file: Path, content: bytes | None, disk: Disk) -> None:
    if content is not None:
        disk.mkdir(file.parent)
        disk.write(_part(file), content)
        disk.flush(_part(file))


def _take_beside(file: Path, disk: Disk, *, gone: bool = False) -> None:
    if gone:
        disk.remove(file)
    else:
        disk.replace(_part(file), file)


def _append(file: Path, tail: Tail, disk: Disk) -> None:
    disk.mkdir(file.parent)
    disk.append(file, tail.text)
    disk.flush(file)
    disk.flush(file.parent)


def _restore(file: Path, swap: Swap, disk: Disk) -> None:
    """Put a file's old bytes back, unless it has them, or others than the edit gave it."""
    now = _digest(disk.read(file))
    if now == _digest(swap.before) or now != _digest(swap.after):
        return
    _lay_beside(file, swap.before, disk)
    _take_beside(file, disk, gone=swap.before is None)


def _shorten(file: Path, tail: Tail, disk: Disk) -> None:
    """Cut off what was added, unless more has been added since."""
    now = disk.read(file)
    if now is None or not tail.length <= len(now) <= tail.length + len(tail.text):
        return
    if tail.length == 0:
        disk.remove(file)
    elif len(now) > tail.length:
        disk.truncate(file, tail.length)
        disk.flush(file)


def _flush_folders(path: Path, swaps: Sequence[Swap], disk: Disk) -> None:
    for folder in dict.fromkeys([path, *((path / swap.name).parent for swap in swaps)]):
        disk.flush(folder)


def _sweep(path: Path, disk: Disk) -> None:
    """Remove what was laid beside files and never taken."""
    for folder in (path / name for name in _FOLDERS):
        for name in disk.names(folder):
            if name.startswith(".") and name.endswith(PART):
                disk.remove(folder / name)


def _journal_text(swaps: Sequence[Swap], tail: Tail) -> bytes:
    stated = {
        "machine": node(),
        "files": [[swap.name, _coded(swap.before), _coded(swap.after)] for swap in swaps],
        "tail": [tail.name, tail.length, _coded(tail.text)],
    }
    body = json.dumps(stated).encode("ascii")
    return sha256(body).hexdigest().encode("ascii") + b"\n" + body


def _parsed(content: bytes) -> tuple[list[Swap], Tail | None, str | None]:
    """What a journal says, and the machine that wrote it.

    One that is not whole says nothing: it was cut short before anything else moved.
    """
    digest, _, body = content.partition(b"\n")
    if sha256(body).hexdigest().encode("ascii") != digest:
        return [], None, None
    stated: Mapping[str, Any] = json.loads(body)
    swaps = [Swap(name, _decoded(old), _decoded(new)) for name, old, new in stated["files"]]
    name, length, text = stated["tail"]
    return swaps, Tail(name, length, b64decode(text)), stated["machine"]


def _elsewhere(machine: str) -> str:
    return (
        f"The machine “{machine}” is writing in this folder, or stopped in the middle of an edit. "
        f"Open the folder there. If that cannot be, delete {JOURNAL} to keep the files as they are."
    )


def _coded(content: bytes | None) -> str | None:
    return None if content is None else b64encode(content).decode("ascii")


def _decoded(text: str | None) -> bytes | None:
    return None if text is None else b64decode(text)


def _digest(content: bytes | None) -> str | None:
    return None if content is None else sha256(content).hexdigest()
