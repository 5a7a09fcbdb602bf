"""The lines of one writer's history: read one by one, odd ones passed over and counted."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

RowTexts = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class EditLine:
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
    before: str | RowTexts | None
    after: str | RowTexts | None
    behind: str | None = None


@dataclass(frozen=True, slots=True)
class Edit:
    """Lines that were written together.

    Attributes
    ----------
    writer
        Whose file it stands in: a user on one machine.
    undoes
        Id of the edit that this one took back, or None.
    restores
        The moment that it brought back, or None.
    """

    id: str
    who: str
    when: datetime
    lines: tuple[EditLine, ...]
    undoes: str | None = None
    restores: datetime | None = None
    writer: str = ""


# What no page and no file can show: halves of characters, and NUL.
_NO_TEXT = re.compile("[\0\ud800-\udfff]")


@dataclass(frozen=True, slots=True)
class _Parsed:
    """A writer's file as it was last read, so that what is added to it is all that is read again.

    Attributes
    ----------
    edits
        By id, in the file's order.
    odd
        Lines that were none of ours.
    """

    content: bytes = b""
    edits: Mapping[str, Edit] = field(default_factory=dict)
    odd: int = 0


_LAST: dict[str, _Parsed] = {}
_MOST_WRITERS = 20  # whose files stay in memory


def parse_history(content: bytes, writer: str) -> tuple[tuple[Edit, ...], int]:
    """The edits of one writer in the file's order, and how many lines were none.

    Parameters
    ----------
    content
        The file.
    writer
        Whose it is.
    """
    last = _LAST.get(writer, _Parsed())
    if not (content.startswith(last.content) and last.content.endswith(b"\n")):
        last = _Parsed()
    added: dict[str, tuple[Mapping[str, Any], dict[object, EditLine]]] = {}
    odd = last.odd
    for text in content[len(last.content) :].split(b"\n"):
        if text.strip():
            stated = _stated(text)
            if stated is None:
                odd += 1
            else:
                _, lines = added.setdefault(stated["edit"], (stated, {}))
                line = _line(stated)
                lines.setdefault(_key(line), line)
    edits = dict(last.edits)
    for id_, (stated, lines) in added.items():
        before = edits.get(id_)
        edits[id_] = (
            replace(before, lines=_joined(before.lines, tuple(lines.values())))
            if before is not None
            else _edit(stated, tuple(lines.values()), writer)
        )
    if len(_LAST) >= _MOST_WRITERS:
        _LAST.clear()
    _LAST[writer] = _Parsed(content, edits, odd)
    return tuple(edits.values()), odd


def _joined(before: tuple[EditLine, ...], lines: tuple[EditLine, ...]) -> tuple[EditLine, ...]:
    """The lines of an edit, each once: a sync program that joins versions may give them twice."""
    return (*before, *(line for line in lines if line not in before))


def _key(line: EditLine) -> object:
    """What a line says, however it is written."""
    sides = (
        tuple(sorted(each.items())) if isinstance(each, Mapping) else each
        for each in (line.before, line.after)
    )
    return (line.table, line.id, line.column, line.behind, *sides)


def _stated(text: bytes) -> Mapping[str, Any] | None:
    """What a line says; None where it is none that sixwright writes."""
    try:
        stated = json.loads(text)
    except (ValueError, RecursionError):
        return None
    if not isinstance(stated, dict):
        return None
    plain = all(_is_text(stated.get(key)) for key in ("table", "id", "edit", "who", "when"))
    maybe = all(_is_text(stated.get(key, None), none=True)
                for key in ("column", "behind", "undoes", "restores"))  # fmt: skip
    kept = all(key in stated and _is_kept(stated[key]) for key in ("column", "before", "after"))
    if not plain or not maybe or not kept or moment(stated["when"]) is None:
        return None
    whole_row = stated["column"] is None
    sides = [stated["before"], stated["after"]]
    fits = any(side is not None for side in sides) and all(
        side is None or isinstance(side, dict) if whole_row else isinstance(side, str)
        for side in sides
    )
    return stated if fits else None


def _is_text(value: object, *, none: bool = False) -> bool:
    if value is None:
        return none
    return isinstance(value, str) and not _NO_TEXT.search(value)


def _is_kept(value: object) -> bool:
    """Whether this is a cell's text, a row's cells, or nothing."""
    if isinstance(value, dict):
        return all(_is_text(each) for pair in value.items() for each in pair)
    return _is_text(value, none=True)


def _line(stated: Mapping[str, Any]) -> EditLine:
    return EditLine(
        stated["table"],
        stated["id"],
        stated["column"],
        stated["before"],
        stated["after"],
        stated.get("behind"),
    )


def _edit(stated: Mapping[str, Any], lines: tuple[EditLine, ...], writer: str) -> Edit:
    when, restores = moment(stated["when"]), moment(stated.get("restores"))
    if when is None:  # `_stated` has looked
        raise ValueError(stated["when"])
    undoes = stated.get("undoes")
    return Edit(stated["edit"], stated["who"], when, lines, undoes, restores, writer)


def moment(text: object) -> datetime | None:
    """A moment with its time zone; None where the text is none."""
    if not isinstance(text, str):
        return None
    try:
        found = datetime.fromisoformat(text)
        found.astimezone()  # a year that no clock can show is no moment
    except (ValueError, OverflowError, OSError):
        return None
    return found if found.tzinfo else None
