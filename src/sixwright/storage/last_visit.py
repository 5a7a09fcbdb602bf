"""When the producer last looked at a line, and how it stood then: kept in the user's cache.

A visit ends when nobody has looked for `PAUSE`; the next look is then a new visit, and what it is
compared with is how the visit before it ended. It is kept outside the folder: it is the
producer's own, and is no part of the line.
"""

import os
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from sixwright.storage.files.writer_lock import cache_path

if TYPE_CHECKING:
    from pydantic import TypeAdapter

# Own choice: a lunch does not end a visit, a night does.
PAUSE = timedelta(hours=4)


@dataclass(frozen=True, slots=True)
class Visit:
    """How a line stood at a look.

    Attributes
    ----------
    at
        With its time zone.
    verdicts
        Finding id to verdict.
    rows
        Table, then id, then the row's cells.
    """

    at: datetime
    verdicts: Mapping[str, str] = field(default_factory=dict)
    rows: Mapping[str, Mapping[str, Mapping[str, str]]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Visits:
    """How the visit before ended, and the latest look of this one."""

    before: Visit | None
    latest: Visit


def last_visit(path: Path, now: Visit) -> Visit | None:
    """How the line stood when the visit before this one ended; None at the first visit.

    Parameters
    ----------
    path
        The folder.
    now
        How it stands: kept, so that a later visit can be compared with it.

    Notes
    -----
    A cache that cannot be read or written makes this a first visit; it is never an error.
    """
    file = cache_path() / "looks" / f"{sha256(os.fsencode(path.resolve())).hexdigest()}.json"
    kept: Visits | None = None
    with suppress(OSError, ValueError):
        kept = _codec().validate_json(file.read_bytes())
    before = None
    if kept is not None:
        before = kept.latest if now.at - kept.latest.at > PAUSE else kept.before
    with suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        part = file.with_suffix(".part")
        try:
            part.write_bytes(_codec().dump_json(Visits(before, now)))
            part.replace(file)
        except OSError:
            part.unlink(missing_ok=True)
    return before


@cache
def _codec() -> "TypeAdapter[Visits]":
    from pydantic import TypeAdapter

    return TypeAdapter(Visits)
