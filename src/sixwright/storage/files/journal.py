"""Several files replaced as one: a journal says what to put back where that was cut short.

The journal holds the old bytes of every file of an edit. It is written, and on the disk, before
the first file is replaced, and removed after the last: removing it is what makes the edit count.
Where it is still there, the edit did not end, and the next that opens the folder puts the old
bytes back. A file that has neither its old nor its new bytes by then is left as it is.
"""

from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from platform import node

from sixwright.kernel.errors import BusyError, ConflictError, DiskError
from sixwright.storage.files.disk import PART, REAL_DISK, Disk
from sixwright.storage.files.journal_text import (
    JOURNAL,
    Swap,
    Tail,
    journal_text,
    not_ours,
    parse_journal,
)
from sixwright.storage.files.spreadsheet_locks import refusal
from sixwright.storage.files.taking import (
    check_kept,
    digest,
    forget,
    give_back,
    lay,
    restore,
    take,
    take_place,
)
from sixwright.storage.files.within import is_there, names_within, place
from sixwright.storage.files.writer_lock import folder_lock

_FOLDERS = (".", "choices", "history")


def replace_files(path: Path, swaps: Sequence[Swap], tail: Tail, disk: Disk) -> None:
    """Put the new bytes in place and add the tail: all of it, or none.

    Just before a file is replaced it is looked at again, and what was replaced is kept until the
    end: what another program saved meanwhile stays, and nothing of the edit is then written.

    Raises
    ------
    ConflictError
        If another program saved one of the files in the same moment.
    BusyError
        If a file may not be replaced.
    DiskError
        If the disk is full or refuses.
    """
    at = ""
    try:
        for swap in swaps:
            at = swap.name
            if swap.after is not None:
                lay(place(path, at), swap.after, disk)
        at = JOURNAL
        lay(path / at, journal_text(swaps, tail), disk)
        take(path / at, disk)
        disk.flush(path)
        at = tail.name
        _append(place(path, at), tail, disk)
        for swap in swaps:
            at = swap.name
            take_place(place(path, at), swap, disk)
        for swap in swaps:
            at = swap.name
            check_kept(place(path, at), swap, disk)
        _flush_folders(path, swaps, disk)
        at = JOURNAL
        disk.remove(path / at)
    except (OSError, ConflictError) as error:
        with suppress(OSError, BusyError, DiskError):
            put_back(path, disk)
        if isinstance(error, OSError):
            raise refusal(at, error) from error
        raise
    with suppress(OSError):
        disk.flush(path)
    for swap in swaps:
        with suppress(OSError):
            forget(place(path, swap.name), disk)


def put_back(path: Path, disk: Disk) -> None:
    """Undo what an edit that was cut short has done; for those who hold the folder's lock.

    Raises
    ------
    BusyError
        If a file may not be replaced, or the edit is another machine's: it may be under way there.
    DiskError
        If the disk refuses.
    FolderError
        If the journal is none that sixwright writes; nothing is then changed.
    """
    at = JOURNAL
    try:
        if (content := _journal(path, disk)) is not None:
            journal = parse_journal(content)
            if journal is not None and journal.machine != node():
                raise BusyError(_elsewhere(journal.machine))
            for swap in journal.swaps if journal else ():
                at = swap.name
                _restore(place(path, at), swap, disk)
            if journal is not None:
                at = journal.tail.name
                _shorten(place(path, at), journal.tail, disk)
                _flush_folders(path, journal.swaps, disk)
            at = JOURNAL
            disk.remove(path / JOURNAL)
            disk.flush(path)
            for swap in journal.swaps if journal else ():
                at = swap.name
                forget(place(path, at), disk)
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
    if not is_there(path, JOURNAL):
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
    if is_there(path, JOURNAL):
        with folder_lock(path):
            put_back(path, disk)


def _as_before(path: Path, files: dict[str, bytes]) -> dict[str, bytes]:
    """The files as the journal says that they were, where it cannot be played back."""
    content = _journal(path, REAL_DISK)
    journal = parse_journal(content) if content is not None else None
    for swap in journal.swaps if journal is not None else ():
        if swap.before is not None and digest(files.get(swap.name)) == digest(swap.after):
            files[swap.name] = swap.before
        elif swap.before is None and digest(files.get(swap.name)) == digest(swap.after):
            files.pop(swap.name, None)
    return files


def _journal(path: Path, disk: Disk) -> bytes | None:
    """The journal's bytes; None where there is none.

    Raises
    ------
    FolderError
        If it cannot be read: nobody knows then what it asks for.
    """
    try:
        return disk.read(path / JOURNAL)
    except OSError as error:
        raise not_ours(error.strerror or str(error)) from error


def _stamps(path: Path) -> list[tuple[str, int, int, int]]:
    """What tells that a file of the folder was replaced."""
    stamps = []
    for pattern in ("*.csv", "*.toml", "choices/*.toml"):
        for file in sorted(path.glob(pattern)):
            with suppress(OSError):
                stat = file.stat()
                stamps.append((str(file), stat.st_mtime_ns, stat.st_size, stat.st_ino))
    return stamps


def _append(file: Path, tail: Tail, disk: Disk) -> None:
    disk.mkdir(file.parent)
    disk.append(file, tail.text)
    disk.flush(file)
    disk.flush(file.parent)


def _restore(file: Path, swap: Swap, disk: Disk) -> None:
    """Put a file's old bytes back, or what another program saved; never over what it saved."""
    if give_back(file, swap, disk):
        return
    now = digest(disk.read(file))
    if now != digest(swap.before) and now == digest(swap.after):
        restore(file, swap.before, disk)


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
    for folder in dict.fromkeys([path, *(place(path, swap.name).parent for swap in swaps)]):
        disk.flush(folder)


def _sweep(path: Path, disk: Disk) -> None:
    """Remove what was laid beside files and never taken."""
    for folder in _FOLDERS:
        try:
            names = names_within(path, folder)
        except OSError:  # it leads outside, or may not be listed: nothing of ours lies there
            continue
        for name in names:
            if name.startswith(".") and name.endswith(PART):
                with suppress(OSError):  # what cannot go is refused where its place is needed
                    disk.remove(path / folder / name)


def _elsewhere(machine: str) -> str:
    return (
        f"The machine “{machine}” is writing in this folder, or stopped in the middle of an edit. "
        f"Open the folder there. If that cannot be, delete {JOURNAL} to keep the files as they are."
    )
