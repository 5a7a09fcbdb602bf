"""A place that was moved, in one sentence: how far, not each of its coordinates."""

from collections.abc import Sequence
from math import hypot
from typing import NamedTuple

from sixwright.kernel.sentences import Measure, Name, Sentence, Value
from sixwright.project.names import one_of, row_name
from sixwright.project.records import Change, Records

# The coordinates of what is moved by hand, with their unit and the digits that are said.
COORDINATES = {
    "landmarks": (frozenset({"x_mm", "y_mm", "z_mm"}), "mm", 2),
    "sightings": (frozenset({"x_px", "y_px"}), "px", 1),
}


class PlaceMove(NamedTuple):
    """How far one row's place moved, and the changes that say so."""

    changes: tuple[Change, ...]
    distance: float
    unit: str
    digits: int


def place_moves(changes: Sequence[Change]) -> tuple[PlaceMove, ...]:
    """The places that several of these changes move; what is no number on either side is none."""
    by_row: dict[tuple[str, str], list[Change]] = {}
    for change in changes:
        if change.table in COORDINATES and change.column in COORDINATES[change.table][0]:
            by_row.setdefault((change.table, change.id), []).append(change)
    found = []
    for (table, _), moved in by_row.items():
        distance = _distance(moved)
        if len(moved) > 1 and distance is not None:
            _, unit, digits = COORDINATES[table]
            found.append(PlaceMove(tuple(moved), distance, unit, digits))
    return tuple(found)


def move_told(move: PlaceMove, after: Records, verb: str) -> Sentence:
    """The sentence of one move; `verb` says what became of it, as “was moved”."""
    first = move.changes[0]
    values: dict[str, Value] = {
        "row": Name(row_name(after, first.table, first.id)),
        "far": Measure(move.distance, move.unit, move.digits),
    }
    return Sentence(f"The {one_of(first.table)} {{row}} {verb} by {{far}}.", values)


def _distance(moved: Sequence[Change]) -> float | None:
    try:
        return hypot(*(float(each.value or "") - float(each.was or "") for each in moved))
    except ValueError:
        return None
