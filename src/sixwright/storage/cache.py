"""What was computed, kept in the user's cache directory by its inputs; it can be thrown away.

An entry is JSON. One that cannot be read back is a miss, and the oldest go when all of them
together are larger than `MOST_BYTES`.
"""

import os
from collections.abc import Callable
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar

from sixwright.kernel.topic import Tools
from sixwright.storage.files.writer_lock import cache_path

T = TypeVar("T")
MOST_BYTES = 200_000_000
_CODECS: dict[Any, Any] = {}
# The last answer of each function in this process: most edits touch nothing that it rests on.
_LAST: dict[str, tuple[int, object, Any]] = {}


def memo(name: str, version: int, inputs: object, kind: type[T], make: Callable[[], T]) -> T:
    """The answer of `make`, from the cache where the same inputs were met before.

    Parameters
    ----------
    name, version
        Of the function; a new version forgets what the old one answered.
    inputs
        A dataclass of plain values: all that the answer rests on.
    kind
        Type of the answer: a dataclass of plain values.

    Notes
    -----
    A cache that cannot be read or written costs time, never an answer.
    """
    last = _LAST.get(name)
    if last is not None and last[:2] == (version, inputs):
        return last[2]  # type: ignore[no-any-return]
    answer = _remembered(name, version, inputs, kind, make)
    _LAST[name] = (version, inputs, answer)
    return answer


def _remembered(name: str, version: int, inputs: object, kind: type[T], make: Callable[[], T]) -> T:
    """The same, past the last answer that this process holds."""
    stated = b"\0".join(
        (name.encode(), str(version).encode(), _codec(type(inputs)).dump_json(inputs))
    )
    file = cache_path() / "answers" / f"{name}-{sha256(stated).hexdigest()}.json"
    with suppress(OSError, ValueError):
        answer: T = _codec(kind).validate_json(file.read_bytes(), strict=False)
        os.utime(file)
        return answer
    made = make()
    with suppress(OSError):
        _keep(file, _codec(kind).dump_json(made))
    return made


def _codec(kind: Any) -> Any:
    """Turns values of a type into JSON and back: floats to the last bit."""
    if kind not in _CODECS:
        from pydantic import TypeAdapter

        _CODECS[kind] = TypeAdapter(kind)
    return _CODECS[kind]


def _keep(file: Path, content: bytes) -> None:
    file.parent.mkdir(parents=True, exist_ok=True)
    part = file.with_name(f"{file.stem}-{os.getpid()}.part")
    try:
        part.write_bytes(content)
        part.replace(file)
    except OSError:  # a full disk is not filled further
        part.unlink(missing_ok=True)
        raise
    _forget_oldest(file.parent)


def _forget_oldest(folder: Path) -> None:
    """Remove what has not been asked for the longest, until the rest fits."""
    entries = []
    for file in folder.glob("*.json"):
        with suppress(OSError):
            stat = file.stat()
            entries.append((stat.st_mtime_ns, stat.st_size, file))
    size = sum(entry[1] for entry in entries)
    for _, bytes_, file in sorted(entries):
        if size <= MOST_BYTES:
            return
        with suppress(OSError):
            file.unlink()
        size -= bytes_


TOOLS = Tools(memo)
