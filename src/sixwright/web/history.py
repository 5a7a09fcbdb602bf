"""The history as pages and buttons need it: what was done, and what the next step back is."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import islice

from sixwright.project.records import Change, Records
from sixwright.reports.document import Deed
from sixwright.reports.pages.history import MOST_EDITS, EditKind, ListedEdit
from sixwright.reports.pages.history import words as told
from sixwright.storage.history.log_text import Edit, EditLine
from sixwright.storage.history.undo import steps


@dataclass(frozen=True, slots=True)
class WaysBack:
    """The buttons for the next step back, and forward again; None where there is none."""

    undo: Deed | None
    redo: Deed | None


def ways_back(edits: Sequence[Edit], records: Records, locale: str) -> WaysBack:
    """What undo and redo would do now, in words: the edit that goes, or that comes back."""
    next_ = steps(edits)
    known = {edit.id: edit for edit in edits}
    undo, redo = (_deed(words, edit, known, records, locale)
                  for words, edit in (("Undo", next_.undo), ("Redo", next_.redo)))  # fmt: skip
    return WaysBack(undo, redo)


def _deed(
    words: str, edit: Edit | None, known: Mapping[str, Edit], records: Records, locale: str
) -> Deed | None:
    if edit is None:
        return None
    first = [edit, *_taken_back(known, edit.undoes)][-1]  # what was changed, whatever became of it
    kind = kind_of(known, undoes=None, restores=first.restores)
    what = told(_listed(first, kind, back=False), records, locale)
    return Deed(words, f"{words}: {what}", "undo", (("edit", edit.id),))


def kind_of(
    known: Mapping[str, Edit], *, undoes: str | None, restores: datetime | None
) -> EditKind:
    """What an edit is that takes this one of the known back, or brings this moment back."""
    if restores is not None:
        return EditKind.RESTORE
    kind = EditKind.CHANGE if undoes is None else EditKind.UNDO
    for edit in _taken_back(known, undoes):
        if edit.undoes is not None:
            kind = EditKind.REDO if kind is EditKind.UNDO else EditKind.UNDO
    return kind


def _taken_back(known: Mapping[str, Edit], undoes: str | None) -> Iterator[Edit]:
    """The edit of this id, the one that it took back, and so on; each once."""
    seen: set[str] = set()
    while undoes is not None and undoes in known and undoes not in seen:
        seen.add(undoes)
        yield known[undoes]
        undoes = known[undoes].undoes


def listed_edits(edits: Sequence[Edit], most: int = MOST_EDITS) -> tuple[ListedEdit, ...]:
    """The latest edits, the very latest first; no more than are laid out."""
    back: set[str] = set()
    for edit in reversed(edits):  # one that was itself taken back takes nothing back
        if edit.undoes and edit.id not in back:
            back.add(edit.undoes)
    known = {edit.id: edit for edit in edits}
    return tuple(
        _listed(
            edit, kind_of(known, undoes=edit.undoes, restores=edit.restores), back=edit.id in back
        )
        for edit in islice(reversed(edits), most)
    )


def _listed(edit: Edit, kind: EditKind, *, back: bool) -> ListedEdit:
    return ListedEdit(
        id=edit.id,
        who=edit.who,
        when=edit.when,
        changes=tuple(change_of(line) for line in edit.lines),
        kind=kind,
        moment=edit.restores,
        back=back,
        gone={
            (line.table, line.id): line.before
            for line in edit.lines
            if isinstance(line.before, Mapping)
        },
    )


def change_of(line: EditLine) -> Change:
    """A line of the history as the change that it was."""
    if isinstance(line.before, Mapping):
        return Change(line.table, line.id, remove=True)
    if isinstance(line.after, Mapping):
        return Change(line.table, line.id, add=line.after)
    return Change(line.table, line.id, line.column, line.before, line.after)
