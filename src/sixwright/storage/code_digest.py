"""A digest of the code that computes an answer, so that changed code never meets old answers."""

import sys
from functools import lru_cache
from hashlib import sha256
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import sixwright

# What every topic computes with, beside its own package.
_SHARED = ("kernel", "line", "numerics")
_LIBRARIES = ("numpy", "scipy", "ortools")


@lru_cache
def digest_of_code(module: str) -> str:
    """SHA-256 of the package that a module lies in, and of what it computes with.

    Parameters
    ----------
    module
        Its full name; it must have been imported.

    Returns
    -------
    str
        64 hexadecimal digits. Another byte in the module's package, in the kernel, the nouns of
        the line or the numerics gives another digest, as does another version of a library.
    """
    own = Path(sys.modules[module].__file__ or "").parent
    house = Path(sixwright.__file__).parent
    folders = dict.fromkeys([own, *(house / name for name in _SHARED)])
    return digest_of([*folders], tuple(f"{name} {_version(name)}" for name in _LIBRARIES))


def digest_of(folders: list[Path], facts: tuple[str, ...] = ()) -> str:
    """SHA-256 of every Python file below some folders, by name and content, and of some facts."""
    found = sha256("\0".join(facts).encode())
    for number, folder in enumerate(folders):
        for file in sorted(folder.rglob("*.py")):
            content = file.read_bytes()
            head = f"\0{number}/{file.relative_to(folder).as_posix()} {len(content)}\0"
            found.update(head.encode())
            found.update(content)
    return found.hexdigest()


def _version(library: str) -> str:
    try:
        return version(library)
    except PackageNotFoundError:
        return "none"
