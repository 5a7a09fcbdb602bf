"""What was computed, kept in the user's cache directory by its inputs; it can be thrown away.

An entry is JSON. One that cannot be read back whole is a miss, and the oldest go when all of them
together are larger than `MOST_BYTES`.
"""

import os
import re
from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from threading import Lock
from typing import Any, TypeVar

from sixwright.kernel.topic import Tools
from sixwright.storage.code_digest import digest_of_code
from sixwright.storage.files.writer_lock import cache_path

T = TypeVar("T")
MOST_BYTES = 200_000_000
# What is kept is named by a SHA-256. Nothing else is removed: the cache may be any folder.
OURS = re.compile(r"[0-9a-f]{64}")
_CODECS: dict[Any, Any] = {}
# The last answers of this process: most edits touch nothing that they rest on.
MOST_HELD = 8
_HELD: dict[str, list[tuple[object, Any]]] = {}
# One thread computes an answer; another that asks for the same one meanwhile waits for it.
_COMPUTING: dict[str, Lock] = {}


def memo(name: str, inputs: object, kind: type[T], make: Callable[[], T]) -> T:
    """The answer of `make`, from the cache where the same code met the same inputs before.

    Parameters
    ----------
    name
        Of what is computed.
    inputs
        A dataclass of plain values: all that the answer rests on.
    kind
        Type of the answer: a dataclass of plain values.
    make
        A function of the package that computes it: that package's code is part of the key.

    Notes
    -----
    A cache that cannot be read or written costs time, never an answer.
    """
    for held, answer in tuple(_HELD.get(name, ())):
        if held == inputs:
            return answer  # type: ignore[no-any-return]
    stated = b"\0".join(
        (name.encode(), digest_of_code(make.__module__).encode(),
         _codec(type(inputs)).dump_json(inputs))
    )  # fmt: skip
    key = sha256(stated).hexdigest()
    with _COMPUTING.setdefault(key, Lock()):
        answer = _remembered(f"{name}-{key}.json", kind, make)
    _COMPUTING.pop(key, None)
    _HELD[name] = [(inputs, answer), *_HELD.get(name, ())][:MOST_HELD]
    return answer


def _remembered(entry: str, kind: type[T], make: Callable[[], T]) -> T:
    """The same, past the answers that this process holds."""
    file = cache_path() / "answers" / entry
    with suppress(OSError, ValueError):
        content = file.read_bytes()
        answer: T = _codec(kind).validate_json(content, strict=False)
        if _codec(kind).dump_json(answer) == content:  # no field lacks
            os.utime(file)
            return answer
    made = make()
    with suppress(OSError):
        keep(file, _codec(kind).dump_json(made), MOST_BYTES)
    return made


def _codec(kind: Any) -> Any:
    """Turns values of a type into JSON and back: floats to the last bit."""
    if kind not in _CODECS:
        from pydantic import TypeAdapter

        _CODECS[kind] = TypeAdapter(kind)
    return _CODECS[kind]


def keep(file: Path, content: bytes, most: int) -> None:
    """Keep a file of the cache, whole or not at all; the oldest of its kind beside it make room.

    Parameters
    ----------
    most
        Bytes that all files of its kind in its folder may have.

    Raises
    ------
    OSError
        If it cannot be written.
    """
    file.parent.mkdir(parents=True, exist_ok=True)
    part = file.with_name(f"{file.stem}-{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(file)
    except OSError:  # a full disk is not filled further
        part.unlink(missing_ok=True)
        raise
    _forget_oldest(file, most)


def _forget_oldest(beside: Path, most: int) -> None:
    """Remove what has not been asked for the longest, until the rest fits."""
    entries = []
    kept = (file for file in beside.parent.glob(f"*{beside.suffix}") if OURS.search(file.name))
    for file in kept:
        with suppress(OSError):
            stat = file.stat()
            entries.append((stat.st_mtime_ns, stat.st_size, file))
    size = sum(entry[1] for entry in entries)
    for _, bytes_, file in sorted(entries):
        if size <= most:
            return
        with suppress(OSError):
            file.unlink()
        size -= bytes_


TOOLS = Tools(memo)
