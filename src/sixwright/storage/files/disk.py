"""What writing asks of a disk, step by step, so that a test can stop it at each."""

import os
import shutil
import time
from contextlib import suppress
from pathlib import Path
from typing import Protocol

from sixwright.storage.files.exchange import exchange
from sixwright.storage.files.within import MOST_JOURNAL, open_plain, read_plain

# Ends the names of what lies beside a file while it is written.
PART = ".sixwright-part"
# On some systems a file that a scanner or an indexer looks at for a moment cannot be replaced.
_TRIES = 5
_PAUSE_S = 0.05


class Disk(Protocol):
    """The steps that change a folder; each may raise `OSError`, and each may be the last."""

    def read(self, path: Path) -> bytes | None:
        """Bytes of a file, or None where there is none."""

    def write(self, path: Path, content: bytes) -> None:
        """Make a file, or make it anew."""

    def append(self, path: Path, content: bytes) -> None:
        """Add to the end of a file, which is made where there is none."""

    def truncate(self, path: Path, length: int) -> None:
        """Cut a file to its first `length` bytes."""

    def flush(self, path: Path) -> None:
        """Wait until a file, or the list of a folder's files, is on the disk itself."""

    def link(self, path: Path, target: Path) -> None:
        """Give a file a second name, where the disk has such."""

    def exchange(self, path: Path, target: Path) -> None:
        """Put each of two files in the other's place in one step, where the disk can."""

    def replace(self, path: Path, target: Path) -> None:
        """Put a file in another's place, in one step."""

    def remove(self, path: Path) -> None:
        """Delete a file; one that is not there is gone already."""

    def mkdir(self, path: Path) -> None:
        """Make a folder where there is none."""

    def names(self, path: Path) -> tuple[str, ...]:
        """Names of what is in a folder; none where there is no folder."""

    def probe(self, path: Path) -> None:
        """Open an existing file for writing and close it again, as it was."""


class RealDisk:
    """The disk itself."""

    def read(self, path: Path) -> bytes | None:
        """Bytes of a file, or None where there is none."""
        try:
            return read_plain(path, most=MOST_JOURNAL)
        except FileNotFoundError:
            return None

    def write(self, path: Path, content: bytes) -> None:
        """Make a file, or make it anew; what bore its name goes, and is not written through."""
        path.unlink(missing_ok=True)
        with path.open("xb") as file:  # follows no link that is laid meanwhile
            file.write(content)

    def append(self, path: Path, content: bytes) -> None:
        """Add to the end of a file, which is made where there is none."""
        _part_from_twins(path)
        with open(path, "ab", opener=open_plain) as file:
            file.write(content)

    def truncate(self, path: Path, length: int) -> None:
        """Cut a file to its first `length` bytes."""
        _part_from_twins(path)
        os.truncate(path, length)

    def flush(self, path: Path) -> None:
        """Wait until a file, or the list of a folder's files, is on the disk itself."""
        if path.is_dir():
            # Some systems do not open folders; their file systems keep the order of such steps.
            with suppress(OSError):
                _sync(os.open(path, os.O_RDONLY))
        else:
            _sync(os.open(path, os.O_RDWR))

    def link(self, path: Path, target: Path) -> None:
        """Give a file a second name, where the disk has such."""
        os.link(path, target)

    def exchange(self, path: Path, target: Path) -> None:
        """Put each of two files in the other's place in one step, where the disk can."""
        with suppress(OSError):
            shutil.copymode(target, path)
        exchange(path, target)

    def replace(self, path: Path, target: Path) -> None:
        """Put a file in another's place, in one step."""
        with suppress(OSError):  # rights are kept where they can be
            shutil.copymode(target, path)
        for tried in range(1, _TRIES + 1):
            try:
                os.replace(path, target)  # noqa: PTH105  one call, on every system
            except PermissionError:
                if tried == _TRIES:
                    raise
                time.sleep(_PAUSE_S)
            else:
                return

    def remove(self, path: Path) -> None:
        """Delete a file; one that is not there is gone already."""
        path.unlink(missing_ok=True)

    def mkdir(self, path: Path) -> None:
        """Make a folder where there is none."""
        path.mkdir(exist_ok=True)

    def names(self, path: Path) -> tuple[str, ...]:
        """Names of what is in a folder; none where there is no folder."""
        try:
            return tuple(sorted(os.listdir(path)))  # noqa: PTH208  names are all that is asked
        except FileNotFoundError:
            return ()

    def probe(self, path: Path) -> None:
        """Open an existing file for writing and close it again, as it was."""
        with suppress(FileNotFoundError), path.open("r+b"):
            pass


def _part_from_twins(path: Path) -> None:
    """Give a file bytes of its own where it has a second name, which may lie outside the folder.

    Backups are made so, and somebody else may lay one: neither is written through.
    """
    try:
        if path.lstat().st_nlink < 2 or path.is_symlink():
            return
    except FileNotFoundError:
        return
    own = path.with_name(f".{path.name}.own{PART}")
    own.unlink(missing_ok=True)
    with own.open("xb") as file:
        file.write(read_plain(path, most=MOST_JOURNAL))
        file.flush()
        os.fsync(file.fileno())
    shutil.copymode(path, own)
    own.replace(path)


def _sync(descriptor: int) -> None:
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


REAL_DISK: Disk = RealDisk()
