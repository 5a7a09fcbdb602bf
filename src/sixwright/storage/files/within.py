"""The one way to a file of a line's folder: within it, plain, of a stated size, without waiting.

A folder comes through mail, sync programs and other people. Nothing in it may name what lies
outside: not by a path, not by a symbolic link. What is refused is an `OSError` whose text says
why, so that whoever meets a file that cannot be read meets this too.
"""

import errno
import os
import stat
from itertools import islice
from pathlib import Path, PurePosixPath, PureWindowsPath
from typing import IO

MIB = 2**20
# The most that one file of a kind may hold; docs/limits.md states them.
MOST_NAMED = 256 * MIB
MOST_NAMES = 20_000  # in one folder
MOST_TABLE = 64 * MIB
MOST_HISTORY = 128 * MIB  # all files of it
MOST_JOURNAL = 512 * MIB

# What is asked of the system beside reading: no waiting for a writer of a pipe, no link followed
# that was laid after the look; each where the system has it.
_FLAGS = sum(getattr(os, name, 0) for name in ("O_BINARY", "O_CLOEXEC", "O_NONBLOCK", "O_NOFOLLOW"))
# What systems answer where a link is not followed.
_IS_LINK = {errno.ELOOP, errno.EMLINK}
_KINDS = (
    (stat.S_ISDIR, "a folder, not a file"),
    (stat.S_ISFIFO, "a pipe, not a file"),
    (stat.S_ISSOCK, "a socket, not a file"),
    (stat.S_ISCHR, "a device, not a file"),
    (stat.S_ISBLK, "a device, not a file"),
)


def place(folder: Path, name: str) -> Path:
    """Where a file that the folder names lies, links followed; it need not be there.

    Parameters
    ----------
    folder
        The line's folder.
    name
        A path within it, parts separated by ``/``.

    Raises
    ------
    OSError
        If the path, or what it leads to over a symbolic link, lies outside the folder.
    """
    if not is_inner(name):
        raise _refused("a path that leads outside the folder", name)
    root = folder.resolve()
    try:
        found = (root / name).resolve()
    except (OSError, RuntimeError, ValueError) as error:  # a circle of links, a name no disk has
        raise _refused("a path that leads nowhere", name) from error
    if found != root and root not in found.parents:
        raise _refused("a link that leads outside the folder", name)
    return found


def is_inner(name: str) -> bool:
    """Whether a path of a folder's own is relative, and never steps up, on any system."""
    if not name or "\0" in name or "\\" in name or ":" in name:
        return False
    parts = PurePosixPath(name).parts
    return not (PurePosixPath(name).is_absolute() or PureWindowsPath(name).drive or ".." in parts)


def is_there(folder: Path, name: str) -> bool:
    """Whether something bears this name in the folder, be it no plain file."""
    return os.path.lexists(folder / name)


def read_within(folder: Path, name: str, *, most: int) -> bytes:
    """The bytes of a plain file of the folder.

    Parameters
    ----------
    folder, name
        As `place`.
    most
        Bytes that it may hold.

    Raises
    ------
    OSError
        If there is no such file, it lies outside, is no plain file, is larger, or is refused.
    """
    return read_plain(place(folder, name), most=most)


def head_within(folder: Path, name: str, size: int) -> bytes:
    """The first bytes of a plain file of the folder, `size` at most.

    Raises
    ------
    OSError
        As `read_within`; the file may be as large as it likes.
    """
    return head_of(place(folder, name), size)


def head_of(path: Path, size: int) -> bytes:
    """The first bytes of a plain file, `size` at most; never waits.

    Raises
    ------
    OSError
        As `read_within`; the file may be as large as it likes.
    """
    with open(path, "rb", opener=open_plain) as file:
        return file.read(size)


def read_plain(path: Path, *, most: int) -> bytes:
    """The bytes of a plain file; never waits, and never takes more than `most` into memory.

    Raises
    ------
    OSError
        As `read_within`.
    """
    with open(path, "rb", opener=open_plain) as file:
        size = os.fstat(file.fileno()).st_size
        if size > most:
            raise _too_large(most, str(path))
        content = file.read(size + 1)
        if len(content) > size:  # it grew, or its size says nothing
            content += file.read(most + 1 - len(content))
    if len(content) > most:
        raise _too_large(most, str(path))
    return content


def read_named(path: Path, *, most: int) -> bytes:
    """The bytes of a plain file that somebody named on the command line; its links are followed.

    Raises
    ------
    OSError
        As `open_named`.
    """
    with open_named(path, most=most) as file:
        return file.read()


def open_named(path: Path, *, most: int) -> IO[bytes]:
    """The same, opened.

    Raises
    ------
    OSError
        If there is no such file, it is no plain file, is larger than `most` bytes, or is refused.
    """
    file = open(os.path.realpath(path), "rb", opener=open_plain)  # noqa: SIM115  given to the caller
    if os.fstat(file.fileno()).st_size > most:
        file.close()
        raise _too_large(most, str(path))
    return file


def open_plain(path: str, flags: int) -> int:
    """A descriptor of a plain file, for `open` to use: no link, and nothing that keeps waiting.

    Raises
    ------
    OSError
        If it is no plain file, or is refused.
    """
    try:
        descriptor = os.open(path, flags | _FLAGS, 0o666)
    except OSError as error:
        if error.errno in _IS_LINK and Path(path).is_symlink():
            raise _refused("a link, not a file", path) from error
        raise
    mode = os.fstat(descriptor).st_mode
    words = next((words for is_kind, words in _KINDS if is_kind(mode)), None)
    if words is not None:
        os.close(descriptor)
        raise _refused(words, path)
    return descriptor


def names_within(folder: Path, name: str) -> tuple[str, ...]:
    """What bears a name in a folder of the line, in order; nothing where there is no such folder.

    Raises
    ------
    OSError
        If it lies outside, is no folder, may not be listed, or holds more names than are looked at.
    """
    if name != "." and not is_there(folder, name):
        return ()
    inner = folder if name == "." else place(folder, name)
    try:
        with os.scandir(inner) as entries:
            names = [entry.name for entry in islice(entries, MOST_NAMES + 1)]
    except NotADirectoryError as error:
        raise _refused("a file, not a folder", name) from error
    if len(names) > MOST_NAMES:
        raise OSError(
            errno.E2BIG, f"more than {MOST_NAMES} files, the most that are looked at", name
        )
    return tuple(sorted(names))


def _refused(words: str, name: str) -> OSError:
    return OSError(errno.EINVAL, words, name)


def _too_large(most: int, name: str) -> OSError:
    return OSError(errno.EFBIG, f"more than {most // MIB} MB, the most that is read", name)
