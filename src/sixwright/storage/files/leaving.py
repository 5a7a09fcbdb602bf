"""Files that leave sixwright, for people: whole and new, or as they were before."""

import os
import re
from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path

from sixwright.kernel.errors import CallError, DiskError
from sixwright.storage.files.disk import PART, REAL_DISK, Disk
from sixwright.storage.files.spreadsheet_locks import refusal
from sixwright.storage.files.within import head_of

_HEAD = 1_000  # bytes, by which a file of an earlier run is known


def write_out(
    contents: Mapping[Path, bytes], *, line: Path | None = None, disk: Disk = REAL_DISK
) -> None:
    """Write files that somebody named: all of them, or none.

    All are laid beside their places before the first takes its place, and what is replaced is
    kept until the last has.

    Parameters
    ----------
    contents
        Bytes by path; folders on the way are made. A link that was named is followed.
    line
        The line's folder: a place in it is none that a link leads out of it.

    Raises
    ------
    BusyError
        If a file may not be written.
    DiskError
        If the disk is full or refuses, a link in the line's folder leads out of it, or a place is
        a device's or a pipe's.
    """
    laid: list[tuple[Path, Path]] = []
    at = Path()
    try:
        for path, content in contents.items():
            at = path
            target = _real(path, line)
            if target.exists() and not (target.is_file() or target.is_dir()):
                raise DiskError(f"{path.name} is a device or a pipe, not a file; it stays.")
            for folder in reversed([each for each in target.parents if not each.exists()]):
                disk.mkdir(folder)
            disk.probe(target)
            part = target.with_name(f".{target.name}{PART}")
            laid.append((part, target))
            disk.write(part, content)
            disk.flush(part)
        _put_in_place(laid, disk)
    except OSError as error:
        raise refusal(at.name, error) from error
    finally:
        for part, _ in laid:
            _remove(part, disk)


def _put_in_place(laid: Sequence[tuple[Path, Path]], disk: Disk) -> None:
    """All take their places, or what stood there comes back.

    Raises
    ------
    BusyError, DiskError
        If one cannot.
    """
    done: list[tuple[Path, Path, bool]] = []
    target = Path()
    try:
        for part, target in laid:
            there = target.exists()
            _remove(_kept(target), disk)
            with suppress(OSError):  # a disk on which a file has one name only
                disk.link(target, _kept(target))
            disk.replace(part, target)
            done.append((_kept(target), target, there))
    except OSError as error:
        for kept, place, there in done:
            with suppress(OSError):
                disk.replace(kept, place) if there else disk.remove(place)
        raise refusal(target.name, error) from error
    finally:
        for _, place in laid:
            _remove(_kept(place), disk)
    for folder in {place.parent for _, place in laid}:
        with suppress(OSError):
            disk.flush(folder)


def _kept(target: Path) -> Path:
    return target.with_name(f".{target.name}.kept{PART}")


def _remove(file: Path, disk: Disk) -> None:
    with suppress(OSError):
        disk.remove(file)


def _real(path: Path, line: Path | None) -> Path:
    """Where a file lies, links followed.

    Raises
    ------
    DiskError
        If it is named as one of the line's folder and lies outside, or is a link to a file of it:
        no table is written over by a report.
    """
    named, real = Path(os.path.abspath(path)), Path(os.path.realpath(path))  # noqa: PTH100  follows no link
    if line is None:
        return real
    root = line.resolve()
    above = next(
        (each for each in reversed((named, *named.parents)) if each.resolve() == root), None
    )
    if above is not None and root not in real.parents:
        raise DiskError(f"{path} is or lies in a link that leads outside the line's folder.")
    if root in real.parents and (above is None or real != root / named.relative_to(above)):
        raise DiskError(f"{path} is or lies in a link to a file of the line's folder; it stays.")
    return real


def check_new(folder: Path, names: Iterable[str], *, sign: tuple[str, re.Pattern[bytes]]) -> None:
    """Refuse to replace files of a folder that an earlier run did not write.

    Parameters
    ----------
    folder, names
        Where files are to be written, and what they are called there.
    sign
        The one of them that tells by how it begins that all are of an earlier run.

    Raises
    ------
    CallError
        With those that are somebody else's.
    """
    there = [name for name in names if os.path.lexists(folder / name)]
    name, begins = sign
    with suppress(OSError):
        if begins.match(head_of(folder / name, _HEAD)):
            return
    if there:
        listed = ", ".join(there[:3]) + (f" and {len(there) - 3} more" if len(there) > 3 else "")
        raise CallError(
            f"{folder} holds {listed}, which sixwright did not write: name another folder, or "
            "move them away. Nothing was written."
        )
