"""Trying: the pages as they would be after changes that nobody has written."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from typing import TypeVar

from pydantic import ValidationError

from sixwright.kernel.errors import FolderError, InputError
from sixwright.kernel.sentences import Sentence
from sixwright.project.apply import apply
from sixwright.project.differences import differences
from sixwright.project.many import Many, makers_of, scale_many, set_many
from sixwright.project.model import Project
from sixwright.project.records import Change
from sixwright.reports.wording.many import told_many
from sixwright.storage.tools import tools_for
from sixwright.web.request_bodies import MOST_CHANGES, ManyRequest, RequestBody, Step, TryRequest
from sixwright.web.watched_folder import State
from sixwright.web.writes import WRITES, Standing, changes_asked, plain_text
from sixwright.workflows.review import tried
from sixwright.workflows.reviewed import Review

# What can be tried; the rest records what somebody decided.
TRIED = frozenset({"/edit", "/add", "/take-out", "/fix"})
# What is only ever tried, and written with all that is tried.
MANY = "/many"
ALL, OF_MAKER = "*", "maker:"
NOT_TAKEN = "sixwright did not take that; nothing was written."
TOO_MANY = (
    f"A try holds at most {MOST_CHANGES} changes. Save or discard what you try, and change fewer "
    "at once; nothing was written."
)


@dataclass(frozen=True, slots=True)
class Trial:
    """A line that is tried: the folder as it stands, what is changed, and the line with it.

    Attributes
    ----------
    step
        What was changed last.
    said
        What there is to say of it.
    """

    stands: Review
    state: State
    changes: tuple[Change, ...]
    step: tuple[Change, ...] = ()
    said: tuple[Sentence, ...] = ()

    @property
    def stated(self) -> list[dict[str, object]]:
        """The changes as a page keeps them: what says nothing is left out."""
        return [
            {name: value for name, value in asdict(change).items() if value not in (None, False)}
            for change in self.changes
        ]


def trial(asked: TryRequest, state: State) -> Trial:
    """The line with what is tried so far and one step more; nothing is written.

    Raises
    ------
    ChangeError
        If the line could then not be read, or the folder has moved from under what is tried.
    ConflictError
        If the step rests on what stands there no longer.
    InputError
        If it cannot be tried, or more is tried than can be written at once.
    """
    folder, stands = state.folder, state.review
    if folder is None or stands is None:
        raise FolderError(state.problems)
    project = apply(folder.project, changes_asked(asked.changes))
    step: tuple[Change, ...] = ()
    said: tuple[Sentence, ...] = ()
    if asked.step is not None and asked.step.path == MANY:
        many = _many(_body(ManyRequest, asked.step, asked), project)
        step, said = many.changes, tuple(told_many(many))
    elif asked.step is not None:
        step = tuple(_step(asked.step, asked, state, project))
    project = apply(project, step) if step else project
    changes = differences(folder.records, project.records)
    if len(changes) > MOST_CHANGES:
        raise InputError(TOO_MANY)
    judged = tried(stands, project, tools=tools_for(folder.path))
    there = replace(folder, records=project.records, project=project)
    return Trial(stands, replace(state, review=judged, folder=there), changes, step, said)


_Body = TypeVar("_Body", bound=RequestBody)


def _body(kind: type[_Body], step: Step, asked: TryRequest) -> _Body:
    """What a step asks, as the address that it names takes it."""
    try:
        return kind.model_validate({"page": asked.page, **step.body})
    except ValidationError as error:
        raise InputError(NOT_TAKEN) from error


def _many(asked: ManyRequest, project: Project) -> Many:
    """What changing many rows at once comes to."""
    rows: Sequence[str] = asked.rows
    if asked.which == ALL:
        rows = tuple(project.records.get(asked.table, {}))
    elif asked.which.startswith(OF_MAKER):
        maker = asked.which.removeprefix(OF_MAKER)
        rows = makers_of(project.records, asked.table).get(maker, ())
    change = set_many if asked.how == "to" else scale_many
    return change(project, (asked.table, asked.column), rows, plain_text(asked.value))


def _step(step: Step, asked: TryRequest, state: State, project: Project) -> Sequence[Change]:
    """The changes of one step, decided on the line as it is tried so far."""
    what = next((each for each in WRITES if each.path == step.path and step.path in TRIED), None)
    if what is None or state.folder is None or state.review is None:
        raise InputError("That cannot be tried; nothing was written.")
    body = _body(what.asked, step, asked)
    there = replace(state.folder, records=project.records, project=project)
    needs_findings = step.path == "/fix" and asked.changes
    judged = (
        tried(state.review, project, tools=tools_for(state.folder.path))
        if needs_findings
        else state.review
    )
    return what.decide(body, Standing(there, judged, (), judged.today))
