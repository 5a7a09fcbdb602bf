"""“Who changed what, and when?”: every edit, with its way back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.project.records import Change, Record, Records
from sixwright.reports.document import Answer, Cell, Column, Deed, Document, Row, Table
from sixwright.reports.wording.changes import Manner, all_told
from sixwright.reports.wording.words import day, say
from sixwright.workflows.reviewed import Review

TOPIC = "history"
QUESTION = "Who changed what, and when?"
# So many edits are laid out, and of each so many changes; the rest lies in history/.
MOST_EDITS = 200
MOST_CHANGES = 6


class EditKind(StrEnum):
    """What an edit was: a change, one taken back, one done again, or all of it up to a moment."""

    CHANGE = "change"
    UNDO = "undo"
    REDO = "redo"
    RESTORE = "restore"


@dataclass(frozen=True, slots=True)
class ListedEdit:
    """One edit as the history has it.

    Attributes
    ----------
    kind
        What it was.
    moment
        The moment that it brought back, of a restore.
    back
        Whether it has been taken back itself.
    gone
        Cells of the rows that it took out, by table and id.
    """

    id: str
    who: str
    when: datetime
    changes: tuple[Change, ...]
    kind: EditKind = EditKind.CHANGE
    moment: datetime | None = None
    back: bool = False
    gone: Mapping[tuple[str, str], Mapping[str, str]] | None = None


def history(
    review: Review,
    *,
    edits: Sequence[ListedEdit],
    passed: Mapping[str, str] | None = None,
    count: int | None = None,
) -> Document:
    """The page of the history.

    Parameters
    ----------
    edits
        The latest edits, the very latest first.
    passed
        File of the history to what of it could not be read.
    count
        How many edits there are; None where `edits` has them all.
    """
    locale = review.project.locale
    answer = Answer(None, (_answer(edits, count or len(edits)), *_passed(passed or {})))
    if not edits:
        return Document(TOPIC, QUESTION, (answer,), locale)
    rows = tuple(_row(review, edit, latest=edit is edits[0]) for edit in edits[:MOST_EDITS])
    columns = (Column("When"), Column("Who"), Column("What", wide=True))
    caption = (
        Sentence("Taking one edit back leaves the later ones; it is refused where they met."),
        Sentence(
            "Going back to a moment sets back all that later edits touched, also where another "
            "program changed it since. It is an edit too, and can be taken back."
        ),
    )
    table = Table("The latest first", columns, rows, caption)
    return Document(TOPIC, QUESTION, (answer, table), locale)


def _answer(edits: Sequence[ListedEdit], count: int) -> Sentence:
    if not edits:
        return Sentence("Nothing has been changed in sixwright yet.")
    values: dict[str, Value] = {
        "edits": Count(count, "edit", "edits"),
        "who": Name(edits[0].who),
        "when": edits[0].when.date(),
    }
    return Sentence("{edits} so far; the latest is by {who}, on {when}.", values)


def _passed(passed: Mapping[str, str]) -> tuple[Sentence, ...]:
    return tuple(
        Sentence("Passed over in {file}, because it could not be read: {what}.",
                 {"file": Name(file), "what": what})
        for file, what in passed.items()
    )  # fmt: skip


def _row(review: Review, edit: ListedEdit, *, latest: bool) -> Row:
    locale = review.project.locale
    when = _moment(edit.when, locale)
    deeds = () if edit.back else (_take_back(edit, when),)
    if not latest:
        deeds = (*deeds, _go_back(edit, when))
    cells = (
        Cell(when),
        Cell(edit.who),
        Cell(words(edit, review.project.records, locale), detail=_since(edit)),
    )
    return Row(cells, anchor=f"edit-{edit.id}", deeds=deeds)


def _since(edit: ListedEdit) -> str | None:
    if not edit.back:
        return None
    return "since done again" if edit.kind is EditKind.UNDO else "since taken back"


def _moment(when: datetime, locale: str) -> str:
    return f"{day(when.date(), locale)}, {when:%H:%M}"


def _take_back(edit: ListedEdit, when: str) -> Deed:
    name, label = "Take back", f"Take back the edit of {when}"
    if edit.kind is EditKind.UNDO:
        name, label = "Do again", f"Do again what was undone on {when}"
    return Deed(name, label, "undo", (("edit", edit.id),))


def _go_back(edit: ListedEdit, when: str) -> Deed:
    label = f"Go back to here: all as it stood after the edit of {when}"
    return Deed("Go back to here", label, "restore", (("moment", edit.when.isoformat()),))


def words(edit: ListedEdit, records: Records, locale: str) -> str:
    """What an edit changed, in a sentence a change.

    Parameters
    ----------
    records
        The folder's rows as they stand.
    """
    after = _with(records, edit)
    return worded(edit.kind, edit.changes, after, after, locale, moment=edit.moment)


def worded(  # noqa: PLR0913  the changes, the two states, and what led from one to the other
    kind: EditKind,
    changes: Sequence[Change],
    before: Records,
    after: Records,
    locale: str,
    *,
    moment: datetime | None = None,
) -> str:
    """An edit in words: what it was, and a sentence a change."""
    manner = Manner.DONE if kind is EditKind.CHANGE else Manner.AGAIN
    said = all_told(changes, before, after, most=MOST_CHANGES, manner=manner)
    told = [say(sentence, locale) for sentence in said]
    head = {EditKind.UNDO: "Undone:", EditKind.REDO: "Done again:"}.get(kind)
    if kind is EditKind.RESTORE and moment is not None:
        head = f"Gone back to {_moment(moment, locale)}."
    return " ".join([*([head] if head else []), *told])


def _with(records: Records, edit: ListedEdit) -> Records:
    """The rows as they stand, and those that the edit took out or added: all have names."""
    came = {(each.table, each.id): each.add for each in edit.changes if each.add is not None}
    known = {**came, **(edit.gone or {})}
    tables = {table: dict(records.get(table, {})) for table, _ in known}
    for (table, id_), cells in known.items():
        tables[table].setdefault(id_, Record(table, id_, cells))
    return {**records, **tables}
