"""A file that comes into the folder: whole or not at all, and never over another."""

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path, PurePosixPath

from sixwright.storage.files.disk import PART, Disk
from sixwright.storage.files.within import is_there, place

Write = Callable[[Path], None]


def came(path: Path, name: str, write: Write, disk: Disk) -> Path | None:
    """Where a new file of the folder lies now; None where something bears its name.

    Parameters
    ----------
    path
        The line's folder.
    name
        Within it, in a folder of its own, which is made where there is none.
    write
        Writes the content where it is told.

    Raises
    ------
    OSError
        If the disk refuses, or a link leads out of the folder.
    """
    inner = str(PurePosixPath(name).parent)
    place(path, inner)  # refuses a link that leads out of the folder
    disk.mkdir(path / inner)
    target = path / name
    part = target.with_name(f".{target.name}{PART}")
    if is_there(path, name):
        return None
    try:
        write(part)
        disk.flush(part)
        _name(part, target, disk)
    except FileExistsError:
        return None
    finally:
        with suppress(OSError):
            disk.remove(part)
    with suppress(OSError):
        disk.flush(path / inner)
    return target


def _name(part: Path, target: Path, disk: Disk) -> None:
    """Give a whole file its name; on a disk where a file has one name only, by moving it.

    Raises
    ------
    FileExistsError
        If something bears the name.
    OSError
        If the disk refuses.
    """
    try:
        disk.link(part, target)
    except FileExistsError:
        raise
    except OSError:
        if target.exists() or target.is_symlink():
            raise FileExistsError(str(target)) from None
        disk.replace(part, target)
