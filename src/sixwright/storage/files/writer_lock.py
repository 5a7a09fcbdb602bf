"""One writer at a time in a folder, and the name that this machine's user writes under.

Nothing of this lies in the folder: it would be synced, and a lock that is synced locks nothing.
"""

import getpass
import os
import secrets
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from hashlib import sha256
from importlib import import_module
from pathlib import Path
from types import ModuleType

from sixwright.kernel.errors import BusyError, DiskError, shown
from sixwright.kernel.ids import slug

WAIT_S = 10.0
_POLL_S = 0.005


def cache_path() -> Path:
    """Where all that can be thrown away is kept: `SIXWRIGHT_CACHE`, or the user's own place."""
    if stated := os.environ.get("SIXWRIGHT_CACHE"):
        return Path(stated)
    from platformdirs import user_cache_path

    return user_cache_path("sixwright", appauthor=False)


def folder_key(path: Path) -> str:
    """What names a folder where it lies, whatever lies in it: no path, and the same at each run."""
    place = os.path.normcase(path.resolve())
    return sha256(place.encode("utf-8", "surrogatepass")).hexdigest()[:32]


@contextmanager
def folder_lock(path: Path) -> Iterator[None]:
    """Be the only program of this machine that writes in a folder.

    Two locks: one in the user's cache, and one that the system keeps on the folder itself, where
    it has such (Linux, macOS). That one holds for every account and cache, and however the folder
    was reached; it lies in no file, and ends with the program.

    Raises
    ------
    BusyError
        If another has been writing for longer than `WAIT_S` seconds.
    DiskError
        If the cache directory cannot be written.
    """
    from filelock import FileLock, Timeout

    file = cache_path() / "locks" / f"{folder_key(path)}.lock"
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        lock = FileLock(file, timeout=WAIT_S, poll_interval=_POLL_S)
        lock.acquire()
    except Timeout as error:
        raise _busy(path) from error
    except OSError as error:
        place = f"{file.parent} cannot be written ({error.strerror})"
        raise DiskError(f"{place}; set SIXWRIGHT_CACHE to a folder that can.") from error
    try:
        with _lock_of_system(path):
            yield
    finally:
        lock.release()


@contextmanager
def _lock_of_system(path: Path) -> Iterator[None]:
    """The lock of the folder's own inode, as flock(2) has it; none where there is none.

    Raises
    ------
    BusyError
        As `folder_lock`.
    """
    try:
        fcntl = import_module("fcntl")  # Windows has none, and locks no folders
        descriptor = os.open(path, os.O_RDONLY | getattr(os, "O_CLOEXEC", 0))
    except (ImportError, OSError):  # a system without such locks, a folder that is not there yet
        yield
        return
    try:
        end = time.monotonic() + WAIT_S
        while _is_held(fcntl, descriptor):
            if time.monotonic() > end:
                raise _busy(path)
            time.sleep(_POLL_S)
        yield
    finally:
        with suppress(OSError):  # a network disk may refuse; the edit stands, and the lock is gone
            os.close(descriptor)


def _is_held(fcntl: ModuleType, descriptor: int) -> bool:
    """Whether another holds it; else it is ours, or the disk knows no such locks."""
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return True
    except OSError:  # as some network disks
        return False
    return False


def _busy(path: Path) -> BusyError:
    return BusyError(f"Another window has been writing in {shown(str(path))} for {WAIT_S:g} s.")


def writer_name() -> str:
    """The name of this user's own history file: the user, and a word drawn once a machine.

    Raises
    ------
    DiskError
        If the cache directory cannot be written.
    """
    file = cache_path() / "writer.txt"
    try:
        if not file.is_file():
            file.parent.mkdir(parents=True, exist_ok=True)
            drawn = secrets.token_hex(4)
            part = file.with_name(f"writer-{drawn}.part")  # no other window's
            part.write_text(drawn, encoding="ascii")
            part.replace(file)
        word = slug(file.read_text(encoding="utf-8"), otherwise="machine")
    except OSError as error:
        place = f"{file} cannot be written ({error.strerror})"
        raise DiskError(f"{place}; set SIXWRIGHT_CACHE to a folder that can.") from error
    return f"{slug(_user(), otherwise='producer')}-{word}"


def _user() -> str:
    try:
        return getpass.getuser()
    except (OSError, KeyError, ImportError):  # no name in the environment, none on the system
        return ""
