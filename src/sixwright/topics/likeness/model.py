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
    Sighting,
    Still,
    Target,
    Term,
)
from sixwright.line.picture_files import PictureFile
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
        Distance of the correction from what is meant to remain, in the directions that are seen:
        95 % from above, 95 % over all landmarks of the head together from below; None where
        nothing is seen.
    tolerance_mm
        What is allowed.
    p_adjusted
        Chance of a head within tolerance everywhere looking this far off at its worst place.
    blind
        Unit vectors of directions that these stills do not decide.
    verdict, reason
        The verdict; the reason where it is not the interval alone: ``unseen``, ``blind``,
        ``contested``, ``few-stills``, ``one-sighting``, ``two-sightings``, ``curved``,
        ``flipped``, ``exchanged``, ``misfit``, ``bent``.
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
        """How much it matters: what fails is as far off as is sure, the rest as far as it seems."""
        if self.off_mm is None:
            return 0.0
        sure = self.verdict is Verdict.FAILS
        return float(self.off_mm.low if sure else self.off_mm.value)


@dataclass(frozen=True, slots=True)
class View:
    """A viewpoint for one more still.

    Attributes
    ----------
    yaw_deg, pitch_deg
        Where the camera would stand: from straight ahead towards the figure's left, and up.
    gain
        Share by which the expected spread would fall, 0 to 1.
    judged
        How many more landmarks would have no blind direction.
    """

    yaw_deg: float
    pitch_deg: float
    gain: float
    judged: int


@dataclass(frozen=True, slots=True)
class Planted:
    """Whether an error of the tolerance's size would have been noticed.

    Attributes
    ----------
    moved_mm
        How far the landmark was moved, out of the face.
    noticed
        Whether the interval of its depth then lay off zero.
    chance
        How often it would be noticed.
    """

    landmark: str
    side: str
    name: str
    moved_mm: float
    noticed: bool
    chance: float


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
    next_views: tuple[View, ...] = ()
    planted: Planted | None = None
    freedom: float = 0.0
    noise: float | None = None
    curved: bool = False
    flipped: int = 0

    @property
    def name(self) -> str:
        """What the producer calls it: the sculpt, and the round's number."""
        return self.sculpt if self.number is None else f"{self.sculpt}, round {self.number}"


@dataclass(frozen=True, slots=True)
class Answer:
    """Every round of every head, and every file that a round names, in the folder's order."""

    rounds: tuple[RoundAnswer, ...]
    files: tuple[SculptFile, ...] = ()


AXES: tuple[Vector, ...] = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def as_json(answer: Answer) -> list[dict[str, object]]:
    """The answer as `check --json` gives it: null for what is unknown."""
    return [_round_json(one) for one in answer.rounds]


def _round_json(one: RoundAnswer) -> dict[str, object]:
    return {
        "round": one.round,
        "person": one.person,
        "expression": one.expression,
        "gauge": {
            "landmarks": [list(key) for key, _ in one.gauge],
            "weights": [weight for _, weight in one.gauge],
        },
        "smallest_visible_error": [
            {"landmark": mark.landmark, "side": mark.side, "direction": list(axis), "mm": mm}
            for mark in one.landmarks
            for axis, mm in zip(AXES, mark.smallest_mm, strict=True)
        ],
        "stills": [_still_json(still) for still in one.stills if still.used],
        "landmarks": [_landmark_json(mark) for mark in one.landmarks],
        "next_views": [
            {"yaw_deg": view.yaw_deg, "pitch_deg": view.pitch_deg, "gain": view.gain}
            for view in one.next_views
        ],
    }


def _still_json(still: StillAnswer) -> dict[str, object]:
    f = still.f_px
    return {
        "id": still.id,
        "f_px": None if f is None else {"value": f.value, "low": f.low, "high": f.high},
        "c_px": None if still.c_px is None else list(still.c_px),
        "squeeze": still.squeeze,
        "mirrored": still.mirrored,
        "R": None if still.rotation is None else [list(row) for row in still.rotation],
        "t_mm": None if still.t_mm is None else list(still.t_mm),
        "residual_rms_px": still.residual_rms_px,
        "rejected": [list(key) for key in still.rejected],
    }


def _landmark_json(mark: LandmarkAnswer) -> dict[str, object]:
    covariance = mark.covariance_mm2
    return {
        "landmark": mark.landmark,
        "side": mark.side,
        "sightings": mark.sightings,
        "correction_mm": None if mark.correction_mm is None else list(mark.correction_mm),
        "covariance_mm2": None if covariance is None else [list(row) for row in covariance],
        "p_adjusted": mark.p_adjusted,
        "blind": [list(direction) for direction in mark.blind],
        "verdict": mark.verdict.value,
    }
