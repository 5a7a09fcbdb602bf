"""Checksums of large files, noted in the cache directory: none is read twice for one."""

import json
import os
from contextlib import suppress
from hashlib import sha256 as sha256_of
from pathlib import Path

from sixwright.storage.files.writer_lock import cache_path

# A file written within this time before it was looked at may change again at the same time.
_SETTLED_NS = 2_000_000_000


def known_checksum(path: Path) -> str | None:
    """The checksum that a file had when it was last read, where nothing says that it changed.

    Size and times say so; a file that was changed just before it was read is read again.
    """
    note = _note(path)
    with suppress(OSError, ValueError, KeyError, TypeError):
        told = json.loads(note.read_bytes())
        stat = path.stat()
        settled = note.stat().st_mtime_ns - stat.st_mtime_ns > _SETTLED_NS
        if settled and told["at"] == _at(stat) and len(told["sha256"]) == 64:
            return str(told["sha256"])
    return None


def note_checksum(path: Path, before: os.stat_result, sha256: str) -> None:
    """Note the checksum of a file that was read, where it did not change meanwhile."""
    note = _note(path)
    with suppress(OSError):
        if _at(path.stat()) != _at(before):
            return
        note.parent.mkdir(parents=True, exist_ok=True)
        part = note.with_name(f"{note.name}-{os.getpid()}.part")
        part.write_text(json.dumps({"at": _at(before), "sha256": sha256}), encoding="ascii")
        part.replace(note)


def _at(stat: os.stat_result) -> list[int]:
    return [stat.st_size, stat.st_mtime_ns, stat.st_ctime_ns, stat.st_ino]


def _note(path: Path) -> Path:
    name = sha256_of(os.fsencode(path)).hexdigest()[:32]
    return cache_path() / "seen" / f"{name}.json"
