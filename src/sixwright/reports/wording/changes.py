"""Changes of the folder in sentences: what was changed, from what, to what."""

import re
from collections.abc import Sequence
from enum import StrEnum

from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.project.columns import UNKNOWN, CellType
from sixwright.project.currencies import currency_of
from sixwright.project.names import cell_name, column_of, label_of, one_of, row_name
from sixwright.project.records import Change, Records
from sixwright.project.tables import BY_NAME
from sixwright.reports.wording.choice_changes import told_choice
from sixwright.reports.wording.fields import named
from sixwright.reports.wording.place_changes import move_told, place_moves

# So many changes are told one by one; more are counted.
MOST = 6
_BARE = re.compile(r"[-+\d][\d.,\s]*")


class Manner(StrEnum):
    """How changes are told: as done; as tried, and not written; as what is there once more."""

    DONE = "done"
    TRIED = "tried"
    AGAIN = "again"


# Tables by their keys, whose rows are told with what they say.
TOLD_WITH_VALUES = {("currency",), ("sells", "part"), ("sells",), ("way", "from_quantity")}
_CAME = {Manner.DONE: "was added", Manner.TRIED: "would come", Manner.AGAIN: "is back"}
_WENT = {Manner.DONE: "was taken out", Manner.TRIED: "would go", Manner.AGAIN: "is out again"}
_MOVED = {
    Manner.DONE: "was {was} and is now {now}",
    Manner.TRIED: "is {was} and would be {now}",
    Manner.AGAIN: "is {now} again, not {was}",
}
_PLACED = {Manner.DONE: "was moved", Manner.TRIED: "would move", Manner.AGAIN: "was moved back"}


def told(
    change: Change, before: Records, after: Records, *, manner: Manner = Manner.DONE
) -> Sentence:
    """One change as a sentence.

    Parameters
    ----------
    before, after
        The rows before and after it: a row is named by the state that has it.
    manner
        How it is told: what an undo brings back is told as being so again.
    """
    if change.table == "choices":
        return told_choice(change, before, again=manner is Manner.AGAIN)
    if change.table == "accepted" and (change.add is not None or change.remove):
        return _told_acceptance(change, manner)
    one = one_of(change.table)
    if change.remove or change.add is not None:
        state, verbs = (before, _WENT) if change.remove else (after, _CAME)
        row: dict[str, Value] = {"row": Name(row_name(state, change.table, change.id))}
        cells = _held(change, state)
        row |= {f"cell{i}": Name(label) for i, (label, _) in enumerate(cells)}
        row |= {f"holds{i}": text for i, (_, text) in enumerate(cells)}
        held = "; ".join(f"{{cell{i}}} {{holds{i}}}" for i in range(len(cells)))
        ends = f": {held}." if held else "."
        return Sentence(f"The {one} {{row}} {verbs[manner]}{ends}", row)
    values: dict[str, Value] = {
        "cell": Name(cell_name(after, change.table, change.id, change.column or "")),
        "was": _stated(change, change.was, before),
        "now": _stated(change, change.value, after),
    }
    moved = _MOVED[manner]
    if manner is Manner.AGAIN and not change.was:
        moved = "is {now} again"
        del values["was"]
    return Sentence(f"{{cell}} {moved}.", values)


def _held(change: Change, state: Records) -> list[tuple[str, str]]:
    """What a row of a few numbers says beside its key: a price break its price, a rate its rate.

    A row with an id of its own is told by its name alone.
    """
    table, row = BY_NAME.get(change.table), state.get(change.table, {}).get(change.id)
    if table is None or row is None or table.key not in TOLD_WITH_VALUES:
        return []
    texts = [(column, row.cells.get(column.name, "").strip()) for column in table.columns
             if column.name not in table.key and column.name != "note"]  # fmt: skip
    return [
        (label, _stated(Change(change.table, change.id, column.name), text, state))
        for column, text in texts
        if text
        for label in (label_of(state, column).removesuffix(f", {column.unit}"),)
    ]


def _told_acceptance(change: Change, manner: Manner) -> Sentence:
    again = manner is Manner.AGAIN
    if change.add is None:
        words = "A finding is not accepted any more." if again else "An acceptance was taken back."
        return Sentence(words)
    said: dict[str, Value] = {name: change.add.get(name, "") for name in ("by", "reason")}
    words = "A finding is accepted again, by {by}:" if again else "{by} accepted a finding:"
    return Sentence(f"{words} {{reason}}", said)


def _stated(change: Change, text: str | None, records: Records) -> str:
    """What a cell says: an id as the name of what it stands for, a bare number with its unit."""
    column = column_of(change.table, change.column or "")
    if not text:
        return UNKNOWN if column is not None and column.is_unknown_when_empty else "empty"
    if column is None or column.cell is CellType.WORDS:
        return text
    table = next((name for name in column.refers if text in records.get(name, {})), None)
    if table:
        return named(records, change.table, table, text)
    unit = column.unit
    if column.cell in {CellType.MONEY, CellType.RATE_H}:
        unit = currency_of(records, change.table, change.id)
    if unit and column.cell is CellType.RATE_H:
        unit = f"{unit}/h"
    if text == "1" and unit in {"minutes", "days"}:
        unit = unit.removesuffix("s")
    return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text


_ALIKE = {
    Manner.DONE: "for",
    Manner.TRIED: "would stand in",
    Manner.AGAIN: "again for",
}


def _alike(changes: Sequence[Change], after: Records, manner: Manner) -> Sentence | None:
    """That many cells of one column got the same text; None where they did not."""
    first = changes[0]
    if first.column is None or first.add is not None or first.remove or first.table not in BY_NAME:
        return None
    if any((each.table, each.column) != (first.table, first.column) for each in changes):
        return None
    said = {_stated(each, each.value, after) for each in changes}
    if len(said) > 1:
        return None
    column = column_of(first.table, first.column)
    values: dict[str, Value] = {
        "now": said.pop(),
        "cells": Count(len(changes), "cell", "cells"),
        "column": Name(label_of(after, column) if column else first.column),
        "table": Name(BY_NAME[first.table].title),
    }
    return Sentence(f"{{now}} {_ALIKE[manner]} {{cells}} of the column {{column}} in {{table}}.",
                    values)  # fmt: skip


def all_told(
    changes: Sequence[Change],
    before: Records,
    after: Records,
    *,
    most: int = MOST,
    manner: Manner = Manner.DONE,
) -> tuple[Sentence, ...]:
    """Each change as a sentence, decisions first; beyond `most`, how many more there are.

    Where more than `most` give one text to one column, one sentence says so of all. A place whose
    coordinates changed is told by how far it moved.
    """
    if len(changes) > most and (alike := _alike(changes, after, manner)):
        return (alike,)
    moves = place_moves(changes)
    said = [move_told(move, after, _PLACED[manner]) for move in moves[:most]]
    in_moves = {id(change) for move in moves for change in move.changes}
    others = [change for change in changes if id(change) not in in_moves]
    ordered = sorted(others, key=lambda change: change.table != "choices")
    said += [told(change, before, after, manner=manner) for change in ordered[: most - len(said)]]
    rest = len(others) + len(moves) - len(said)
    if rest > 0:
        more = Count(rest, "more change", "more changes")
        said.append(Sentence("And {more}.", {"more": more}))
    return tuple(said)
