"""Changes written to the folder: all of them, or none; nothing else moves."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from sixwright.kernel.errors import (
    ChangeError,
    ConflictError,
    Difference,
    FolderError,
    InputError,
    InternalError,
)
from sixwright.kernel.protocols import Clock
from sixwright.project.records import Change, Record, Records
from sixwright.project.tables import BY_NAME
from sixwright.storage.edits.changed_files import CHOICES, Edited, Files, all_rows, edited
from sixwright.storage.files.disk import REAL_DISK, Disk
from sixwright.storage.files.journal import put_back, replace_files
from sixwright.storage.files.journal_text import Swap
from sixwright.storage.files.spreadsheet_locks import check_free
from sixwright.storage.files.writer_lock import folder_lock, writer_name
from sixwright.storage.folder import Folder, files_of, read_files
from sixwright.storage.history.log import history_text, lines_between


def write(  # noqa: PLR0913  who, when, where to, and which edit it takes back
    folder: Folder,
    changes: Sequence[Change],
    *,
    who: str,
    clock: Clock,
    disk: Disk = REAL_DISK,
    undoes: str | None = None,
    restores: datetime | None = None,
    beside: Mapping[str, bytes] | None = None,
) -> Folder:
    """Write changes as one edit, with its lines in the history; gives the folder as it then is.

    Changes that change nothing write nothing. Text that a spreadsheet would take for a formula
    is written with an apostrophe before it.

    Parameters
    ----------
    folder
        The folder as it was read when the changes were decided.
    who
        The name that the history gives them.
    undoes
        Id of the edit that these changes take back, where they do.
    restores
        The moment that these changes bring back, where they do.
    beside
        New bytes of tables of many rows, written with the changes as one; the history does not
        hold their rows.

    Raises
    ------
    ChangeError
        If a change does not fit the folder as it was read, or the folder could not be read
        afterwards; with every reason.
    ConflictError
        If a file that the changes touch is no longer the one that was read.
    BusyError
        If such a file is held open by another program.
    DiskError
        If the disk is full or refuses.
    FolderError
        If the folder cannot be read as it stands. Nothing is written in any of these cases.
    """
    if not who.strip():
        raise InputError(f"who must be a name; received {who!r}.")
    path = folder.path
    new = edited(folder.files, folder.records, changes)
    new = replace(new, files={**new.files, **(beside or {})})
    with folder_lock(path):
        put_back(path, disk)
        now = files_of(path)
        _check_unmoved(folder, now, new, changes)
        if not new.files:
            return read_files(path, now)
        after = _read_after(folder, now, new)
        _check_kept(after, new)
        check_free(path, new.files, disk)
        rows = _as_read(new.rows, after, new)
        before = all_rows(folder.files, folder.records)
        lines = lines_between({name: before[name] for name in rows}, rows)
        swaps = [Swap(name, now.get(name), content) for name, content in new.files.items()]
        writer = writer_name()
        tail = history_text(
            path, writer, lines, who=who, when=clock(), undoes=undoes, restores=restores, disk=disk
        )
        replace_files(path, swaps, tail, disk)
        return after


def _check_unmoved(folder: Folder, now: Files, new: Edited, changes: Sequence[Change]) -> None:
    """Refuse where a file to be written is not the one that was read."""
    moved = [name for name in new.files if now.get(name) != folder.files.get(name)]
    if not moved:
        return
    try:
        current = all_rows(now, read_files(folder.path, now).records)
    except FolderError:  # an edit elsewhere is half done: only what was read can be shown
        current = None
    before = all_rows(folder.files, folder.records)
    differences = [
        difference
        for change in changes
        if _file(change) in moved and current is not None
        for difference in _differences(change, before, current)
    ]
    names = " and ".join(moved)
    verb = "has" if len(moved) == 1 else "have"
    raise ConflictError(f"{names} {verb} changed since it was read.", tuple(differences))


def _file(change: Change) -> str:
    return f"{CHOICES}/{change.id}.toml" if change.table == CHOICES else BY_NAME[change.table].file


def _differences(change: Change, before: Records, now: Records) -> list[Difference]:
    """What a change wanted and what stands there now: its cell, or its row's cells in one."""
    old, new = (rows.get(change.table, {}).get(change.id) for rows in (before, now))
    if change.column is not None:
        was, stands = (row.cells.get(change.column, "") if row else None for row in (old, new))
        return [Difference(change.table, change.id, change.column, was, change.value, stands)]
    wanted = None if change.remove else _row_text(Record(change.table, change.id, change.add or {}))
    return [Difference(change.table, change.id, None, _row_text(old), wanted, _row_text(new))]


def _row_text(row: Record | None) -> str | None:
    return None if row is None else ", ".join(text for text in row.cells.values() if text)


def _read_after(folder: Folder, now: Files, new: Edited) -> Folder:
    """The folder as it would be read, or why it could not."""
    merged = {**now, **new.files}
    files = {name: content for name, content in merged.items() if content is not None}
    try:
        return read_files(folder.path, files)
    except FolderError as error:
        read_files(folder.path, now)  # where it cannot be read before, that is the reason
        raise ChangeError(error.problems) from error


def _check_kept(after: Folder, new: Edited) -> None:
    """Hold the bytes to the rows that they were made of: a last guard against our own faults."""
    for name, table in BY_NAME.items():
        if table.file in new.files:
            wanted, found = new.rows.get(name, {}), after.records.get(name, {})
            if list(wanted) != list(found) or any(
                _squeezed(wanted[id_]) != _squeezed(found[id_]) for id_ in wanted
            ):
                raise InternalError(f"{table.file} must read as it was edited; it does not.")


def _squeezed(row: Record) -> dict[str, list[str]]:
    return {name: text.split() for name, text in row.cells.items() if text.split()}


def _as_read(rows: Records, after: Folder, new: Edited) -> Records:
    """Rows of the tables that were touched: where they stood, with the cells as read back."""
    touched = [name for name, table in BY_NAME.items() if table.file in new.files]
    read_back = {
        name: {
            id_: replace(row, cells=after.records[name][id_].cells)
            for id_, row in rows[name].items()
        }
        for name in touched
    }
    return {**read_back, CHOICES: rows[CHOICES]}
