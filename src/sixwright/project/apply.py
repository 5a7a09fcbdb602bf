"""Changes applied to a line: pure, so that alternatives can be tried before one is written."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import cast

from sixwright.kernel.errors import ChangeError, FolderError, Problem
from sixwright.project.assemble import assemble
from sixwright.project.check_cells import problem_at, suggestion
from sixwright.project.model import Project
from sixwright.project.records import Change, Record, Records
from sixwright.project.tables import BY_NAME
from sixwright.project.voices_kept import kept_voices

_Tables = dict[str, dict[str, Record]]


def apply(project: Project, changes: Sequence[Change]) -> Project:
    """The line as it would stand after these changes, in their order.

    Raises
    ------
    ChangeError
        If a change does not fit: it names a table, row or column that is not there, what stood
        there is not what it says, or the line could then not be read.
    """
    try:
        tried = assemble(changed(project.records, changes))
    except FolderError as error:
        raise ChangeError(error.problems) from error
    voices = kept_voices(project.voices, project.polls, tried.polls)
    return replace(
        tried,
        choices=project.choices,
        pictures=project.pictures,
        strays=project.strays,
        own_files=project.own_files,
        lost=project.lost,
        meshes=project.meshes,
        voices=voices,
    )


def changed(records: Records, changes: Sequence[Change]) -> Records:
    """The rows after these changes; the rows that were given stay as they are.

    Raises
    ------
    ChangeError
        With every change that does not fit the rows.
    """
    touched = {change.table for change in changes}
    tables: _Tables = {
        name: dict(rows) if name in touched else cast("dict[str, Record]", rows)
        for name, rows in records.items()
    }
    problems = [problem for change in changes if (problem := _take(tables, change))]
    if problems:
        raise ChangeError(tuple(problems))
    return tables


def _take(tables: _Tables, change: Change) -> Problem | None:
    """Take one change into the tables, or say why it does not fit."""
    if change.table not in BY_NAME:
        near = suggestion(change.table, BY_NAME)
        return Problem(change.table, "a table of a line", f"“{change.table}”", suggestion=near)
    rows = tables.setdefault(change.table, {})
    row = rows.get(change.id)
    if change.add is not None:
        return _add(rows, change, change.add)
    if row is None:
        near = suggestion(change.id, rows)
        return Problem(_file(change), "a row that is there", f"“{change.id}”", suggestion=near)
    if change.remove:
        del rows[change.id]
        return None
    return _set(rows, row, change)


def _file(change: Change) -> str:
    return BY_NAME[change.table].file


def _add(rows: dict[str, Record], change: Change, cells: Mapping[str, str]) -> Problem | None:
    if change.id in rows:
        return problem_at(rows[change.id], "", "an id that is not there yet", f"“{change.id}”")
    key = BY_NAME[change.table].key
    full = dict(zip(key, change.id.split("/"), strict=False)) | dict(cells)
    if "/".join(full.get(name, "") for name in key) != change.id:
        stated = "/".join(full.get(name, "") for name in key)
        return Problem(_file(change), f"cells that make the id “{change.id}”", f"“{stated}”")
    rows[change.id] = Record(change.table, change.id, full)
    _move(rows, change.id, change.behind)
    return None


def _move(rows: dict[str, Record], id_: str, behind: str | None) -> None:
    """Put the last row behind another; it stays last where that one is not there."""
    order = [other for other in rows if other != id_]
    if behind == "":
        order.insert(0, id_)
    elif behind in order:
        order.insert(order.index(behind) + 1, id_)
    else:
        return
    moved = {other: rows[other] for other in order}
    rows.clear()
    rows.update(moved)


def _set(rows: dict[str, Record], row: Record, change: Change) -> Problem | None:
    column = change.column or ""
    table = BY_NAME[change.table]
    known = [*(column.name for column in table.columns), *row.cells]
    if column not in known:
        near = suggestion(column, known)
        return Problem(table.file, "a column of this table", f"“{column}”", suggestion=near)
    stands = row.cells.get(column, "")
    if change.was is not None and stands.strip() != change.was.strip():
        return problem_at(row, column, f"“{change.was}”, as it was", f"“{stands}”")
    cells = dict(row.cells) | {column: change.value or ""}
    id_ = "/".join(cells.get(name, "").strip() for name in table.key) if table.key else row.id
    if id_ == row.id:
        rows[id_] = replace(row, cells=cells)
        return None
    if id_ in rows:
        return problem_at(row, column, "an id that is not there yet", f"“{id_}”")
    moved = {(id_ if old == row.id else old): other for old, other in rows.items()}
    rows.clear()
    rows.update(moved)
    rows[id_] = replace(row, id=id_, cells=cells)
    return None
