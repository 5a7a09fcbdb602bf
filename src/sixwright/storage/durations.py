"""How long answers take: by a clock that nobody sets, and kept in the user's cache."""

import json
from contextlib import suppress
from math import isfinite
from pathlib import Path
from time import monotonic

from sixwright.storage.files.writer_lock import cache_path, folder_key


class Stopwatch:
    """Runs from when it is made."""

    def __init__(self) -> None:
        self._began = monotonic()

    def seconds(self) -> float:
        """For how long it has run, s."""
        return monotonic() - self._began


class Durations:
    """How long the last answer of each topic of a folder took, from one server to the next.

    Parameters
    ----------
    path
        The folder.

    Notes
    -----
    A cache that cannot be read or written makes a duration unknown; it is never an error.
    """

    def __init__(self, path: Path) -> None:
        self._file = cache_path() / "durations" / f"{folder_key(path)}.json"
        self._known: dict[str, float] = {}
        with suppress(OSError, ValueError, AttributeError):
            kept = json.loads(self._file.read_bytes())
            self._known = {
                topic: float(took)
                for topic, took in kept.items()
                if isinstance(took, int | float) and isfinite(took) and took > 0
            }

    def get(self, topic: str) -> float | None:
        """How long it took, s; None where that is not known."""
        return self._known.get(topic)

    def put(self, topic: str, took_s: float) -> None:
        """Keep how long it took, s."""
        self._known[topic] = took_s
        part = self._file.with_suffix(".part")
        with suppress(OSError):
            self._file.parent.mkdir(parents=True, exist_ok=True)
            part.write_text(json.dumps(self._known), encoding="utf-8")
            part.replace(self._file)
