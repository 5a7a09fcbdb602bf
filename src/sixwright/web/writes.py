"""The requests that change the folder, and the changes that each stands for."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from sixwright.kernel.errors import ChangeError, InputError, Problem
from sixwright.kernel.findings import Finding
from sixwright.project.model import Project
from sixwright.project.records import Change, Records
from sixwright.project.rows import addition, edit, removal
from sixwright.project.tables import BY_NAME
from sixwright.reports.sheets.sculptor_sheet import round_of
from sixwright.reports.wording.refusals import moved_since
from sixwright.reports.wording.words import say
from sixwright.storage.edits.choice_changes import keep, keep_new, reopen, take
from sixwright.storage.folder import Folder
from sixwright.storage.history.log_text import Edit
from sixwright.storage.history.undo import restore, undo
from sixwright.topics.likeness.wishes import wishes
from sixwright.web.request_bodies import (
    AcceptRequest,
    AddRequest,
    AgainRequest,
    ChangeRequest,
    EditRequest,
    FindingRequest,
    KeepRequest,
    MarkRequest,
    OutlineRequest,
    RemoveRequest,
    ReopenRequest,
    RequestBody,
    RestoreRequest,
    SculptorRequest,
    SeenFindingRequest,
    TakeRequest,
    TriedRequest,
    UndoRequest,
)
from sixwright.workflows.accept import acceptance, fix_changes, withdrawal
from sixwright.workflows.calibrate import Hand, hand_of, spreads_used
from sixwright.workflows.marking import Mark, marked
from sixwright.workflows.outlining import OutlineEdit, drawn
from sixwright.workflows.reviewed import Review
from sixwright.workflows.sculptor import kept
from sixwright.workflows.shown import check_shown, shown_choice, shown_finding

UNSEEN = "The change of {cell} must say what stood there when it was tried; nothing was written."


@dataclass(frozen=True, slots=True)
class Standing:
    """The folder as it stands when a write is decided, with its history, and the day it is."""

    folder: Folder
    review: Review | None
    edits: Sequence[Edit]
    on: date

    @property
    def records(self) -> Records:
        """The folder's rows."""
        return self.folder.records

    def finding(self, id_: str, seen: str) -> Finding:
        """A finding that still stands as it was seen.

        Raises
        ------
        InputError
            If it is settled or has moved meanwhile.
        """
        findings = self.review.findings if self.review else ()
        found = next((finding for finding in findings if finding.id == id_), None)
        if found is None:
            raise InputError("That is settled meanwhile; nothing was written.")
        check_shown(shown_finding(found), seen)
        return found


def _edit(asked: EditRequest, now: Standing) -> Sequence[Change]:
    text = plain_text(asked.value)
    change = edit(now.records, Change(asked.table, asked.id, asked.column, asked.was, text))
    return [] if _is_none(change) else [change]


def _add(asked: AddRequest, now: Standing) -> Sequence[Change]:
    return [addition(now.records, asked.table, asked.cells)]


def _take_out(asked: RemoveRequest, now: Standing) -> Sequence[Change]:
    return removal(now.records, asked.table, asked.id)


def _mark(asked: MarkRequest, now: Standing) -> Sequence[Change]:
    mark = Mark(**asked.model_dump(exclude={"page", "window", "query"}))
    return marked(now.records, now.folder.project.stills, mark)


def _use_spreads(asked: AgainRequest, now: Standing) -> Sequence[Change]:
    return spreads_used(now.folder.project, asked.still, hand_asked(asked, now.folder.project))


def hand_asked(asked: AgainRequest, project: Project) -> Hand:
    """How surely a still was marked, by what was marked again."""
    again = {(each.landmark, each.side): (each.x_px, each.y_px) for each in asked.places}
    return hand_of(project, asked.still, again)


def _outline(asked: OutlineRequest, now: Standing) -> Sequence[Change]:
    line = OutlineEdit(**asked.model_dump(exclude={"page", "window", "query"}))
    return drawn(now.records, now.folder.project.stills, line)


def _ask_sculptor(asked: SculptorRequest, now: Standing) -> Sequence[Change]:
    one = None if now.review is None else round_of(now.review, asked.round)
    if one is None:
        raise InputError("What to ask about this round is not known just now; nothing was written.")
    chosen = [wish for wish in wishes(one) if wish.id in asked.rows]
    project = now.folder.project
    words = {wish.id: say(wish.words, project.locale) for wish in chosen}
    return kept(project, asked.round, chosen, words, now.on)


def _fix(asked: SeenFindingRequest, now: Standing) -> Sequence[Change]:
    return fix_changes(now.records, now.finding(asked.finding, asked.seen))


