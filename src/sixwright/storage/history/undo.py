"""Edits taken back: the changes that would do it, for `write` to write as an edit of its own."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime

from sixwright.kernel.errors import ChangeError, Difference, Problem
from sixwright.project.apply import changed
from sixwright.project.records import Change, Record, Records
from sixwright.project.tables import BY_NAME
from sixwright.storage.edits.changed_files import CHOICES, all_rows, choice_rows
from sixwright.storage.folder import Folder
from sixwright.storage.history.log import id_after, lines_between
from sixwright.storage.history.log_text import Edit, EditLine, RowTexts


@dataclass(frozen=True, slots=True)
class Steps:
    """What the next step back takes back, and what the next step forward does again.

    Attributes
    ----------
    undo
        The latest edit that is in effect, or None.
    redo
        The edit that took the latest one back, or None: `undo` of it does that one again.
    """

    undo: Edit | None
    redo: Edit | None


def steps(edits: Sequence[Edit]) -> Steps:
    """The next steps back and forward; a new edit ends what could be done again."""
    done: dict[str, Edit] = {}  # by id, in the order that they took effect
    undone: dict[str, Edit] = {}  # what took others back, by id
    for edit in edits:
        if edit.undoes is None:
            done[edit.id] = edit
            undone.clear()
        elif edit.undoes in undone:
            del undone[edit.undoes]
            done[edit.id] = edit
        else:
            done.pop(edit.undoes, None)
            undone[edit.id] = edit
    return Steps(_last(done), _last(undone))


def _last(edits: Mapping[str, Edit]) -> Edit | None:
    return next(reversed(list(edits.values())), None)


def undo(folder: Folder, edit: Edit) -> tuple[Change, ...]:
    """The changes that take an edit back; of one that took another back, they do that again.

    Write them with ``undoes=edit.id``.

    Raises
    ------
    ChangeError
        If a cell or a row has moved since; with every one that has.
    """
    rows = all_rows(folder.files, folder.records)
    moved = [problem for line in edit.lines if (problem := _moved(rows, line, edit))]
    if moved:
        raise ChangeError(tuple(moved))
    return tuple(change for _, change in _inverse(edit))


@dataclass(frozen=True, slots=True)
class Restoration:
    """What brings the tables back to a moment.

    Attributes
    ----------
    changes
        For `write`.
    outside
        What was changed by other means than this tool and was met on the way: `was` is what the
        history says last, `now` what stands there, `wanted` what it becomes. All that goes is
        in the history of the edit that restores, so that it can be taken back.
    """

    changes: tuple[Change, ...]
    outside: tuple[Difference, ...]


def restore(folder: Folder, edits: Sequence[Edit], moment: datetime) -> Restoration:
    """The changes that make the tables what they were at a moment, as far as the history tells.

    Rows and cells that no edit since then touched stay as they are.

    Parameters
    ----------
    edits
        The folder's history.
    moment
        With its time zone; edits of that very moment stay.
    """
    rows = all_rows(folder.files, folder.records)
    state = dict(rows)
    outside: list[Difference] = []
    for edit in reversed(_later(edits, moment)):
        for line, change in _inverse(edit):
            outside += _met(state, line, change)
            state[change.table] = _stepped(state.get(change.table, {}), change)
    changes = _forward(lines_between(rows, state))
    return Restoration(tuple(changes), tuple(outside))


def _later(edits: Sequence[Edit], moment: datetime) -> Sequence[Edit]:
    """The edits behind the last one of that very moment, or else the last that is not later.

    They stand in the order that they were made in, which a clock that was put back does not change.
    """
    until = [at for at, edit in enumerate(edits) if edit.when == moment]
    until = until or [at for at, edit in enumerate(edits) if edit.when <= moment]
    return edits[until[-1] + 1 :] if until else edits


def _inverse(edit: Edit) -> Iterator[tuple[EditLine, Change]]:
    """Rows that came go, cells get their old texts, rows that went come back in their order."""
    for line in reversed(edit.lines):
        if isinstance(line.after, str) and isinstance(line.before, str) and line.column:
            id_ = id_after(line.table, line.id, line.column, line.after)
            yield line, Change(line.table, id_, line.column, was=line.after, value=line.before)
        elif line.before is None:
            yield line, Change(line.table, line.id, remove=True)
    for line in edit.lines:
        if isinstance(line.before, Mapping):
            yield line, Change(line.table, line.id, add=line.before, behind=line.behind)


def _forward(lines: Sequence[EditLine]) -> Iterator[Change]:
    for line in lines:
        if isinstance(line.after, str) and isinstance(line.before, str):
            yield Change(line.table, line.id, line.column, was=line.before, value=line.after)
        elif isinstance(line.after, Mapping):
            yield Change(line.table, line.id, add=line.after, behind=line.behind)
        else:
            yield Change(line.table, line.id, remove=True)


def _moved(rows: Records, line: EditLine, edit: Edit) -> Problem | None:
    """What of a line no longer stands as its edit left it."""
    file = BY_NAME[line.table].file if line.table in BY_NAME else f"{line.table}/{line.id}.toml"
    row = rows.get(line.table, {}).get(_id_now(line, edit))
    number = row.place.row if row else None
    if line.column is None:
        expected = f"the row “{line.id}” as it was left"
        if line.after is None:
            return Problem(file, f"no row “{line.id}”", "one", number) if row else None
        if row is None:
            return Problem(file, expected, "no such row")
        return None if _cells(row) == line.after else Problem(file, expected, "another", number)
    found = row.cells.get(line.column, "") if row else ""
    if row is not None and found.strip() == str(line.after).strip():
        return None
    place = f"{line.id}, {line.column}"
    stands = f"“{found}”" if row else "no such row"
    return Problem(file, f"“{line.after}”, as it was left", stands, number, place)


def _id_now(line: EditLine, edit: Edit) -> str:
    """The id that the line's row has after all of its edit."""
    id_ = line.id
    for other in edit.lines:
        if other.table == line.table and other.id == id_ and isinstance(other.after, str):
            id_ = id_after(other.table, id_, other.column or "", other.after)
    return id_


