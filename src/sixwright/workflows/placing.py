"""A landmark placed on a round's mesh, as changes of landmarks.csv; and which come next."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import dist

from sixwright.kernel.errors import InputError
from sixwright.line.landmarks import LANDMARKS, marking_order, outward_of
from sixwright.line.likeness import Key, Placement, Round
from sixwright.project.model import Project
from sixwright.project.records import Change, Records
from sixwright.project.rows import removal
from sixwright.workflows.landmark_rows import check_key, in_words, says, written

TABLE = "landmarks"
# Standard deviation of a coordinate, mm at 1:6, by how a place came: as likeness takes it.
SPREAD_MM = {"placed": "0.05", "carried": "0.1"}
AXES = ("x_mm", "y_mm", "z_mm")
CELLS = (*AXES, "sd_mm", "how")
DIGITS = 4  # of a millimetre: far below what a hand can place

ON_MM = 0.001  # a place that is shown again differs by no more

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Place:
    """What a page says of one landmark of one round.

    Attributes
    ----------
    place_mm
        On the mesh; None takes the landmark out.
    how
        ``placed`` by hand, or ``carried`` from another round and looked at.
    was
        What stood there when the page was drawn, as `stands`.
    """

    round: str
    landmark: str
    side: str
    place_mm: Vector | None
    how: str
    was: str


def stands(cells: Mapping[str, str] | None) -> str:
    """What a row of landmarks.csv says, in one text; empty where there is none."""
    return says(cells, CELLS)


def is_there(place: Vector, seen: Vector) -> bool:
    """Whether a place, mm, is where it was shown."""
    return dist(place, seen) <= ON_MM


def placed(records: Records, place: Place) -> Sequence[Change]:
    """The changes that write a place; none where the row says it already.

    Raises
    ------
    InputError
        If there is no such round or landmark, or another window has placed it meanwhile.
    """
    if place.round not in records.get("rounds", {}):
        raise InputError(f"There is no round “{place.round}” any more; nothing was written.")
    check_key(records, (place.landmark, place.side))
    keys = {"round": place.round, "landmark": place.landmark, "side": place.side}
    row = records.get(TABLE, {}).get("/".join(keys.values()))
    changes = _changes(records, keys, place)
    if changes and stands(row.cells if row else None) != place.was:
        raise InputError(
            "That landmark was placed elsewhere meanwhile; look at it, and place it again if it "
            "is wrong. Nothing was written."
        )
    return changes


def _changes(records: Records, keys: Mapping[str, str], place: Place) -> Sequence[Change]:
    if place.place_mm is None:
        id_ = "/".join(keys.values())
        return removal(records, TABLE, id_) if id_ in records.get(TABLE, {}) else ()
    if place.how not in SPREAD_MM:
        raise InputError("A landmark is placed or carried; nothing was written.")
    texts = (f"{value:.{DIGITS}f}" for value in place.place_mm)
    cells = dict(zip(AXES, texts, strict=True))
    cells |= {"sd_mm": SPREAD_MM[place.how], "how": place.how}
    return written(records, TABLE, keys, cells)


@dataclass(frozen=True, slots=True)
class ToPlace:
    """One landmark of a round, as it is placed now.

    Attributes
    ----------
    name, meaning
        In plain words with its side, and where it lies.
    outward
        Which way the surface usually looks there; None for one of the line's own.
    row
        Its place; None where there is none yet.
    stands
        As `stands`.
    """

    key: Key
    name: str
    meaning: str
    outward: Vector | None
    row: Placement | None
    stands: str


def to_place(project: Project, round_: str) -> tuple[ToPlace, ...]:
    """Every landmark of a round in the order of placing: as a still is marked."""
    rows = {(row.landmark, row.side): row for row in project.placements if row.round == round_}
    marked = (
        *((row.landmark, row.side) for row in project.placements),
        *((row.landmark, row.side) for row in project.sightings),
    )
    own = {key for key in marked if key[0] in project.terms and key[0] not in LANDMARKS}
    keys = dict.fromkeys((*marking_order(), *sorted({*own, *rows} - set(marking_order()))))
    return tuple(_to_place(project, round_, key, rows.get(key)) for key in keys)


def _to_place(project: Project, round_: str, key: Key, row: Placement | None) -> ToPlace:
    found = project.records.get(TABLE, {}).get("/".join((round_, *key)))
    said = stands(found.cells if found else None)
    return ToPlace(key, *in_words(project, key), outward_of(key), row, said)


def round_before(project: Project, round_: str) -> Round | None:
    """The latest other round of the same head that has a file and landmarks; earlier ones first."""
    here = project.rounds[round_]
    marked = {row.round for row in project.placements if row.place_mm is not None}
    others = [
        one for one in project.rounds.values()
        if one.sculpt == here.sculpt and one.id != round_ and one.mesh and one.id in marked
    ]  # fmt: skip
    before = [one for one in others if (one.number or 0) < (here.number or 0)]
    return max(before or others, key=lambda one: one.number or 0, default=None)
