"""Blocks of the pages of stills: where a landmark is marked, and where a still is brought in."""

from dataclasses import dataclass

from sixwright.line.likeness import Key


@dataclass(frozen=True, slots=True)
class Spot:
    """A landmark in the list of those to be marked, and its cross on the still.

    Attributes
    ----------
    name, meaning
        In plain words, and where it lies.
    state
        ``seen``, ``hidden``, ``unsure``, ``proposed``, or empty while nothing is said.
    said
        The state in words.
    sure
        How surely it is marked: ``sharp``, ``soft`` or ``guess``.
    x, y
        Where it is marked, px as texts; empty where it has no place.
    expected_x, expected_y
        Where the still's camera expects it; empty where that is not known.
    stands
        What the folder says of it, for the request.
    """

    key: Key
    name: str
    meaning: str
    state: str
    said: str
    sure: str
    x: str
    y: str
    expected_x: str
    expected_y: str
    stands: str


@dataclass(frozen=True, slots=True)
class StillDrop:
    """Where picture files are dropped on a page, or chosen, to become stills.

    Attributes
    ----------
    persons
        Ids of those whom they may show; one alone is chosen already.
    """

    persons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StillReplace:
    """Where a better picture of the same moment is put in a still's place."""

    still: str


@dataclass(frozen=True, slots=True)
class SqueezeAsk:
    """A still as it is and drawn out: which of the two looks right is asked before it is marked.

    Attributes
    ----------
    version, width, height
        As of `Marking`.
    ways
        For each picture: the squeeze that it stands for, how much it is drawn out, its words.
    """

    still: str
    version: str
    width: int
    height: int
    ways: tuple[tuple[str, float, str], ...]


@dataclass(frozen=True, slots=True)
class OutlineShown:
    """An outline that is drawn on a still: its id, its points, and what the folder says of it."""

    id: str
    points: str
    stands: str


@dataclass(frozen=True, slots=True)
class Marking:
    """A still, large, on which landmarks are marked one after the other.

    Attributes
    ----------
    version
        Of the picture: another content has another.
    left, top, width, height
        Of what is shown of the upright still, px: without its black bars.
    frame
        The same as an SVG view box: the centre of the still's top-left pixel is (0, 0).
    arm
        How long the arms of a cross are, px of the still.
    sure
        How surely a mark may be made: value, word, and its spread.
    outlines, kinds
        Those that are drawn; and what can be drawn: id and words.
    again
        Whether enough is marked for marking it again to say how surely.
    after
        Where to go once this still is done with, an address and words; empty while it is not.
    """

    still: str
    version: str
    left: int
    top: int
    width: int
    height: int
    frame: str
    arm: str
    spots: tuple[Spot, ...]
    sure: tuple[tuple[str, str, str], ...]
    again: bool
    outlines: tuple[OutlineShown, ...] = ()
    kinds: tuple[tuple[str, str], ...] = ()
    after: tuple[str, str] = ("", "")
