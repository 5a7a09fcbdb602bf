"""The history as pages and buttons need it: what was done, and what the next step back is."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from sixwright.project.records import Change, Records
from sixwright.reports.document import Deed
from sixwright.reports.moves import told
from sixwright.reports.pages.history import Past
from sixwright.reports.words import say
from sixwright.storage.history import Edit, Line
from sixwright.storage.undo import steps


@dataclass(frozen=True, slots=True)
class WaysBack:
    """The buttons for the next step back, and forward again; None where there is none."""

    undo: Deed | None
    redo: Deed | None


def ways_back(edits: Sequence[Edit], records: Records, locale: str) -> WaysBack:
    """What undo and redo would do now, in words."""
    next_ = steps(edits)
    return WaysBack(
        _deed("Undo", next_.undo, records, locale), _deed("Redo", next_.redo, records, locale)
    )


def _deed(words: str, edit: Edit | None, records: Records, locale: str) -> Deed | None:
    if edit is None:
        return None
    first = change_of(edit.lines[0])
    what = say(told(first, records, records), locale)
    return Deed(words, f"{words}: {what}", "undo", (("edit", edit.id),))


def past(edits: Sequence[Edit]) -> tuple[Past, ...]:
    """All edits, the latest first."""
    back: set[str] = set()
    for edit in reversed(edits):  # one that was itself taken back takes nothing back
        if edit.undoes and edit.id not in back:
            back.add(edit.undoes)
    return tuple(_past(edit, edit.id in back) for edit in reversed(edits))


def _past(edit: Edit, back: bool) -> Past:  # noqa: FBT001 - a fact of the edit, not a switch
    return Past(
        id=edit.id,
        who=edit.who,
        when=edit.when,
        changes=tuple(change_of(line) for line in edit.lines),
        took_back=edit.undoes is not None,
        back=back,
        gone={
            (line.table, line.id): line.before
            for line in edit.lines
            if isinstance(line.before, Mapping)
        },
    )


def change_of(line: Line) -> Change:
    """A line of the history as the change that it was."""
    if isinstance(line.before, Mapping):
        return Change(line.table, line.id, remove=True)
    if isinstance(line.after, Mapping):
        return Change(line.table, line.id, add=line.after)
    return Change(line.table, line.id, line.column, line.before, line.after)
