"""How surely a hand marks: a still marked once more, blind, says it, and its spreads are used."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.line.landmarks import LANDMARKS
from sixwright.line.likeness import Key, Sighting
from sixwright.numerics.repeats import Repeats, repeat_spread
from sixwright.numerics.rotations import Floats
from sixwright.project.model import Project
from sixwright.project.records import Change
from sixwright.workflows.marking import TABLE, sure_of, sure_px

LEAST = 6  # landmarks marked twice, before anything is said
WEIGHT = 8.0  # differences that the usual spread is worth: four landmarks; own choice
FAR = 6.0  # times the middle distance, beyond which another place was clicked; own choice
SPREADS = ("sharp", "soft", "guess")


@dataclass(frozen=True, slots=True)
class Hand:
    """How surely a hand marks, by how surely it said that it did.

    Attributes
    ----------
    spreads
        What was found of each; without pairs it stays as it was.
    far
        Landmarks that lie so far apart that another place was clicked: they are left out.
    """

    spreads: Mapping[str, Repeats]
    far: tuple[Key, ...]


def hand_of(project: Project, still: str, again: Mapping[Key, tuple[float, float]]) -> Hand:
    """How surely a still was marked, by the same landmarks marked once more without seeing them.

    Parameters
    ----------
    still
        Its id.
    again
        Where each was marked the second time, px.

    Raises
    ------
    InputError
        If fewer than six landmarks were marked twice.
    """
    spreads = sure_px(project.records)
    pairs = [
        (row, np.array(again[key]) - np.array(row.place_px))
        for row in project.sightings
        if row.still == still and row.state == "seen" and row.place_px is not None
        and (key := (row.landmark, row.side)) in again and _is_point(row)
    ]  # fmt: skip
    if len(pairs) < LEAST:
        raise InputError(
            f"Mark {LEAST} landmarks again at least, none of them an outline; {len(pairs)} were. "
            "Nothing was written."
        )
    middle = float(np.median([np.linalg.norm(gap) for _, gap in pairs]))
    near = max(FAR * middle, FAR * float(spreads["sharp"]))
    far = tuple((r.landmark, r.side) for r, gap in pairs if np.linalg.norm(gap) > near)
    kept = [(row, gap) for row, gap in pairs if (row.landmark, row.side) not in far]
    return Hand({word: _spread(word, kept, spreads) for word in SPREADS}, far)


def _spread(
    word: str, pairs: Sequence[tuple[Sighting, Floats]], spreads: Mapping[str, str]
) -> Repeats:
    gaps = [gap for row, gap in pairs if sure_of(row.sd_px, spreads) == word]
    table = np.array(gaps, dtype=np.float64).reshape(len(gaps), 2)
    return repeat_spread(table, believed=float(spreads[word]), weight=WEIGHT)


def _is_point(row: Sighting) -> bool:
    if row.how is not None:
        return row.how == "point"
    return row.landmark not in LANDMARKS or not LANDMARKS[row.landmark].term.contour


def spreads_used(project: Project, still: str, hand: Hand) -> tuple[Change, ...]:
    """The changes that use what was found: the line's spreads, and those of this still's marks."""
    before = sure_px(project.records)
    after = {
        word: before[word] if found.found is None else _px(found.used)
        for word, found in hand.spreads.items()
    }
    line = project.records["line"]["line"].cells
    changes = [
        Change("line", "line", f"marking.{word}_px", line.get(f"marking.{word}_px", ""), text)
        for word, text in after.items()
        if text != before[word]
    ]
    for id_, row in project.records.get(TABLE, {}).items():
        text = row.cells.get("sd_px", "").strip()
        word = next((word for word in SPREADS if before[word] == text), None)
        if row.cells.get("still", "").strip() == still and word and after[word] != text:
            changes.append(Change(TABLE, id_, "sd_px", row.cells["sd_px"], after[word]))
    return tuple(changes)


def _px(value: float) -> str:
    return f"{value:.2g}" if value < 1 else f"{value:.1f}".rstrip("0").rstrip(".")
