"""The requests that change the folder: what each must hold, and the changes it stands for."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, StringConstraints

from sixwright.kernel.errors import ChangeError, InputError
from sixwright.kernel.findings import Finding
from sixwright.project.records import Change, Records
from sixwright.project.rows import addition, edit, removal
from sixwright.reports.refusals import moved_since
from sixwright.storage.folder import Folder
from sixwright.storage.history import Edit
from sixwright.storage.undo import restore, undo
from sixwright.workflows.accept import acceptance, fix_changes, withdrawal
from sixwright.workflows.review import Review

Short = Annotated[str, StringConstraints(max_length=200)]
Text = Annotated[str, StringConstraints(max_length=4000)]


class Asked(BaseModel):
    """What every write says of the page and the window that it comes from."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    page: Short
    window: Short = ""


class EditAsked(Asked):
    """A text for one cell, and what the writer saw there."""

    table: Short
    id: Short
    column: Short
    was: Text
    value: Text


class AddAsked(Asked):
    """A row to be added."""

    table: Short
    cells: dict[Short, Text]


class RemoveAsked(Asked):
    """A row to be taken out, with all that is nothing without it."""

    table: Short
    id: Short


class FindingAsked(Asked):
    """A finding whose fix is to be written, or whose acceptance is taken back."""

    finding: Short


class AcceptAsked(FindingAsked):
    """A finding that somebody accepts, and why."""

    by: Short
    reason: Text


class UndoAsked(Asked):
    """An edit of the history that is to be taken back, or one that took another back."""

    edit: Short


class RestoreAsked(Asked):
    """A moment that the folder is to go back to."""

    moment: datetime


@dataclass(frozen=True, slots=True)
class Standing:
    """The folder as it stands when a write is decided: read, judged, with its history."""

    folder: Folder
    review: Review
    edits: Sequence[Edit]

    @property
    def records(self) -> Records:
        """The folder's rows."""
        return self.folder.records

    def finding(self, id_: str) -> Finding:
        """A finding that still stands.

        Raises
        ------
        InputError
            If it is settled meanwhile.
        """
        found = next((finding for finding in self.review.findings if finding.id == id_), None)
        if found is None:
            raise InputError("That is settled meanwhile; nothing was written.")
        return found


def _edit(asked: EditAsked, now: Standing) -> Sequence[Change]:
    text = " ".join(asked.value.split())
    return [edit(now.records, Change(asked.table, asked.id, asked.column, asked.was, text))]


def _add(asked: AddAsked, now: Standing) -> Sequence[Change]:
    return [addition(now.records, asked.table, asked.cells)]


def _take_out(asked: RemoveAsked, now: Standing) -> Sequence[Change]:
    return removal(now.records, asked.table, asked.id)


def _fix(asked: FindingAsked, now: Standing) -> Sequence[Change]:
    return fix_changes(now.records, now.finding(asked.finding))


def _accept(asked: AcceptAsked, now: Standing) -> Sequence[Change]:
    return acceptance(now.review, now.finding(asked.finding), by=asked.by, reason=asked.reason)


def _take_back(asked: FindingAsked, now: Standing) -> Sequence[Change]:
    return withdrawal(now.records, asked.finding)


def _undo(asked: UndoAsked, now: Standing) -> Sequence[Change]:
    """The changes that take an edit back; refused, with the reason, where it was met since."""
    found = next((edit for edit in now.edits if edit.id == asked.edit), None)
    if found is None:
        raise InputError("That edit is not in the history any more; nothing was written.")
    try:
        return undo(now.folder, found)
    except ChangeError as error:
        raise InputError(moved_since(error.problems)) from error


def _restore(asked: RestoreAsked, now: Standing) -> Sequence[Change]:
    if asked.moment.tzinfo is None:
        raise InputError("That moment has no time zone; nothing was written.")
    return restore(now.folder, now.edits, asked.moment).changes


@dataclass(frozen=True, slots=True)
class Write:
    """An address that writes: what it is asked, and the changes that stand for it."""

    path: str
    asked: type[Asked]
    decide: Callable[[Any, Standing], Sequence[Change]]


WRITES = (
    Write("/edit", EditAsked, _edit),
    Write("/add", AddAsked, _add),
    Write("/take-out", RemoveAsked, _take_out),
    Write("/fix", FindingAsked, _fix),
    Write("/accept", AcceptAsked, _accept),
    Write("/take-back", FindingAsked, _take_back),
    Write("/undo", UndoAsked, _undo),
    Write("/restore", RestoreAsked, _restore),
)
