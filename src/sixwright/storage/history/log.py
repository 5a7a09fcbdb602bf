"""Who changed what, and when: one file a writer, so that syncing never makes two of one.

A line a cell, row or file: ``{table, id, column, before, after, who, when, edit}``. Lines of one
`edit` were written together. `column` is null where a row came (`before` null, `after` its
cells, `behind` the row before it) or went. `undoes` names the edit that this one takes back,
`restores` the moment that it brings back.
"""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from sixwright.kernel.errors import BusyError, DiskError, FolderError, shown
from sixwright.project.records import Record, Records
from sixwright.project.tables import BY_NAME
from sixwright.storage.edits.row_edits import Rows, cell_changes, row_edits
from sixwright.storage.files.disk import Disk
from sixwright.storage.files.journal import recover
from sixwright.storage.files.journal_text import Tail
from sixwright.storage.files.spreadsheet_locks import refusal
from sixwright.storage.files.within import MOST_HISTORY, names_within, read_within
from sixwright.storage.history.log_text import Edit, EditLine, parse_history

FOLDER = "history"
_WRITER = re.compile("[a-z0-9-]+")  # what the names of writers are made of


@dataclass(frozen=True, slots=True)
class History:
    """All edits of a folder, and what could not be read.

    Attributes
    ----------
    edits
        By their time.
    passed
        File to what of it was passed over: so many lines, or the whole file and why.
    """

    edits: tuple[Edit, ...]
    passed: Mapping[str, str]


def history(path: Path) -> tuple[Edit, ...]:
    """All edits of a folder by their time; those of one writer stay in the order they were made."""
    return read_history(path).edits


def read_history(path: Path) -> History:
    """All edits of a folder, and what of its history could not be read.

    A line that is cut short or none of ours is passed over and counted, each on its own.
    """
    with suppress(BusyError, DiskError, FolderError):  # a line of an edit that did not end may stay
        recover(path)
    return read_on(path)


def read_on(path: Path) -> History:
    """The same, of a folder in which no edit was cut short."""
    edits: dict[str, tuple[datetime, Edit]] = {}
    passed: dict[str, str] = {}
    for name, content in _files(path, passed):
        writer = name.removesuffix(".jsonl")
        found, odd = parse_history(content, writer)
        if odd:
            passed[f"{FOLDER}/{name}"] = f"{odd} {'line' if odd == 1 else 'lines'}"
        latest: datetime | None = None
        for edit in found:
            latest = edit.when if latest is None else max(latest, edit.when)
            held = edits.get(edit.id)  # a copy that a sync program made may hold it again
            if held is None or _is_nearer(edit, held[1]):
                edits[edit.id] = (latest, edit)
    ordered = sorted(edits.values(), key=lambda pair: pair[0])
    return History(tuple(edit for _, edit in ordered), passed)


def _is_nearer(edit: Edit, held: Edit) -> bool:
    """Whether this is the edit as it was written, and the one held of a copy of its file.

    A copy made in the middle of an edit lacks lines of it; its name is the writer's and more.
    """
    return _order(edit) < _order(held)


def _order(edit: Edit) -> tuple[int, bool, int]:
    return -len(edit.lines), not _WRITER.fullmatch(edit.writer), len(edit.writer)


def _files(path: Path, passed: dict[str, str]) -> Iterator[tuple[str, bytes]]:
    """Name and bytes of each writer's file; what cannot be read is noted in `passed`."""
    try:
        names = names_within(path, FOLDER)
    except OSError as error:
        passed[FOLDER] = f"the whole folder ({error.strerror})"
        return
    left = MOST_HISTORY
    for name in names:
        if not name.endswith(".jsonl"):
            continue
        try:
            content = read_within(path, f"{FOLDER}/{name}", most=left)
        except OSError as error:
            passed[f"{FOLDER}/{shown(name)}"] = f"the whole file ({error.strerror})"
            continue
        left -= len(content)
        yield shown(name), content


def lines_between(before: Records, after: Records) -> tuple[EditLine, ...]:
    """What turns some tables into others: rows that went, cells that changed, rows that came."""
    pairs = [(name, before.get(name, {}), after.get(name, {})) for name in {**before, **after}]
    return tuple(line for name, old, new in pairs for line in _lines(name, old, new))


def _lines(table: str, before: Rows, after: Rows) -> Iterator[EditLine]:
    edits = row_edits(before, after)
    earlier = dict(zip(before, ["", *before], strict=False))
    for row in edits.removed:
        yield EditLine(table, row.id, None, _stated(row), None, earlier[row.id])
    for old, new in edits.changed:
        yield from _cell_lines(table, old, new)
    for row, behind in edits.added:
        yield EditLine(table, row.id, None, None, _stated(row), behind)


def _stated(row: Record) -> dict[str, str]:
    return {name: text for name, text in row.cells.items() if text}


def _cell_lines(table: str, old: Record, new: Record) -> Iterator[EditLine]:
    """A row's cells; those that its id is made of come last, as they change it."""
    key = BY_NAME[table].key if table in BY_NAME else ()
    changes = sorted(cell_changes(old, new), key=lambda change: change[0] in key)
    id_ = old.id
    for name, was, value in changes:
        yield EditLine(table, id_, name, was, value)
        id_ = id_after(table, id_, name, value)


def id_after(table: str, id_: str, column: str, value: str) -> str:
    """A row's id after a cell of it got a value."""
    key = BY_NAME[table].key if table in BY_NAME else ()
    if column not in key:
        return id_
    parts = id_.split("/") if len(key) > 1 else [id_]
    if len(parts) != len(key):  # no row of ours: somebody else's line
        return id_
    parts[key.index(column)] = value.strip()
    return "/".join(parts)


def history_text(  # noqa: PLR0913  all that a line says
    path: Path,
    writer: str,
    lines: Sequence[EditLine],
    *,
    who: str,
    when: datetime,
    undoes: str | None,
    restores: datetime | None = None,
    disk: Disk,
) -> Tail:
    """The lines of an edit as they are added to the writer's file.

    Raises
    ------
    BusyError, DiskError
        If that file cannot be read.
    """
    name = f"{FOLDER}/{writer}.jsonl"
    try:
        stands = disk.read(path / name) or b""
    except OSError as error:
        raise refusal(name, error) from error
    common = {"who": who, "when": when.isoformat()}
    stated = [_json(line) | common for line in lines]
    seed = json.dumps([writer, len(stands), stated], sort_keys=True)
    edit = {"edit": sha256(seed.encode()).hexdigest()[:16]}
    edit |= {"undoes": undoes} if undoes else {}
    edit |= {"restores": restores.isoformat()} if restores else {}
    text = "".join(json.dumps(one | edit, ensure_ascii=False) + "\n" for one in stated)
    torn = "\n" if stands and not stands.endswith(b"\n") else ""
    return Tail(name, len(stands), (torn + text).encode("utf-8"))


def _json(line: EditLine) -> dict[str, Any]:
    cell = {"table": line.table, "id": line.id, "column": line.column}
    cell |= {"before": line.before, "after": line.after}  # type: ignore[dict-item]
    return cell | ({} if line.behind is None else {"behind": line.behind})
