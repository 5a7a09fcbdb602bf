"""What a head is judged by: sculpts and their rounds, landmarks, stills and what they show.

Lengths on the sculpt are mm at 1:6, in the sculpt frame (x to the figure's left, y up, z where
the face looks); places in a still are pixels, x right, y down, the centre of the top-left pixel
at (0, 0). All are measured, so they are floats. `side` is ``left``, ``right`` or ``mid`` of the
figure. An empty cell is None here, but for the few defaults that a docstring states.
"""

import datetime as dt
from dataclasses import dataclass

SIDES = ("left", "right", "mid")
PLACED = ("placed", "carried", "confirmed")  # landmarks.csv, `how`
SHOWN = ("point", "contour")  # sightings.csv, `how`
UNDONE = ("no", "withdrawn")  # asks.csv, `state`: nobody is to do it
STATES = ("proposed", "seen", "hidden", "unsure")  # sightings.csv, `state`: only seen counts

Key = tuple[str, str]  # a landmark's id and its side


@dataclass(frozen=True, slots=True)
class Sculpt:
    """One head to be sculpted, over all of its rounds (sculpts.csv: the columns by name).

    Attributes
    ----------
    part
        Id of the part that it is, or None.
    person
        Whom it depicts: a free id that stills share; None while unknown.
    expression
        A free id that stills share; an empty cell is ``neutral``.
    tolerance_mm
        How far a landmark may be off, mm at 1:6, above 0; None: the topic's own choice holds.
    """

    id: str
    part: str | None = None
    person: str | None = None
    expression: str = "neutral"
    tolerance_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Round:
    """One delivery of a sculpt (rounds.csv: the columns by name; empty text is None).

    Attributes
    ----------
    number
        1 for the first; None while unknown.
    mesh, sha256, unit, up, front
        The delivered file and how to read it; not read yet.
    """

    id: str
    sculpt: str
    number: int | None = None
    date: dt.date | None = None
    mesh: str | None = None
    sha256: str | None = None
    unit: str | None = None
    up: str | None = None
    front: str | None = None
    maker: str | None = None
    remark: str | None = None


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a landmark lies on a round (landmarks.csv).

    Attributes
    ----------
    place_mm
        `x_mm`, `y_mm`, `z_mm`; None where any of the three cells is empty.
    sd_mm
        How well it was placed, standard deviation along each axis, above 0; None: the topic's
        own choice holds.
    how
        One of `PLACED`; an empty cell is ``placed``.
    """

    round: str
    landmark: str
    side: str
    place_mm: tuple[float, float, float] | None
    sd_mm: float | None = None
    how: str = "placed"


@dataclass(frozen=True, slots=True)
class Target:
    """A meant difference, or a tolerance, of one landmark of a sculpt (targets.csv).

    Attributes
    ----------
    meant_mm
        `x_mm`, `y_mm`, `z_mm`: the correction that is meant to remain, person minus sculpt; None
        where all three cells are empty (only a tolerance is stated). One or two empty cells of
        the three are an error of reading.
    tolerance_mm
        Above 0; None: the sculpt's holds.
    """

    sculpt: str
    landmark: str
    side: str
    meant_mm: tuple[float, float, float] | None = None
    tolerance_mm: float | None = None
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Term:
    """A landmark of the line's own, or another meaning of one that is built in (terms.csv).

    Attributes
    ----------
    name
        In plain words; an empty cell is the id.
    rigid
        Whether it belongs to the skull and no expression moves it; an empty cell is no.
    contour
        Whether it is the edge of the head in a still and not a place of its own; an empty cell
        is no.
    sd_mm
        Definition spread along the surface, mm at *full size*, zero or more; None: the topic's
        own choice holds.
    slip_mm
        How far an expression moves it though it is rigid, standard deviation along each axis, mm
        at *full size*, zero or more; None: the built-in one's, else not at all.
    """

    id: str
    name: str = ""
    rigid: bool = False
    contour: bool = False
    sd_mm: float | None = None
    slip_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Still:
    """A photograph or frame of the person (stills.csv: the columns by name).

    Attributes
    ----------
    width_px, height_px
        Of the upright image in full resolution, above 0; None while unknown: the still cannot
        be used.
    person, expression
        As of a sculpt; an empty expression is ``neutral``.
    camera
        Stills of one camera share a focal length; None: a camera of its own.
    focal_px, focal_sd_log
        What the lens data say, above 0, and its standard deviation in the natural logarithm;
        None: not known (a stated focal length without a spread gets the topic's own choice).
    squeeze
        Width of the image over that of the scene, above 0; an empty cell is 1.
    cropped
        Whether the middle of the image may not be the camera's; an empty cell is no.
    bars_px
        How wide the black bars are that are no part of the picture: left, top, right, bottom.
    mirrored
        Whether left and right are swapped; None where the cell is empty: the topic finds out.
    may_publish
        Whether it may be shown; an empty cell is no.
    """

    id: str
    file: str | None = None
    sha256: str | None = None
    width_px: float | None = None
    height_px: float | None = None
    person: str | None = None
    look: str | None = None
    expression: str = "neutral"
    camera: str | None = None
    focal_px: float | None = None
    focal_sd_log: float | None = None
    squeeze: float = 1.0
    cropped: bool = False
    bars_px: tuple[int, int, int, int] = (0, 0, 0, 0)
    mirrored: bool | None = None
    may_publish: bool = False


@dataclass(frozen=True, slots=True)
class Sighting:
    """Where a still shows a landmark (sightings.csv).

    Attributes
    ----------
    place_px
        `x_px`, `y_px`; None where either cell is empty, as of a hidden landmark.
    sd_px
        How well it was marked, standard deviation along each axis, above 0; None: the topic's
        own choice holds.
    how
        One of `SHOWN`; None where the cell is empty: as its term says.
    state
        One of `STATES`; an empty cell is ``proposed``, which does not count.
    """

    still: str
    landmark: str
    side: str
    place_px: tuple[float, float] | None
    sd_px: float | None = None
    how: str | None = None
    state: str = "proposed"


@dataclass(frozen=True, slots=True)
class OutlinePoint:
    """One point of an outline drawn on a still (outlines.csv: the columns by name).

    Attributes
    ----------
    outline
        Id of the outline within the still; its points are joined in the order of `point`.
    sd_px
        As of a sighting.
    """

    still: str
    outline: str
    point: int
    place_px: tuple[float, float]
    sd_px: float | None = None


@dataclass(frozen=True, slots=True)
class SculptAsk:
    """What a sculptor is asked to change on a round (rows of asks.csv that name a round).

    Attributes
    ----------
    subject
        What it is about: a feature in plain words (``nose``), or what the producer wrote.
    landmark, side
        The landmark, where it is about one; None where it is about a feature.
    words
        What is asked, as it was sent.
    direction, mm
        Where to, in words, and by how much, mm at 1:6; None while unknown.
    state
        One of `sixwright.line.voices.ASK_STATES`; an empty cell is ``open``.
    """

    id: str
    round: str
    sculpt: str | None = None
    subject: str = ""
    landmark: str | None = None
    side: str | None = None
    words: str = ""
    direction: str = ""
    mm: float | None = None
    state: str = "open"
