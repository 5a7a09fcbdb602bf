"""Two files that trade names in one step: nothing that stood at either name is lost."""

import ctypes
import errno
import os
import sys
from functools import cache
from pathlib import Path
from typing import Any

# renameat2(2) of Linux, RENAME_EXCHANGE and AT_FDCWD; renamex_np(2) of macOS, RENAME_SWAP.
_EXCHANGE, _HERE, _SWAP = 2, -100, 2


def exchange(path: Path, target: Path) -> None:
    """Put each of two files in the other's place, in one step.

    Raises
    ------
    OSError
        If the system or the disk has no such step, or refuses it; both files are as they were.

    Source
    ------
    Linux: renameat2(2), since 3.15, by the C library's wrapper. macOS: renamex_np(2), since 10.12.
    Windows has none.
    """
    library = _library()
    names = os.fsencode(path), os.fsencode(target)
    if sys.platform.startswith("linux") and hasattr(library, "renameat2"):
        failed = library.renameat2(_HERE, names[0], _HERE, names[1], _EXCHANGE)
    elif sys.platform.startswith("darwin") and hasattr(library, "renamex_np"):
        failed = library.renamex_np(*names, _SWAP)
    else:
        raise OSError(errno.ENOTSUP, os.strerror(errno.ENOTSUP), str(path), None, str(target))
    if failed:
        number = ctypes.get_errno()
        raise OSError(number, os.strerror(number), str(path), None, str(target))


@cache
def _library() -> Any:
    """The C library of this process; None where it is not reached that way."""
    try:
        return ctypes.CDLL(None, use_errno=True)
    except (OSError, TypeError):
        return None
