"""What `import sixwright` offers: read a folder, judge it, try a change, write one.

Each function is one of the parts below it, with the shell's own clock, disk and cache left in
their places. docs/python.md shows all of them at work; a test runs it.
"""

from collections.abc import Mapping, Sequence
from datetime import date
from importlib.metadata import version
from os import PathLike
from pathlib import Path
from typing import Any

from sixwright.kernel.errors import (
    BusyError,
    ChangeError,
    ConflictError,
    DiskError,
    FolderError,
    InputError,
    SixwrightError,
)
from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.protocols import Clock
from sixwright.kernel.topic import Topic
from sixwright.project.model import Project
from sixwright.project.records import Change
from sixwright.reports.wording.words import say
from sixwright.storage.folder import Folder
from sixwright.workflows.reviewed import Review
from sixwright.workflows.topics import BY_ID

__all__ = [
    "TOPICS",
    "BusyError",
    "Change",
    "ChangeError",
    "ConflictError",
    "DiskError",
    "Finding",
    "Folder",
    "FolderError",
    "InputError",
    "Project",
    "Review",
    "SixwrightError",
    "Verdict",
    "as_json",
    "read",
    "review",
    "say",
    "write",
]

TOPICS: Mapping[str, Topic[Any, Any]] = BY_ID


def read(folder: str | PathLike[str]) -> Folder:
    """The line that a folder holds, with the rows and the bytes that it was read from.

    Parameters
    ----------
    folder
        Path of a folder with a ``line.toml``.

    Raises
    ------
    FolderError
        If anything in it cannot be read, with every reason; or if there is no such folder.

    Source
    ------
    docs/folder.md: files, columns, and what an empty cell means.
    """
    from sixwright.storage.folder import read as read_path

    return read_path(Path(folder))


def review(
    folder: Folder,
    *,
    today: date,
    changes: Sequence[Change] = (),
    before: Review | None = None,
    only: Sequence[str] = (),
) -> Review:
    """Every question about a line answered and judged, the worst finding first.

    Nothing is written. What takes seconds is kept in the user's cache directory, as with the
    command, and meshes are read where rows name them.

    Parameters
    ----------
    folder
        As `read` gave it.
    today
        The day on which quotes and dates are read.
    changes
        What to try: the line is judged as it would stand after them, in their order.
    before
        An earlier review of this line; an answer whose inputs are equal is taken over.
    only
        Ids of topics, keys of `TOPICS`; empty for all that the line has something of.

    Raises
    ------
    ChangeError
        If a change does not fit the line; with every reason.
    SixwrightError
        If `only` names a topic that is not there.

    Source
    ------
    docs/decisions/0001-verdicts.md: how an interval becomes a verdict. docs/topics: each method.
    """
    from sixwright.project.apply import apply
    from sixwright.storage.tools import tools_for
    from sixwright.workflows.review import review as judge

    project = apply(folder.project, changes) if changes else folder.project
    return judge(project, today=today, before=before, only=only, tools=tools_for(folder.path))


def write(folder: Folder, changes: Sequence[Change], *, who: str, clock: Clock) -> Folder:
    """Changes written to the folder as one edit, which `/history` shows and can undo.

    All of them are written, or none; rows that did not change stay byte for byte.

    Parameters
    ----------
    folder
        As `read` gave it; its files must still be the ones that were read.
    changes
        In the order in which they apply.
    who
        The name that the history gives them; not blank.
    clock
        Tells the present moment, with its time zone.

    Returns
    -------
    Folder
        The folder as it then is.

    Raises
    ------
    InputError
        If `who` is blank.
    ChangeError
        If a change does not fit the folder; with every reason.
    ConflictError
        If a file that the changes touch was changed since it was read.
    BusyError
        If such a file is held open by another program.
    DiskError
        If the disk is full or refuses. Nothing is written in any of these cases.

    Source
    ------
    docs/writing.md and docs/decisions/0006-writing.md.
    """
    from sixwright.storage.edits.write import write as write_changes

    return write_changes(folder, changes, who=who, clock=clock)


def as_json(found: Review, folder: Folder) -> dict[str, object]:
    """A review as `sixwright check --json` gives it: plain values, null for what is not known.

    Amounts of money are decimal text in the line's currency; lengths are in mm, masses in g,
    shares from 0 to 1 unless their name says otherwise.

    Parameters
    ----------
    found
        What was judged.
    folder
        What it was read from: the result names each file with its SHA-256.

    Source
    ------
    docs/commands.md, `sixwright check`; docs/topics for each topic's answer.
    """
    from sixwright.reports.as_json.review import check_json

    return dict(check_json(found, version=version("sixwright"), inputs=folder.inputs))
