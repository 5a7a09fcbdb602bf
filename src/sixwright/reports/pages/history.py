"""“Who changed what, and when?”: every edit, with its way back."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.project.records import Change, Records, Row
from sixwright.reports.document import Answer, Cell, Column, Deed, Document, Table
from sixwright.reports.document import Row as Shown
from sixwright.reports.moves import told
from sixwright.reports.words import day, say
from sixwright.workflows.review import Review

TOPIC = "history"
QUESTION = "Who changed what, and when?"
# So many edits are laid out, and of each so many changes; the rest lies in history/.
MOST_EDITS = 200
MOST_CHANGES = 3


@dataclass(frozen=True, slots=True)
class Past:
    """One edit as the history has it.

    Attributes
    ----------
    took_back
        Whether it took another one back.
    back
        Whether it has been taken back itself.
    gone
        Cells of the rows that it took out, by table and id.
    """

    id: str
    who: str
    when: datetime
    changes: tuple[Change, ...]
    took_back: bool = False
    back: bool = False
    gone: Mapping[tuple[str, str], Mapping[str, str]] | None = None


def history(review: Review, *, past: Sequence[Past]) -> Document:
    """The page of the history.

    Parameters
    ----------
    past
        All edits, the latest first.
    """
    locale = review.project.locale
    answer = Answer(None, (_answer(past),))
    if not past:
        return Document(TOPIC, QUESTION, (answer,), locale)
    rows = tuple(_row(review, edit, latest=edit is past[0]) for edit in past[:MOST_EDITS])
    columns = (Column("When"), Column("Who"), Column("What", wide=True))
    caption = (
        Sentence("Taking one edit back leaves the later ones; it is refused where they met."),
        Sentence("Going back to a moment is an edit too, and can be taken back."),
    )
    table = Table("The latest first", columns, rows, caption)
    return Document(TOPIC, QUESTION, (answer, table), locale)


def _answer(past: Sequence[Past]) -> Sentence:
    if not past:
        return Sentence("Nothing has been changed in sixwright yet.")
    values: dict[str, Value] = {
        "edits": Count(len(past), "edit", "edits"),
        "who": Name(past[0].who),
        "when": past[0].when.date(),
    }
    return Sentence("{edits} so far; the latest is by {who}, on {when}.", values)


def _row(review: Review, edit: Past, *, latest: bool) -> Shown:
    when = f"{day(edit.when.date(), review.project.locale)}, {edit.when:%H:%M}"
    deeds = () if edit.back else (_take_back(edit, when),)
    if not latest:
        deeds = (*deeds, _go_back(edit, when))
    cells = (
        Cell(when),
        Cell(edit.who),
        Cell(_words(review, edit), detail="since taken back" if edit.back else None),
    )
    return Shown(cells, anchor=f"edit-{edit.id}", deeds=deeds)


def _take_back(edit: Past, when: str) -> Deed:
    label = f"Take back the edit of {when}"
    return Deed("Take back", label, "undo", (("edit", edit.id),))


def _go_back(edit: Past, when: str) -> Deed:
    label = f"Go back to here: all as it stood after the edit of {when}"
    return Deed("Go back to here", label, "restore", (("moment", edit.when.isoformat()),))


def _words(review: Review, edit: Past) -> str:
    """What an edit changed, in a sentence a change."""
    after = review.project.records
    before = _with_gone(after, edit)
    said = [say(told(change, before, after), review.project.locale)
            for change in edit.changes[:MOST_CHANGES]]  # fmt: skip
    rest = len(edit.changes) - len(said)
    if rest > 0:
        said.append(f"And {rest} more." if rest > 1 else "And one more.")
    return " ".join([*(["Taken back:"] if edit.took_back else []), *said])


def _with_gone(records: Records, edit: Past) -> Records:
    """The rows as they stand, with those that the edit took out, so that they have names."""
    gone = edit.gone or {}
    tables = {table: dict(records.get(table, {})) for table, _ in gone}
    for (table, id_), cells in gone.items():
        tables[table].setdefault(id_, Row(table, id_, cells))
    return {**records, **tables}
