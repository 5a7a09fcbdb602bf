"""A file put in another's place, and what another program saved there meanwhile kept.

What is laid and kept stands beside the file, under names of its own. Where the system can trade
two names in one step, whatever stood there is in hand afterwards and is given back where it is
not what was read. Elsewhere the file is looked at again and replaced at once: a save by a rename
between these two, some microseconds, is lost. docs/limits.md says so.
"""

from collections.abc import Iterator
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from sixwright.kernel.errors import ConflictError
from sixwright.storage.files.disk import PART, Disk
from sixwright.storage.files.journal_text import Swap

_SAVED = (
    "{} was saved by another program in the same moment. What it saved stands; nothing of your "
    "edit was written."
)
_TURNS = 20  # saves by another program while one is given back


def lay(file: Path, content: bytes, disk: Disk) -> None:
    """New bytes beside a file, on the disk itself."""
    disk.mkdir(file.parent)
    disk.write(_part(file), content)
    disk.flush(_part(file))


def take(file: Path, disk: Disk) -> None:
    """Put what was laid in the file's place, whatever stands there."""
    disk.replace(_part(file), file)


def take_place(file: Path, swap: Swap, disk: Disk) -> None:
    """Put what was laid in the file's place, where what was read still stands there.

    What stood there is kept beside it until `forget`.

    Raises
    ------
    ConflictError
        If another program saved the file; what it saved stands then.
    OSError
        If the disk refuses.
    """
    disk.remove(_kept(file))
    if digest(disk.read(file)) != digest(swap.before):
        raise _saved(swap)
    if swap.before is None:
        _come(file, swap, disk)
    elif swap.after is None:
        disk.replace(file, _kept(file))
        check_kept(file, swap, disk)
    else:
        _trade(file, swap, disk)


def _come(file: Path, swap: Swap, disk: Disk) -> None:
    """A file that was not there; one that is by now stays."""
    try:
        disk.link(_part(file), file)
    except FileExistsError as error:
        raise _saved(swap) from error
    except OSError:  # a disk on which a file has one name only
        disk.replace(_part(file), file)
    else:
        disk.remove(_part(file))


def _trade(file: Path, swap: Swap, disk: Disk) -> None:
    try:
        disk.exchange(_part(file), file)
    except OSError:  # a system or a disk without such a step, or the file is gone
        with suppress(OSError):
            disk.link(file, _kept(file))
        if digest(disk.read(file)) != digest(swap.before):
            raise _saved(swap) from None
        disk.replace(_part(file), file)
    check_kept(file, swap, disk)


def check_kept(file: Path, swap: Swap, disk: Disk) -> None:
    """Give back what another program saved, where that is what was replaced or written into.

    Raises
    ------
    ConflictError
        If it was.
    OSError
        If the disk refuses.
    """
    for beside in _strange(file, swap, disk):
        _give_back(beside, file, swap, disk)
        raise _saved(swap)


def give_back(file: Path, swap: Swap, disk: Disk) -> bool:
    """Whether another program's save was in hand when an edit was cut short; it then stands."""
    for beside in _strange(file, swap, disk):
        if digest(disk.read(file)) == digest(swap.after):  # else it has saved again
            _give_back(beside, file, swap, disk)
        return True
    return False


def forget(file: Path, disk: Disk) -> None:
    """Remove what was laid and kept beside a file."""
    for beside in (_part(file), _kept(file)):
        disk.remove(beside)


def restore(file: Path, content: bytes | None, disk: Disk) -> None:
    """Put old bytes back, or take the file away; under a name that is given to nothing else."""
    if content is None:
        disk.remove(file)
        return
    back = file.with_name(f".{file.name}.back{PART}")
    disk.write(back, content)
    disk.flush(back)
    disk.replace(back, file)


def _strange(file: Path, swap: Swap, disk: Disk) -> Iterator[Path]:
    """What lies beside a file and is neither its old bytes nor its new ones."""
    for beside in (_part(file), _kept(file)):
        content = disk.read(beside)
        if content is not None and digest(content) not in {digest(swap.before), digest(swap.after)}:
            yield beside


def _give_back(beside: Path, file: Path, swap: Swap, disk: Disk) -> None:
    """Put it in the file's place; a newer save that stands there by then stays."""
    comes_out = digest(swap.after)
    if comes_out is None:
        try:
            disk.link(beside, file)
        except FileExistsError:  # the newer save
            return
        except OSError:
            disk.replace(beside, file)
        return
    for _ in range(_TURNS):
        goes_in = digest(disk.read(beside))
        try:
            disk.exchange(beside, file)
        except OSError:
            disk.replace(beside, file)
            return
        if digest(disk.read(beside)) == comes_out:
            return
        comes_out = goes_in


def digest(content: bytes | None) -> str | None:
    """SHA-256 of a file's bytes; None where there is no file."""
    return None if content is None else sha256(content).hexdigest()


def _saved(swap: Swap) -> ConflictError:
    return ConflictError(_SAVED.format(swap.name))


def _part(file: Path) -> Path:
    return file.with_name(f".{file.name}{PART}")


def _kept(file: Path) -> Path:
    return file.with_name(f".{file.name}.kept{PART}")
