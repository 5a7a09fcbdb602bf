"""Trying: the pages as they would be after changes that nobody has written."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace

from pydantic import ValidationError

from sixwright.kernel.errors import FolderError, InputError
from sixwright.project.apply import apply
from sixwright.project.differences import differences
from sixwright.project.model import Project
from sixwright.project.records import Change
from sixwright.storage.tools import tools_for
from sixwright.web.live import State
from sixwright.web.request_bodies import Step, TryAsked
from sixwright.web.writes import WRITES, Standing, changes_asked
from sixwright.workflows.review import tried
from sixwright.workflows.reviewed import Review

# What can be tried; the rest records what somebody decided.
TRIED = frozenset({"/edit", "/add", "/take-out", "/fix"})


@dataclass(frozen=True, slots=True)
class Trial:
    """A line that is tried: the folder as it stands, what is changed, and the line with it.

    Attributes
    ----------
    step
        What was changed last.
    """

    stands: Review
    state: State
    changes: tuple[Change, ...]
    step: tuple[Change, ...] = ()

    @property
    def stated(self) -> list[dict[str, object]]:
        """The changes as a page keeps them."""
        return [asdict(change) for change in self.changes]


def trial(asked: TryAsked, state: State) -> Trial:
    """The line with what is tried so far and one step more; nothing is written.

    Raises
    ------
    ChangeError
        If the line could then not be read, or the folder has moved from under what is tried.
    ConflictError
        If the step rests on what stands there no longer.
    """
    folder, stands = state.folder, state.review
    if folder is None or stands is None:
        raise FolderError(state.problems)
    project = apply(folder.project, changes_asked(asked.changes))
    step: tuple[Change, ...] = ()
    if asked.step is not None:
        step = tuple(_step(asked.step, asked, state, project))
        project = apply(project, step)
    changes = differences(folder.records, project.records)
    judged = tried(stands, project, tools=tools_for(folder.path))
    there = replace(folder, records=project.records, project=project)
    return Trial(stands, replace(state, review=judged, folder=there), changes, step)


def _step(step: Step, asked: TryAsked, state: State, project: Project) -> Sequence[Change]:
    """The changes of one step, decided on the line as it is tried so far."""
    what = next((each for each in WRITES if each.path == step.path and step.path in TRIED), None)
    if what is None or state.folder is None or state.review is None:
        raise InputError("That cannot be tried; nothing was written.")
    try:
        body = what.asked.model_validate({"page": asked.page, **step.body})
    except ValidationError as error:
        raise InputError("sixwright did not take that; nothing was written.") from error
    there = replace(state.folder, records=project.records, project=project)
    needs_findings = step.path == "/fix" and asked.changes
    judged = (
        tried(state.review, project, tools=tools_for(state.folder.path))
        if needs_findings
        else state.review
    )
    return what.decide(body, Standing(there, judged, (), judged.today))
