"""Whether a file may be written now: spreadsheets leave a mark beside what they hold open."""

from collections.abc import Iterable
from errno import EDQUOT, ENOSPC
from pathlib import Path

from sixwright.kernel.errors import BusyError, DiskError
from sixwright.storage.files.disk import Disk
from sixwright.storage.files.within import place

# What spreadsheet programs lay beside a file that they have open.
_MARKS = (".~lock.{}#", "~${}")


def check_free(path: Path, names: Iterable[str], disk: Disk) -> None:
    """Refuse where another program has one of the files open.

    Raises
    ------
    BusyError
        If a mark lies beside it, or it may not be opened for writing.
    DiskError
        If the disk refuses.
    """
    for name in names:
        try:
            file = place(path, name)
            beside = disk.names(file.parent)
        except OSError as error:
            raise refusal(name, error) from error
        for mark in (mark.format(file.name) for mark in _MARKS):
            if mark in beside:
                raise BusyError(
                    f"{name} is open in a spreadsheet ({mark} lies beside it). Close it there "
                    f"and try again; if it is open nowhere, delete {mark}."
                )
        try:
            disk.probe(file)
        except OSError as error:
            raise refusal(name, error) from error


def refusal(name: str, error: OSError) -> BusyError | DiskError:
    """What to say of a file that a disk refuses."""
    if error.errno in {ENOSPC, EDQUOT}:
        return DiskError(f"The disk is full: {name} cannot be written. Make room and try again.")
    if isinstance(error, PermissionError):
        return BusyError(
            f"{name} is held open by another program, or may not be written. "
            "Close it there and try again."
        )
    if isinstance(error, IsADirectoryError) and error.filename:
        lies = Path(error.filename).name
        return DiskError(f"{name} cannot be written: {lies} is a folder. Remove it and try again.")
    return DiskError(f"The disk refused {name} ({error.strerror or error}).")
