"""An outline drawn on a still, as changes of outlines.csv."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from sixwright.kernel.errors import InputError
from sixwright.line.likeness import Still
from sixwright.project.records import Change, Record, Records
from sixwright.project.rows import addition
from sixwright.workflows.marking import place_text, sure_px

TABLE = "outlines"
MOST = 400  # points of one outline
# What can be drawn, in the order in which it is offered: id, and plain words.
KINDS = (
    ("jaw-left", "Jaw, left"),
    ("jaw-right", "Jaw, right"),
    ("cheek-left", "Cheek, left"),
    ("cheek-right", "Cheek, right"),
    ("chin", "Chin"),
    ("nose", "Nose"),
    ("brow-left", "Brow, left"),
    ("brow-right", "Brow, right"),
    ("forehead", "Forehead"),
    ("hair", "Hair"),
    ("mask", "Mask"),
)


@dataclass(frozen=True, slots=True)
class OutlineEdit:
    """What a page says of one outline of a still.

    Attributes
    ----------
    points
        Texts of numbers, x and y, in order; none takes the outline away.
    sure
        How surely it is drawn: as of a mark.
    was
        What stood there when the page was drawn, as `outline_stands`.
    """

    still: str
    outline: str
    points: tuple[tuple[str, str], ...]
    sure: str
    was: str


def outlines_on(records: Records, still: str) -> dict[str, tuple[Record, ...]]:
    """The rows of each outline of a still, in the order of their points."""
    found: dict[str, list[Record]] = {}
    for row in records.get(TABLE, {}).values():
        if row.cells.get("still", "").strip() == still:
            found.setdefault(row.cells.get("outline", "").strip(), []).append(row)
    return {name: tuple(sorted(rows, key=_number)) for name, rows in found.items()}


def _number(row: Record) -> int:
    text = row.cells.get("point", "").strip()
    return int(text) if text.isdecimal() else 0


def outline_stands(rows: Sequence[Record]) -> str:
    """What an outline's rows say, in one text."""
    return " ".join(f"{row.cells.get('x_px', '')},{row.cells.get('y_px', '')}" for row in rows)


def drawn(records: Records, stills: Mapping[str, Still], line: OutlineEdit) -> tuple[Change, ...]:
    """The changes that write an outline as it is drawn now; none where its rows say it already.

    Raises
    ------
    InputError
        If there is no such still or outline, a place lies outside the still, another window has
        drawn it meanwhile, or it has too many points.
    """
    still = stills.get(line.still)
    if still is None:
        raise InputError(f"There is no still “{line.still}” any more; nothing was written.")
    spreads = sure_px(records)
    rows = outlines_on(records, line.still).get(line.outline, ())
    if line.outline not in dict(KINDS) and not rows:
        raise InputError(f"“{line.outline}” is no outline that is drawn; nothing was written.")
    if line.sure not in spreads or len(line.points) > MOST:
        raise InputError(f"An outline has at most {MOST} points; nothing was written.")
    if outline_stands(rows) != line.was:
        raise InputError(
            "That outline was drawn elsewhere meanwhile; look at it, and go on from there. Nothing "
            "was written."
        )
    places = [
        (place_text(x, still.width_px, "wide"), place_text(y, still.height_px, "high"))
        for x, y in line.points
    ]
    return tuple(_changes(records, rows, line, places, spreads[line.sure]))


def _changes(
    records: Records,
    rows: Sequence[Record],
    line: OutlineEdit,
    places: Sequence[tuple[str, str]],
    sd_px: str,
) -> Iterator[Change]:
    """Each row gets the place of its turn; rows beyond go, points beyond are added."""
    for row, (x, y) in zip(rows, places, strict=False):
        for name, text in (("x_px", x), ("y_px", y)):
            before = row.cells.get(name, "")
            if before.strip() != text:
                yield Change(TABLE, row.id, name, before, text)
    for row in rows[len(places) :]:
        yield Change(TABLE, row.id, remove=True)
    first = max((_number(row) for row in rows), default=0) + 1
    for number, (x, y) in enumerate(places[len(rows) :], start=first):
        cells = {"still": line.still, "outline": line.outline, "point": str(number),
                 "x_px": x, "y_px": y, "sd_px": sd_px}  # fmt: skip
        yield addition(records, TABLE, cells)
