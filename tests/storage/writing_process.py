"""A process that writes in a line: run by the tests, several at once, or to be killed."""

import sys
import time
from datetime import UTC, datetime
from pathlib import Path

from sixwright.kernel.errors import ConflictError
from sixwright.project.records import Change
from sixwright.storage.edits.write import write
from sixwright.storage.files import writer_lock as lock
from sixwright.storage.folder import read
from storage.small_line import in_three_files, numbers_in


def now() -> datetime:
    return datetime.now(UTC)  # noqa: TID251  a process of its own, as the command is


def on_and_on(path: Path) -> None:
    """Count up in three files at once until killed."""
    folder = read(path)
    number = int(next(iter(numbers_in(folder))))
    while True:
        number += 1
        folder = write(folder, in_three_files(number), who="K", clock=now)
        sys.stdout.write(f"{number}\n")
        sys.stdout.flush()


def for_seconds(path: Path, name: str, seconds: float) -> None:
    """Change cells for some seconds; say how many edits were accepted.

    They take turns for as long as a slow disk makes them: when a window gives up is tested
    elsewhere.
    """
    lock.WAIT_S = 200
    rows = ["body", "head", "coat", "boot", "oar", "lantern"]
    end = time.monotonic() + seconds
    accepted = tried = 0
    while time.monotonic() < end or not accepted:
        tried += 1
        folder = read(path)
        changes = [
            Change("parts", rows[tried % len(rows)], "note", value=f"{name} {tried}"),
            Change("line", "line", "seed", value=str(tried)),
        ]
        try:
            write(folder, changes[: 1 + tried % 2], who=name, clock=now)
            accepted += 1
        except ConflictError:
            continue
    sys.stdout.write(f"{accepted}\n")


if __name__ == "__main__":
    if sys.argv[1] == "on-and-on":
        on_and_on(Path(sys.argv[2]))
    else:
        for_seconds(Path(sys.argv[2]), sys.argv[3], float(sys.argv[4]))
