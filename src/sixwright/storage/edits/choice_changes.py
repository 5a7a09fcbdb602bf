"""What a page asks of choices, as changes for `write`: keep a try, take a way, open it again.

The text of a choice's file is one cell for `write` (table ``choices``, column ``text``), so that
keeping and taking are edits like any other: written whole or not at all, and undone the same way.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date

from sixwright.kernel.errors import ChangeError, InputError, Problem
from sixwright.kernel.ids import file_slug
from sixwright.project.check_cells import suggestion, suggestion_id
from sixwright.project.choices import FOLDER, Alternative, Choice, Decision
from sixwright.project.records import Change, Records
from sixwright.storage.edits.changed_files import CHOICES, TEXT
from sixwright.storage.folder import Folder
from sixwright.storage.tables.choices_text import (
    new_choice,
    with_alternative,
    with_taken,
    without_taken,
)
from sixwright.workflows.choose_checks import recorded
from sixwright.workflows.choose_measures import measures
from sixwright.workflows.compare import outcome_of
from sixwright.workflows.reviewed import Review

AS_IT_STANDS = Alternative("as-it-stands", "As it stands")


def keep(folder: Folder, choice_id: str, name: str, changes: Sequence[Change]) -> Change:
    """A change that was tried, kept as one more alternative of an open choice.

    Parameters
    ----------
    folder
        As it was read when the change was tried.
    choice_id
        Of the choice.
    name
        Of the alternative, in the producer's words; its id is made of it.
    changes
        What was tried; nothing of it is written to the tables.

    Raises
    ------
    ChangeError
        If there is no such choice, or it is taken.
    InputError
        If the name is empty, or nothing was changed.
    """
    choice = _choice(folder, choice_id)
    if choice.taken is not None:
        problem = Problem(choice.file, "an open choice", "one that is taken", key="taken")
        raise ChangeError((problem,))
    taken_ids = [each.id for each in choice.alternatives]
    alternative = alternative_of(name, changes, folder.records, taken_ids)
    return _rewritten(folder, choice, with_alternative(_content(folder, choice), alternative))


def keep_new(
    folder: Folder, question: str, name: str, changes: Sequence[Change], *, first: str = ""
) -> Change:
    """A change that was tried, kept as the first other way of a new choice.

    Parameters
    ----------
    folder
        As it was read when the change was tried.
    question
        What is to be decided; the choice's id is made of it.
    name
        Of the alternative.
    changes
        What was tried.
    first
        What the folder as it stands is called; “As it stands” where empty.

    Raises
    ------
    InputError
        If question or name is empty, or nothing was changed.
    """
    if not question.strip():
        raise InputError(f"question must be in words; received {question!r}.")
    id_ = _fresh(question, list(folder.project.choices), "choice")
    stands = replace(AS_IT_STANDS, name=first.strip() or AS_IT_STANDS.name)
    other = alternative_of(name, changes, folder.records, [stands.id])
    text = new_choice(Choice(id_, question.strip(), (stands, other))).decode("utf-8")
    return Change(CHOICES, id_, add={TEXT: text})


def alternative_of(
    name: str, changes: Sequence[Change], records: Records, ids: Sequence[str]
) -> Alternative:
    """An alternative of changes, each with what stands in its cell now.

    Parameters
    ----------
    name
        In the producer's words.
    changes
        What it changes.
    records
        The folder's rows.
    ids
        Those that it cannot have.

    Raises
    ------
    InputError
        If the name is empty, or nothing is changed.
    """
    if not name.strip():
        raise InputError(f"name must be in words; received {name!r}.")
    if not changes:
        raise InputError("changes must be at least one; received none.")
    stated = tuple(_from_here(change, records) for change in changes)
    return Alternative(_fresh(name, ids, "way"), name.strip(), stated)


def take(  # noqa: PLR0913  who takes it, why, and on which day
    folder: Folder, stands: Review, taken: tuple[str, str], *, by: str, reason: str, on: date
) -> tuple[Change, ...]:
    """The changes that settle a choice: those of the way, and what it was taken on.

    Parameters
    ----------
    folder
        As it was read.
    stands
        The review of that folder: the numbers are its.
    taken
        The choice's id and the alternative's.
    by, reason, on
        Who takes it, why, and on which day.

    Returns
    -------
    tuple of Change
        To be written as one edit.

    Raises
    ------
    ChangeError
        If there is no such choice or way, it is taken already, or it cannot be tried.
    InputError
        If nobody or no reason is named.
    """
    choice_id, id_ = taken
    choice = _choice(folder, choice_id)
    alternative = choice.alternative(id_)
    if alternative is None:
        names = [each.id for each in choice.alternatives]
        problem = Problem(choice.file, f"one of {', '.join(names)}", f"“{id_}”",
                          suggestion=suggestion(id_, names))  # fmt: skip
        raise ChangeError((problem,))
    for name, text in (("by", by), ("reason", reason)):
        if not text.strip():
            raise InputError(f"{name} must be in words; received {text!r}.")
    if choice.taken is not None:
        problem = Problem(choice.file, "an open choice", "one that is taken", key="taken")
        raise ChangeError((problem,))
    outcome = outcome_of(stands, {choice_id: id_})
    if not isinstance(outcome, Review):
        raise ChangeError(outcome)
    numbers = recorded(measures(outcome.project, outcome.answered))
    settled = Decision(id_, on, by.strip(), reason.strip(), numbers)
    written = _rewritten(folder, choice, with_taken(_content(folder, choice), settled))
    return (*alternative.changes, written)


def reopen(folder: Folder, choice_id: str) -> Change:
    """A taken choice open again; the cells that it changed stay as they are.

    Raises
    ------
    ChangeError
        If there is no such choice.
    """
    choice = _choice(folder, choice_id)
    return _rewritten(folder, choice, without_taken(_content(folder, choice)))


def _choice(folder: Folder, id_: str) -> Choice:
    choices = folder.project.choices
    if id_ not in choices:
        near = suggestion(id_, choices)
        raise ChangeError((Problem(FOLDER, "a choice that is there", f"“{id_}”", suggestion=near),))
    return choices[id_]


def _content(folder: Folder, choice: Choice) -> bytes:
    return folder.files[choice.file]


def _rewritten(folder: Folder, choice: Choice, content: bytes) -> Change:
    before = _content(folder, choice).decode("utf-8")
    return Change(CHOICES, choice.id, column=TEXT, was=before, value=content.decode("utf-8"))


def _from_here(change: Change, records: Records) -> Change:
    """The change with what stands in its cell as its start."""
    row = records.get(change.table, {}).get(change.id)
    if change.column is None or row is None:
        return change
    return replace(change, was=row.cells.get(change.column, ""))


def _fresh(words: str, ids: Sequence[str], plain: str) -> str:
    """An id made of words, which none of these has; a choice's is the name of its file."""
    base = file_slug("-".join((suggestion_id(words) or plain).split("-")[:6]), otherwise=plain)
    number, id_ = 1, base
    while id_ in ids:
        number += 1
        id_ = f"{base}-{number}"
    return id_