def _accept(asked: AcceptRequest, now: Standing) -> Sequence[Change]:
    finding = now.finding(asked.finding, asked.seen)
    return acceptance(now.records, finding, by=asked.by, reason=asked.reason, on=now.on)


def _take_back(asked: FindingRequest, now: Standing) -> Sequence[Change]:
    return withdrawal(now.records, asked.finding)


def _undo(asked: UndoRequest, now: Standing) -> Sequence[Change]:
    """The changes that take an edit back; refused, with the reason, where it was met since."""
    found = next((edit for edit in now.edits if edit.id == asked.edit), None)
    if found is None:
        raise InputError("That edit is not in the history any more; nothing was written.")
    try:
        return undo(now.folder, found)
    except ChangeError as error:
        raise InputError(moved_since(error.problems)) from error


def _keep(asked: KeepRequest, now: Standing) -> Sequence[Change]:
    """A try as one more way of a choice, or as the first other way of a new one."""
    changes = changes_asked(asked.changes)
    if asked.choice:
        return [keep(now.folder, asked.choice, asked.name, changes)]
    if not asked.question.strip():
        raise InputError("Name a choice that is open, or a new question; nothing was written.")
    return [keep_new(now.folder, asked.question, asked.name, changes)]


def _take(asked: TakeRequest, now: Standing) -> Sequence[Change]:
    if now.review is None or not now.review.project.choices:
        raise InputError("This line has no choices; nothing was written.")
    choice = now.review.project.choices.get(asked.choice)
    if choice is not None:
        check_shown(shown_choice(choice), asked.seen)
    by, reason, on = asked.by, asked.reason, now.on
    way = (asked.choice, asked.alternative)
    return take(now.folder, now.review, way, by=by, reason=reason, on=on)


def _reopen(asked: ReopenRequest, now: Standing) -> Sequence[Change]:
    return [reopen(now.folder, asked.choice)]


def _write_tried(asked: TriedRequest, _now: Standing) -> Sequence[Change]:
    """What was tried; each cell with what stood there then, so that nothing newer is lost."""
    unseen = next((each for each in asked.changes if each.column and each.was is None), None)
    if unseen is not None:
        cell = f"{unseen.table}/{unseen.id}/{unseen.column}"
        raise InputError(UNSEEN.format(cell=cell))
    return changes_asked(asked.changes)


def changes_asked(asked: Sequence[ChangeRequest]) -> tuple[Change, ...]:
    """What a page tried, as changes of the line's own tables."""
    for each in asked:
        if each.table not in BY_NAME:
            raise ChangeError((Problem(each.table, "a table of a line", f"“{each.table}”"),))
    changes = [Change(**each.model_dump()) for each in asked]
    plain = [replace(each, value=each.value and plain_text(each.value)) for each in changes]
    return tuple(each for each in plain if not _is_none(each))


def plain_text(text: str) -> str:
    """A text as a cell takes it: in one line, without blanks around it."""
    return " ".join(text.split())


def _is_none(change: Change) -> bool:
    """Whether a cell says it already; blanks around it in the file are left as they are."""
    edits = change.add is None and not change.remove and change.column is not None
    return edits and (change.was or "").strip() == (change.value or "")


def _restore(asked: RestoreRequest, now: Standing) -> Sequence[Change]:
    if asked.moment.tzinfo is None:
        raise InputError("That moment has no time zone; nothing was written.")
    return restore(now.folder, now.edits, asked.moment).changes


@dataclass(frozen=True, slots=True)
class Write:
    """An address that writes: what it is asked, and the changes that stand for it."""

    path: str
    asked: type[RequestBody]
    decide: Callable[[Any, Standing], Sequence[Change]]


WRITES = (
    Write("/edit", EditRequest, _edit),
    Write("/add", AddRequest, _add),
    Write("/take-out", RemoveRequest, _take_out),
    Write("/mark", MarkRequest, _mark),
    Write("/use-spreads", AgainRequest, _use_spreads),
    Write("/outline", OutlineRequest, _outline),
    Write("/ask-sculptor", SculptorRequest, _ask_sculptor),
    Write("/fix", SeenFindingRequest, _fix),
    Write("/accept", AcceptRequest, _accept),
    Write("/take-back", FindingRequest, _take_back),
    Write("/keep", KeepRequest, _keep),
    Write("/take", TakeRequest, _take),
    Write("/reopen", ReopenRequest, _reopen),
    Write("/write-tried", TriedRequest, _write_tried),
    Write("/undo", UndoRequest, _undo),
    Write("/restore", RestoreRequest, _restore),
)
