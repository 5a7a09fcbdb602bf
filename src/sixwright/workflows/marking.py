"""A landmark marked on a still, as changes of sightings.csv; and which are marked next."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import isfinite

from sixwright.kernel.errors import InputError
from sixwright.line.landmarks import LANDMARKS, MARKED_FIRST, marking_order
from sixwright.line.likeness import Key, Sighting, Still
from sixwright.project.model import Project
from sixwright.project.records import Change, Records
from sixwright.workflows.landmark_rows import check_key, in_words, says, written

TABLE = "sightings"
# Standard deviation of a coordinate, px, by how sure the hand is: own choice.
SURE_PX = {"sharp": "1.5", "soft": "4", "guess": "10"}
UNPLACED = ("hidden", "unsure")  # states without a place
CELLS = ("x_px", "y_px", "sd_px", "how", "state")
QUARTERS = 4  # a place is kept to a quarter of a pixel


@dataclass(frozen=True, slots=True)
class Mark:
    """What a page says of one landmark on one still.

    Attributes
    ----------
    x_px, y_px
        Texts of numbers; empty where the state has no place.
    sure
        One of `SURE_PX`.
    state
        ``seen``, ``hidden`` or ``unsure``.
    was
        What stood there when the page was drawn, as `stands`.
    """

    still: str
    landmark: str
    side: str
    x_px: str
    y_px: str
    sure: str
    state: str
    was: str


def stands(cells: Mapping[str, str] | None) -> str:
    """What a row of sightings.csv says, in one text; empty where there is none."""
    return says(cells, CELLS)


def sure_px(records: Records) -> dict[str, str]:
    """Standard deviation of a coordinate, px, by how sure the hand is: the line's own, or usual."""
    line = records.get("line", {}).get("line")
    own = {} if line is None else line.cells
    return {word: own.get(f"marking.{word}_px", "").strip() or px for word, px in SURE_PX.items()}


def sure_of(sd_px: float | None, spreads: Mapping[str, str]) -> str:
    """The word whose spread is the nearest; where none is stated, the usual one is sharp."""
    if sd_px is None:
        return "sharp"
    return min(spreads, key=lambda word: abs(float(spreads[word]) - sd_px))


def marked(records: Records, stills: Mapping[str, Still], mark: Mark) -> tuple[Change, ...]:
    """The changes that write a mark; none where the row says it already.

    Raises
    ------
    InputError
        If there is no such still or landmark, the place lies outside the still, or another
        window has marked it meanwhile.
    """
    still = stills.get(mark.still)
    if still is None:
        raise InputError(f"There is no still “{mark.still}” any more; nothing was written.")
    check_key(records, (mark.landmark, mark.side))
    keys = {"still": mark.still, "landmark": mark.landmark, "side": mark.side}
    row = records.get(TABLE, {}).get("/".join(keys.values()))
    changes = written(records, TABLE, keys, _cells(still, mark, sure_px(records)))
    if changes and stands(row.cells if row else None) != mark.was:
        raise InputError(
            "That landmark was marked elsewhere meanwhile; look at it, and mark it again if it is "
            "wrong. Nothing was written."
        )
    return changes


def _cells(still: Still, mark: Mark, spreads: Mapping[str, str]) -> dict[str, str]:
    """The cells of the row; the column `how` of a row that is there stays as it is."""
    if mark.state in UNPLACED:
        return {"x_px": "", "y_px": "", "sd_px": "", "state": mark.state}
    if mark.state != "seen" or mark.sure not in SURE_PX:
        raise InputError("A mark is sharp, soft or a guess, or hidden; nothing was written.")
    return {
        "x_px": place_text(mark.x_px, still.width_px, "wide"),
        "y_px": place_text(mark.y_px, still.height_px, "high"),
        "sd_px": spreads[mark.sure],
        "state": mark.state,
    }


def place_text(text: str, size: float | None, way: str) -> str:
    """A coordinate to a quarter of a pixel, within the still.

    Raises
    ------
    InputError
        If it is no number, or lies outside the still.
    """
    try:
        value = float(text)
    except ValueError as error:
        raise InputError(f"“{text}” is no place in a still; nothing was written.") from error
    if not size:
        raise InputError(f"How {way} this still is is not known; nothing was written.")
    if not isfinite(value) or not -0.5 <= value <= size - 0.5:
        raise InputError("That place lies outside the still; nothing was written.")
    said = f"{round(QUARTERS * value) / QUARTERS:.2f}".rstrip("0").rstrip(".")
    return "0" if said == "-0" else said


@dataclass(frozen=True, slots=True)
class ToMark:
    """One landmark of a still, as it is marked now.

    Attributes
    ----------
    name, meaning
        In plain words with its side, and where it lies.
    row
        Its sighting; None where there is none yet.
    stands
        As `stands`.
    """

    key: Key
    name: str
    meaning: str
    row: Sighting | None
    stands: str


def to_mark(project: Project, still: str) -> tuple[ToMark, ...]:
    """Every landmark of a still in the order of marking.

    First the six that tell how the still was taken; then those that lie on a sculpt of this
    person; then the others.

    Raises
    ------
    KeyError
        If there is no such still.
    """
    own = {id_: term for id_, term in project.terms.items() if id_ not in LANDMARKS}
    placed = _placed(project, still)
    rows = {(row.landmark, row.side): row for row in project.sightings if row.still == still}
    used = [key for key in (*placed, *rows) if key[0] in own]
    keys = dict.fromkeys((*marking_order(), *sorted(used)))
    ordered = sorted(keys, key=lambda key: (key not in MARKED_FIRST, key not in placed))
    return tuple(_to_mark(project, still, key, rows.get(key)) for key in ordered)


def _placed(project: Project, still: str) -> set[Key]:
    """The landmarks that lie on a sculpt of the person whom a still shows."""
    person = project.stills[still].person
    sculpts = {id_ for id_, one in project.sculpts.items() if one.person == person}
    rounds = {id_ for id_, one in project.rounds.items() if one.sculpt in sculpts}
    return {(row.landmark, row.side) for row in project.placements if row.round in rounds}


def is_exhausted(project: Project, still: str, marks: Sequence[ToMark]) -> bool:
    """Whether each landmark that lies on a sculpt of this person is seen, hidden or unsure.

    Parameters
    ----------
    marks
        Those of the still, as `to_mark` gives them.

    Raises
    ------
    KeyError
        If there is no such still.
    """
    rows = {mark.key: mark.row for mark in marks}
    placed = [rows.get(key) for key in _placed(project, still)]
    return bool(placed) and all(row is not None and row.state != "proposed" for row in placed)


def _to_mark(project: Project, still: str, key: Key, row: Sighting | None) -> ToMark:
    found = project.records.get(TABLE, {}).get("/".join((still, *key)))
    return ToMark(key, *in_words(project, key), row, stands(found.cells if found else None))


def counted(marks: Sequence[ToMark]) -> tuple[int, int]:
    """How many are seen, and how many are settled at all: seen, hidden or unsure."""
    states = [mark.row.state for mark in marks if mark.row is not None]
    return states.count("seen"), sum(state != "proposed" for state in states)
