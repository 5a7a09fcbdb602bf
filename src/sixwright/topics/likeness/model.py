"""What likeness needs and what it answers: where each round of each head is off.

Lengths are mm at 1:6 in the sculpt frame of the round: x to the figure's left, y up, z where the
face looks. A correction is what to add to the sculpt to reach the person.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from sixwright.kernel.intervals import Interval, Verdict
from sixwright.line.files import FileMark
from sixwright.line.likeness import (
    Key,
    OutlinePoint,
    Placement,
    Round,
    Sculpt,
    SculptAsk,
    Sighting,
    Still,
    Target,
    Term,
)
from sixwright.line.picture_files import PictureFile
from sixwright.topics.likeness.ask_answers import AskAnswer
from sixwright.topics.likeness.further.model import Help, Viewpoint
from sixwright.topics.likeness.outlines.model import OutlineAnswer
from sixwright.topics.likeness.planted import Planted
from sixwright.topics.likeness.sculpts import SculptFile, SurfaceMark

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]


@dataclass(frozen=True, slots=True)
class Inputs:
    """What decides the likeness of a line's heads.

    Attributes
    ----------
    line, seed
        Id of the line, and the seed of every simulation.
    terms
        Landmarks of the line's own, by id; the built-in ones need none.
    sculpts, rounds, stills
        By id, in the folder's order.
    placements, targets, sightings, outlines
        The rows, in the folder's order.
    pictures
        What lies where stills name their files, by that name; a file that is not among them was
        not looked for, and its still is taken by its row.
    meshes
        The files that rounds name, by path, as they lay there.
    surfaces
        Landmarks on the meshes of rounds, by round: read from those files.
    asks
        What sculptors were asked, by id; no round is judged by it.
    """

    line: str
    seed: int
    terms: Mapping[str, Term]
    sculpts: Mapping[str, Sculpt]
    rounds: Mapping[str, Round]
    placements: tuple[Placement, ...]
    targets: tuple[Target, ...]
    stills: Mapping[str, Still]
    sightings: tuple[Sighting, ...]
    outlines: tuple[OutlinePoint, ...] = ()
    pictures: Mapping[str, PictureFile] = field(default_factory=dict)
    meshes: Mapping[str, FileMark] = field(default_factory=dict)
    surfaces: Mapping[str, tuple[SurfaceMark, ...]] = field(default_factory=dict)
    asks: Mapping[str, SculptAsk] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Flaw:
    """Something about a still that its row does not say, or says wrongly.

    Attributes
    ----------
    kind
        ``mirrored``, ``squeeze`` or ``focal``.
    stated, found
        What the row says and what the sightings say: the squeeze, the focal length (px); 0 or 1
        for mirrored.
    gain_px
        How much better the sightings fit (px), the middle of their distances.
    certain
        Whether chance is ruled out; else the finding is doubtful.
    hidden
        Sightings that, as the row says, would lie on the far side of the head.
    """

    kind: str
    stated: float
    found: float
    gain_px: float
    certain: bool = True
    hidden: int = 0


@dataclass(frozen=True, slots=True)
class StillAnswer:
    """How one still was taken, and how well its sightings fit.

    Attributes
    ----------
    used
        Whether it took part; where not, `reason` says why: ``file`` (it is not there, or no
        picture of the size in its row), ``size``, ``sightings``, ``sculpt``,
        ``frame`` (its size is that of another file), ``copy`` (of another still's sightings),
        ``unfit`` (most of its sightings fit no camera), ``sides`` (left and right are marked the
        other way round), ``swapped`` (so, and it is mirrored), ``slant`` (bent as a picture of a
        picture is), ``robbed`` (without what is wrong in it too few sightings are left) or
        ``unsolved`` (no cameras were found). Of a used still, ``flipped``: it fits
        only mirrored, and so do most of its person's.
    sightings
        Sightings that count, those found wrong included.
    f_px
        Focal length with its 95 % interval; None where the still is not used, as all below.
    c_px
        Principal point, of the mirrored image where it is mirrored.
    squeeze, mirrored
        As found.
    rotation, t_mm
        X_c = R X + t in the frame of the round, mm at 1:6.
    residual_rms_px
        Root mean square distance of the sightings kept, along each axis.
    rejected
        Landmarks whose sightings were found wrong.
    flaws
        What the row does not say.
    left_out
        How far its sightings are from what the other stills predict, over what is expected: 1
        where they agree; with the 95 and 99.9 % limits; None where it cannot be said.
    """

    id: str
    used: bool
    reason: str = ""
    sightings: int = 0
    f_px: Interval | None = None
    c_px: tuple[float, float] | None = None
    squeeze: float = 1.0
    mirrored: bool = False
    rotation: Matrix | None = None
    t_mm: Vector | None = None
    residual_rms_px: float | None = None
    rejected: tuple[Key, ...] = ()
    flaws: tuple[Flaw, ...] = ()
    left_out: tuple[float, float, float] | None = None


@dataclass(frozen=True, slots=True)
class LandmarkAnswer:
    """Where one landmark of a round is off.

    Attributes
    ----------
    sightings
        Sightings that were kept.
    correction_mm
        What to add to the sculpt; None where no still sees it.
    meant_mm
        The correction that is meant to remain.
    covariance_mm2
        Of the correction, after alignment; None where no still sees it.
    off_mm
        Distance from what is meant to remain, with its one-sided 95 % bounds; of poor stills in
        the directions that are seen, the lower bound over all landmarks of the head together;
        None where nothing is seen.
    tolerance_mm
        What is allowed.
    p_adjusted
        One-sided chance of a landmark at the edge of its tolerance looking this far off, after
        control of false discoveries over the head; of poor stills, chance of a head within
        tolerance everywhere looking this far off at its worst place.
    chance_off
        Chance that it is off by more than allowed, by the belief about the sculpt; None where
        nothing is believed.
    ask_mm
        What a sculptor is asked to add; None where it is best left alone.
    excess_mm
        By how much more than is allowed it is expected to be off.
    blind
        Unit vectors of directions that these stills do not decide.
    verdict, reason
        The verdict; the reason where it is not the interval alone: ``unseen``, ``blind``,
        ``contested``, ``few-stills``, ``one-sighting``, ``two-sightings``, ``curved``,
        ``flipped``, ``exchanged``, ``misfit``, ``bent``, ``many``, ``only-believed``,
        ``stray-outline``.
    smallest_mm
        Least move in width, height and depth that would be noticed 9 times in 10; None in a
        direction in which none would.
    """

    landmark: str
    side: str
    name: str
    sightings: int
    tolerance_mm: float
    verdict: Verdict
    reason: str = ""
    correction_mm: Vector | None = None
    meant_mm: Vector = (0.0, 0.0, 0.0)
    covariance_mm2: Matrix | None = None
    off_mm: Interval | None = None
    p_adjusted: float | None = None
    chance_off: float | None = None
    ask_mm: Vector | None = None
    excess_mm: float | None = None
    blind: tuple[Vector, ...] = ()
    smallest_mm: tuple[float | None, float | None, float | None] = (None, None, None)
    place_mm: Vector | None = None
    gauge_weight: float = 0.0
    moved_mm: Interval | None = None

    @property
    def key(self) -> Key:
        """Landmark and side."""
        return (self.landmark, self.side)

    @property
    def weight_mm(self) -> float:
        """How much it matters: by how much more than allowed it is expected to be off."""
        if self.excess_mm is not None:
            return self.excess_mm
        if self.off_mm is None:
            return 0.0
        sure = self.verdict is Verdict.FAILS
        return float(self.off_mm.low if sure else self.off_mm.value)


@dataclass(frozen=True, slots=True)
class Feature:
    """How one feature of a round is off as a whole: a nose, an ear.

    Attributes
    ----------
    name
        In plain words.
    landmarks
        Those of it that something is believed of.
    move_mm
        What a sculptor is asked to move as a whole; None: leave it, or move single landmarks.
    covariance_mm2
        Of the move that its landmarks share, whether it is asked for or not.
    distance_mm
        Length of that move, with its one-sided 95 % bounds.
    size
        Size of the person's feature, the sculpt's being 1; None where it has none.
    half_mm
        How far its landmarks lie from its middle, root mean square.
    resized
        Whether the sculptor is asked to change the size.
    chance_off
        Chance that the shared move, or the size, is off by more than allowed.
    excess_mm
        By how much more than allowed its landmarks are expected to be off, summed.
    left
        What is asked of single landmarks after that.
    """

    name: str
    landmarks: tuple[Key, ...]
    move_mm: Vector | None
    covariance_mm2: Matrix
    distance_mm: Interval
    size: Interval | None
    half_mm: float
    resized: bool
    chance_off: float
    excess_mm: float
    verdict: Verdict
    left: tuple[tuple[Key, Vector], ...] = ()

    @property
    def grows(self) -> bool:
        """Whether the size that is asked for is the larger one."""
        return self.size is not None and float(self.size.value) > 1

    @property
    def resize_mm(self) -> Interval | None:
        """By how much each side is to change, larger or smaller; from zero where it may be none."""
        if self.size is None:
            return None
        low, value, high = (
            (float(v) - 1) * self.half_mm for v in (self.size.low, self.size.value, self.size.high)
        )
        ends = sorted((abs(low), abs(high))) if low * high > 0 else [0.0, max(abs(low), abs(high))]
        return Interval(
            abs(value), min(ends[0], abs(value)), max(ends[1], abs(value)), self.size.level
        )


@dataclass(frozen=True, slots=True)
class RoundAnswer:
    """How one round of a head stands to the person.

    Attributes
    ----------
    latest
        Whether it is its sculpt's latest round with landmarks: the one that is judged.
    gauge
        Landmarks that the person was laid on the sculpt by, with their weights.
    smallest_mm
        Median over the landmarks seen of the least error that would be noticed 9 times in 10, in
        width, height and depth; None where none would.
    freedom
        Degrees of freedom of the noise.
    curved
        Whether simulated stills scatter more than the linearised intervals say.
    flipped
        How many stills fit only mirrored, where they are most: 0 where they are not.
    helps
        What further work would do, most a minute first.
    next_views, gains
        The best viewpoints for one more still, and all that were tried, the best first.
    by_definition
        Share of what sightings leave open that is how landmarks are defined, not pixels.
    hidden
        Stills and landmarks that are marked in them though the round's mesh hides them there; None
        where no mesh was looked at.
    outlines
        Those drawn on stills against the round's mesh, in the folder's order.
    """

    round: str
    sculpt: str
    number: int | None
    person: str | None
    expression: str
    latest: bool
    gauge: tuple[tuple[Key, float], ...] = ()
    smallest_mm: tuple[float | None, float | None, float | None] = (None, None, None)
    stills: tuple[StillAnswer, ...] = ()
    landmarks: tuple[LandmarkAnswer, ...] = ()
    features: tuple[Feature, ...] = ()
    next_views: tuple[Viewpoint, ...] = ()
    gains: tuple[Viewpoint, ...] = ()
    helps: tuple[Help, ...] = ()
    planted: Planted | None = None
    freedom: float = 0.0
    noise: float | None = None
    curved: bool = False
    flipped: int = 0
    by_definition: float | None = None
    hidden: tuple[tuple[str, Key], ...] | None = None
    outlines: tuple[OutlineAnswer, ...] = ()

    @property
    def name(self) -> str:
        """What the producer calls it: the sculpt, and the round's number."""
        return self.sculpt if self.number is None else f"{self.sculpt}, round {self.number}"


@dataclass(frozen=True, slots=True)
class Answer:
    """Every round of every head, every file that a round names, and what became of every ask."""

    rounds: tuple[RoundAnswer, ...]
    files: tuple[SculptFile, ...] = ()
    asks: tuple[AskAnswer, ...] = ()
