"""What the journal of an edit says: the old and new bytes of each file of a line, nothing else.

It lies in the folder, so anybody may have written it. It is taken only where every file that it
names is one that a line has, by its name.
"""

import json
import re
from base64 import b64decode, b64encode
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from platform import node
from typing import Any

from sixwright.kernel.errors import FolderError, Problem
from sixwright.project.tables import TABLES
from sixwright.project.voices_rows import COLUMNS

JOURNAL = ".sixwright-journal"
_OURS = f"the journal of an edit; delete {JOURNAL} to keep the files as they are"
_CHOICE = re.compile(r"choices/[a-z][a-z0-9-]*\.toml")
_HISTORY = re.compile(r"history/[a-z0-9][a-z0-9-]*\.jsonl")
_SHOWN = 60  # characters of a name that is refused


@dataclass(frozen=True, slots=True)
class Swap:
    """A file's bytes before and after; None where there is no file."""

    name: str
    before: bytes | None
    after: bytes | None


@dataclass(frozen=True, slots=True)
class Tail:
    """What is added to the end of a file that had `length` bytes, by the writer whose it is."""

    name: str
    length: int
    text: bytes


@dataclass(frozen=True, slots=True)
class Journal:
    """An edit that is under way, or was cut short, and the machine that it was made on."""

    swaps: tuple[Swap, ...]
    tail: Tail
    machine: str


def journal_text(swaps: Sequence[Swap], tail: Tail) -> bytes:
    """The journal of an edit of this machine, with a digest that tells whether it is whole."""
    stated = {
        "machine": node(),
        "files": [[swap.name, _coded(swap.before), _coded(swap.after)] for swap in swaps],
        "tail": [tail.name, tail.length, _coded(tail.text)],
    }
    body = json.dumps(stated).encode("ascii")
    return sha256(body).hexdigest().encode("ascii") + b"\n" + body


def parse_journal(content: bytes) -> Journal | None:
    """What a journal says; None where it is not whole: it was cut short before anything moved.

    Raises
    ------
    FolderError
        If it is whole and none that sixwright writes: with what it names.
    """
    digest, _, body = content.partition(b"\n")
    if sha256(body).hexdigest().encode("ascii") != digest:
        return None
    try:
        return _stated(json.loads(body))
    except (ValueError, TypeError, KeyError, RecursionError) as error:
        raise not_ours("another text") from error


def not_ours(*found: str) -> FolderError:
    """What to say of a journal that sixwright did not write: nothing is done that it asks for."""
    return FolderError(tuple(Problem(JOURNAL, _OURS, each) for each in found))


def _stated(stated: Mapping[str, Any]) -> Journal:
    files, (name, length, text), machine = stated["files"], stated["tail"], stated["machine"]
    swaps = tuple(Swap(name, _decoded(old), _decoded(new)) for name, old, new in files)
    tail = Tail(name, length, b64decode(text, validate=True))
    strange = list(_strange(swaps, tail))
    if strange:
        raise not_ours(*strange)
    if not isinstance(machine, str) or type(length) is not int or length < 0:
        raise TypeError
    return Journal(swaps, tail, machine)


def _strange(swaps: Sequence[Swap], tail: Tail) -> Iterator[str]:
    """What a journal of ours never names: another file than those of a line, or one twice."""
    tables = {table.file for table in TABLES} | set(COLUMNS)
    met: set[object] = set()
    for name in (*(swap.name for swap in swaps), tail.name):
        ours = isinstance(name, str) and (
            _HISTORY.fullmatch(name)
            if name == tail.name
            else name in tables or _CHOICE.fullmatch(name)
        )
        if not ours or name in met:
            yield f"one that names {str(name)[:_SHOWN]!a}"
        met.add(name)


def _coded(content: bytes | None) -> str | None:
    return None if content is None else b64encode(content).decode("ascii")


def _decoded(text: object) -> bytes | None:
    if text is None:
        return None
    if not isinstance(text, str):
        raise TypeError
    return b64decode(text, validate=True)
