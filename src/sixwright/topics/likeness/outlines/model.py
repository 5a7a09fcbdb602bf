"""What is said of an outline that was drawn on a still, held against a sculpt's."""

from dataclasses import dataclass
from enum import StrEnum

from sixwright.kernel.intervals import Interval, Verdict

Pixel = tuple[float, float]


@dataclass(frozen=True, slots=True)
class OutlinePlace:
    """How far out of the sculpt's outline one drawn point lies.

    Attributes
    ----------
    at_mm
        How far along the outline, mm at 1:6.
    off_mm
        How far out, mm at 1:6, with its 95 % interval: below 0 the person lies within the sculpt.
    drawn_px, sculpt_px
        Where the point was drawn in the still, and where the sculpt's outline is.
    """

    at_mm: float
    off_mm: Interval
    drawn_px: Pixel
    sculpt_px: Pixel


@dataclass(frozen=True, slots=True)
class OutlineStretch:
    """The part of an outline that says most: the mean over some 3 mm.

    Attributes
    ----------
    start_mm, end_mm
        Along the outline.
    out
        Whether the person lies outside the sculpt there.
    off_mm
        How far apart, with one-sided 95 % bounds, over all stretches of the outline.
    middle_px
        Where in the still.
    """

    start_mm: float
    end_mm: float
    out: bool
    off_mm: Interval
    middle_px: Pixel


class Why(StrEnum):
    """Why a stretch of a drawing is not used."""

    STRAY = "stray"  # all else says otherwise
    CONTESTED = "contested"  # another drawing does, and nothing tells which of the two is wrong
    ALONE = "alone"  # far off, and nothing else says whether it is so


@dataclass(frozen=True, slots=True)
class Stray:
    """A stretch of a drawing that is not used, for it seems to follow another edge.

    Attributes
    ----------
    still, outline
        Ids.
    start_mm, end_mm
        Along the outline.
    share
        Of its length.
    off_mm
        How far out of the sculpt's outline it lies, on average; below 0 inside.
    others_mm
        How far out all else says that the person is there.
    why
        Why it is not used.
    """

    still: str
    outline: str
    start_mm: float
    end_mm: float
    share: float
    off_mm: float
    others_mm: float
    why: Why


@dataclass(frozen=True, slots=True)
class OutlineAnswer:
    """One outline of one still against a round's mesh.

    Attributes
    ----------
    still, outline
        Ids.
    reason
        Why nothing is judged: ``apart`` (hair, masks), ``expression`` (it moves, and the still has
        another than the sculpt), ``unlike`` (less than half of it runs along an outline of the
        sculpt), ``meant`` (all of it lies where the sculpt is meant to differ), ``unused`` (its
        still is), ``stray``, ``contested`` or ``alone`` (as of `Why`), ``elsewhere`` (held against
        another head a stretch of it is one of these); empty where it is
        judged.
    drawn, across
        How many points were drawn, and how many lie across from the sculpt's outline.
    tolerance_mm
        What is allowed.
    places
        Those points, in order; at most some hundreds of a round.
    worst
        The stretch that decides; None where nothing lies across.
    verdict
        Unchecked where there is a reason, but doubtful where it is ``contested`` or ``alone``.
    stray
        The longest stretch of it that is not used.
    """

    still: str
    outline: str
    reason: str
    drawn: int
    across: int
    tolerance_mm: float
    verdict: Verdict
    places: tuple[OutlinePlace, ...] = ()
    worst: OutlineStretch | None = None
    stray: Stray | None = None
