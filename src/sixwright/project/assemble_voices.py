"""The rows of voices made into polls, options, subjects, imports and asks."""

from collections.abc import Iterator, Mapping
from typing import Any

from sixwright.kernel.errors import Problem
from sixwright.line.voices import CommentSubject, Import, Option, Poll, VoicesAsk
from sixwright.project.check_cells import problem_at
from sixwright.project.records import Records
from sixwright.project.voices_rows import poll_problems

Rows = Mapping[str, Mapping[str, Any]]
Typed = Mapping[str, Rows]
FROM_VOICES = "voices"  # asks.csv, `from`: the public asked for it


def voices_nouns(typed: Typed) -> dict[str, Any]:
    """The project's fields that voices rests on, by name."""
    options = [_option(row) for row in _rows(typed, "options").values()]
    return {
        "polls": {id_: _poll(row) for id_, row in _rows(typed, "polls").items()},
        "options": {(option.poll, option.option): option for option in options},
        "subjects": {id_: _subject(row) for id_, row in _rows(typed, "subjects").items()},
        "imports": {id_: _import(row) for id_, row in _rows(typed, "imports").items()},
        "voices_asks": {
            id_: VoicesAsk(
                id_, row["subject"] or "", row["state"] or "open", row["sculpt"], row["date"]
            )
            for id_, row in _rows(typed, "asks").items()
            if row["from"] == FROM_VOICES
        },
    }


def voices_contradictions(records: Records, typed: Typed) -> Iterator[Problem]:
    """Levels that are no whole numbers, and polls that contradict themselves."""
    whole = {}
    for id_, cells in _rows(typed, "polls").items():
        row = records["polls"][id_]
        levels = [name for name in ("least", "most") if cells[name] is not None]
        broken = [name for name in levels if cells[name].denominator != 1]
        yield from (problem_at(row, n, "a whole number", f"“{row.cells[n]}”") for n in broken)
        if not broken:
            whole[id_] = _poll(cells)
    rows = {id_: row.place.row for id_, row in records.get("polls", {}).items()}
    yield from poll_problems(whole, {id_: row for id_, row in rows.items() if row is not None})


def _rows(typed: Typed, table: str) -> Rows:
    return typed.get(table, {})


def _poll(cells: Mapping[str, Any]) -> Poll:
    own = {name: cells[name] for name in ("id", "kind", "opened", "closed", "seats", "invited")}
    least, most = (None if cells[n] is None else int(cells[n]) for n in ("least", "most"))
    return Poll(
        **own, question=cells["question"] or "", least=least, most=most, where=cells["where"]
    )


def _option(cells: Mapping[str, Any]) -> Option:
    return Option(
        cells["poll"],
        cells["option"],
        cells["name"] or "",
        cells["part"],
        cells["must"] or False,
    )


def _subject(cells: Mapping[str, Any]) -> CommentSubject:
    words = (cells["words"] or "").split(",")
    told = tuple(word.strip() for word in words if word.strip())
    return CommentSubject(cells["id"], cells["name"] or "", told, cells["part"], cells["sculpt"])


def _import(cells: Mapping[str, Any]) -> Import:
    return Import(
        cells["id"],
        cells["table"],
        cells["poll"],
        cells["file"] or "",
        cells["taken"],
        cells["rows"],
        cells["counts"] is not False,
        cells["signature"] or "",
        cells["columns"] or "",
    )
