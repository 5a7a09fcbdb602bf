"""Meshes that came and were not kept when their server was killed: cleared from the cache later.

A server holds a lock in the folder of each mesh that waits, for as long as it runs. What nobody
holds and nobody has touched for a day goes when the next server starts.
"""

import re
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from sixwright.storage.files.writer_lock import cache_path

if TYPE_CHECKING:
    from filelock import BaseFileLock

AGE_S = 86_400.0
FILE, LOOK, LOCK = "file", "look.bin", "lock"
# What lies there is named so, by process and chance; nothing else is removed: the cache may be any
# folder, and so may what a name leads to.
_OURS = re.compile(r"\d+-[0-9a-f]{16}")
_LAID = re.compile(rf"{FILE}|{re.escape(LOOK)}|{LOCK}|look-\d+\.part")


def arrivals_path() -> Path:
    """Where meshes lie until they are kept: a folder for each."""
    return cache_path() / "arrivals"


def hold(folder: Path) -> "BaseFileLock | None":
    """The lock on a folder of a mesh, held until it is released; None where another holds it."""
    from filelock import FileLock, Timeout

    lock = FileLock(folder / LOCK, timeout=0, thread_local=False)
    try:
        lock.acquire()
    except (Timeout, OSError, NotImplementedError):  # a disk without locks: nobody knows
        return None
    return lock


def clear_left(now: datetime) -> None:
    """Remove what a server that runs no more has left, a day after it was last touched."""
    with suppress(OSError):
        for folder in sorted(arrivals_path().iterdir()):
            if _OURS.fullmatch(folder.name) and folder.is_dir() and not folder.is_symlink():
                with suppress(OSError):
                    _clear(folder, now.timestamp())


def _clear(folder: Path, now: float) -> None:
    files = [file for file in folder.iterdir() if _LAID.fullmatch(file.name)]
    latest = max(each.lstat().st_mtime for each in (folder, *files))
    if now - latest < AGE_S:
        return
    lock = hold(folder)
    if lock is None:
        return
    for file in files:
        if file.name != LOCK:
            file.unlink(missing_ok=True)
    lock.release()
    (folder / LOCK).unlink(missing_ok=True)
    folder.rmdir()
