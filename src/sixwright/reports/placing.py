"""Blocks that show a sculpt in space: to be turned, and to have landmarks placed on it."""

from dataclasses import dataclass

from sixwright.line.likeness import Key
from sixwright.line.shots import LensLayer, UnseenSide
from sixwright.reports.delivered import Arriving, FileDrop

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class LandmarkPoint:
    """A landmark in the list of those to be placed, and its cross on the sculpt.

    Attributes
    ----------
    name, meaning
        In plain words, and where it lies.
    how
        ``placed``, ``carried`` or ``confirmed``; empty while it has no place.
    said
        The same in words.
    place
        Three texts, mm; empty where it has none.
    outward
        Which way the surface usually looks there, three texts; empty where that is not known.
    stands
        What the folder says of it, for the request.
    """

    key: Key
    name: str
    meaning: str
    how: str
    said: str
    place: str
    outward: str
    stands: str


@dataclass(frozen=True, slots=True)
class Move:
    """A correction, as an arrow from the sculpt: its two ends as texts, and whether it is shown."""

    start: str
    end: str
    fails: bool


@dataclass(frozen=True, slots=True)
class Turning:
    """A sculpt in space, which is turned by mouse, touch and keys.

    Attributes
    ----------
    round, name
        Its id, and in words.
    version
        Of the mesh as it is read: another has another.
    """

    round: str
    name: str
    version: str
    moves: tuple[Move, ...] = ()


@dataclass(frozen=True, slots=True)
class Placing:
    """A sculpt in space, on which landmarks are placed one after the other.

    Attributes
    ----------
    before
        Names the round whose landmarks can be carried here, and where they lie on it; empty where
        there is none.
    lines, dots
        A head of nobody from the front and from its left: paths, and where each landmark lies
        (key, view, across, down).
    """

    turning: Turning
    points: tuple[LandmarkPoint, ...]
    before: str
    lines: tuple[tuple[str, str], ...]
    dots: tuple[tuple[str, str, str, str], ...]


@dataclass(frozen=True, slots=True)
class LensStill:
    """A still whose lens the sculpt is seen through.

    Attributes
    ----------
    said
        How it is used, in words.
    layers
        From below to above: the still, the sculpt, outline and marks.
    """

    still: str
    said: str
    layers: tuple[LensLayer, ...]


@dataclass(frozen=True, slots=True)
class LensView:
    """A sculpt over the still that is chosen: swapped, faded and outlined; and the unseen side.

    Attributes
    ----------
    width, height
        Of each layer, pixels.
    others
        Stills whose camera is not known, and why.
    unseen, unseen_said
        The side that no still shows, and what it is in words; None where nothing says.
    """

    name: str
    stills: tuple[LensStill, ...]
    others: tuple[tuple[str, str], ...]
    width: int
    height: int
    unseen: UnseenSide | None = None
    unseen_said: str = ""


SculptBlock = FileDrop | Arriving | Turning | Placing | LensView
