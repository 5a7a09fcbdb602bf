"""Who changed what, and when: one file a writer, so that syncing never makes two of one.

A line a cell, row or file: ``{table, id, column, before, after, who, when, edit}``. Lines of one
`edit` were written together. `column` is null where a row came (`before` null, `after` its
cells, `behind` the row before it) or went. `undoes` names the edit that this one takes back,
`restores` the moment that it brings back.
"""

import json
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256
from pathlib import Path
from typing import Any

from sixwright.kernel.errors import BusyError, DiskError
from sixwright.project.records import Records, Row
from sixwright.project.tables import BY_NAME
from sixwright.storage.edits.row_edits import Rows, cell_changes, row_edits
from sixwright.storage.files.disk import Disk
from sixwright.storage.files.journal import Tail, recover
from sixwright.storage.files.spreadsheet_locks import refusal

FOLDER = "history"
Cells = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Line:
    """What one edit did to one cell, or (`column` None) to one row.

    Attributes
    ----------
    id
        The row's id before this line.
    before, after
        A cell's text; or a row's cells, and None where there was, or is, no row.
    behind
        Of a row: the id of the one before it, empty for the first.
    """

    table: str
    id: str
    column: str | None
    before: str | Cells | None
    after: str | Cells | None
    behind: str | None = None


@dataclass(frozen=True, slots=True)
class Edit:
    """Lines that were written together.

    Attributes
    ----------
    undoes
        Id of the edit that this one took back, or None.
    restores
        The moment that it brought back, or None.
    """

    id: str
    who: str
    when: datetime
    lines: tuple[Line, ...]
    undoes: str | None = None
    restores: datetime | None = None


def history(path: Path) -> tuple[Edit, ...]:
    """All edits of a folder by their time; those of one writer stay in the order they were made.

    A line that is cut short or no longer one of ours is passed over.
    """
    with suppress(BusyError, DiskError):  # then a line of an edit that did not end may be there
        recover(path)
    edits: dict[str, tuple[datetime, Edit]] = {}
    for file in sorted((path / FOLDER).glob("*.jsonl")):
        latest: datetime | None = None
        for edit in _edits(file.read_bytes()):
            latest = edit.when if latest is None else max(latest, edit.when)
            edits.setdefault(edit.id, (latest, edit))  # a synced copy may hold it again
    return tuple(edit for _, edit in sorted(edits.values(), key=lambda pair: pair[0]))


def _edits(content: bytes) -> Iterator[Edit]:
    """The edits of one writer, in the file's order."""
    gathered: dict[str, tuple[Mapping[str, Any], list[Line]]] = {}
    for text in content.split(b"\n"):
        try:
            stated = json.loads(text)
            line = Line(
                stated["table"], stated["id"], stated["column"],
                stated["before"], stated["after"], stated.get("behind"),
            )  # fmt: skip
            if datetime.fromisoformat(stated["when"]).tzinfo is not None:
                gathered.setdefault(stated["edit"], (stated, []))[1].append(line)
        except (ValueError, KeyError, TypeError):
            continue
    for id_, (stated, lines) in gathered.items():
        when = datetime.fromisoformat(stated["when"])
        undoes, restores = stated.get("undoes"), _moment(stated.get("restores"))
        yield Edit(id_, stated["who"], when, tuple(lines), undoes, restores)


def _moment(text: object) -> datetime | None:
    """A moment with its time zone; None where the text is none."""
    with suppress(ValueError):
        found = datetime.fromisoformat(text) if isinstance(text, str) else None
        return found if found and found.tzinfo else None
    return None


def lines_between(before: Records, after: Records) -> tuple[Line, ...]:
    """What turns some tables into others: rows that went, cells that changed, rows that came."""
    pairs = [(name, before.get(name, {}), after.get(name, {})) for name in {**before, **after}]
    return tuple(line for name, old, new in pairs for line in _lines(name, old, new))


def _lines(table: str, before: Rows, after: Rows) -> Iterator[Line]:
    edits = row_edits(before, after)
    earlier = dict(zip(before, ["", *before], strict=False))
    for row in edits.removed:
        yield Line(table, row.id, None, _stated(row), None, earlier[row.id])
    for old, new in edits.changed:
        yield from _cell_lines(table, old, new)
    for row, behind in edits.added:
        yield Line(table, row.id, None, None, _stated(row), behind)


def _stated(row: Row) -> dict[str, str]:
    return {name: text for name, text in row.cells.items() if text}


def _cell_lines(table: str, old: Row, new: Row) -> Iterator[Line]:
    """A row's cells; those that its id is made of come last, as they change it."""
    key = BY_NAME[table].key if table in BY_NAME else ()
    changes = sorted(cell_changes(old, new), key=lambda change: change[0] in key)
    id_ = old.id
    for name, was, value in changes:
        yield Line(table, id_, name, was, value)
        id_ = id_after(table, id_, name, value)


def id_after(table: str, id_: str, column: str, value: str) -> str:
    """A row's id after a cell of it got a value."""
    key = BY_NAME[table].key if table in BY_NAME else ()
    if column not in key:
        return id_
    parts = id_.split("/") if len(key) > 1 else [id_]
    parts[key.index(column)] = value.strip()
    return "/".join(parts)


def history_text(  # noqa: PLR0913  all that a line says
    path: Path,
    writer: str,
    lines: Sequence[Line],
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


def _json(line: Line) -> dict[str, Any]:
    cell = {"table": line.table, "id": line.id, "column": line.column}
    cell |= {"before": line.before, "after": line.after}  # type: ignore[dict-item]
    return cell | ({} if line.behind is None else {"behind": line.behind})