def _cells(row: Record) -> RowTexts:
    return {name: text for name, text in row.cells.items() if text}


def _met(state: Records, line: EditLine, change: Change) -> Iterator[Difference]:
    """What stands otherwise than the history left it, before its line is taken back."""
    row = state.get(change.table, {}).get(change.id)
    if change.column is not None:
        now = row.cells.get(change.column, "") if row else None
        if now is None or now.strip() != str(line.after).strip():
            wanted = change.value if row else None
            yield Difference(change.table, change.id, change.column, change.was, wanted, now)
    elif (row and _cells(row)) != line.after:
        was, wanted = _listed(line.after), _listed(line.before)
        now = _listed(_cells(row)) if row else None
        yield Difference(change.table, change.id, None, was, wanted, now)


def _listed(cells: object) -> str | None:
    return ", ".join(cells.values()) if isinstance(cells, Mapping) else None


def _stepped(rows: Mapping[str, Record], change: Change) -> Mapping[str, Record]:
    """The rows after a change, whatever stood there; what is gone by other means stays gone."""
    if change.table == CHOICES:
        return choice_rows(rows, [replace(change, was=None)])[0]
    row = rows.get(change.id)
    if row is None and change.add is None:
        return rows
    taken = [replace(change, was=None)]
    if row is not None and change.add is not None:
        key = BY_NAME[change.table].key
        names = [name for name in {**row.cells, **change.add} if name not in key]
        texts = {name: change.add.get(name, "") for name in names}
        taken = [Change(change.table, change.id, name, value=text) for name, text in texts.items()]
    return changed({change.table: rows}, taken)[change.table]
