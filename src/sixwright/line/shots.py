"""What is drawn of a head through a lens: all that a picture rests on, and nothing of how."""

from dataclasses import dataclass
from hashlib import sha256

from sixwright.line.meshes import MeshRef

Vector = tuple[float, float, float]
Matrix = tuple[Vector, Vector, Vector]


@dataclass(frozen=True, slots=True)
class Camera:
    """A still's solved camera in the sculpt frame of a round, as in docs/topics/likeness.md.

    Attributes
    ----------
    c_px
        Principal point, of the mirrored image where it is mirrored.
    """

    rotation: Matrix
    t_mm: Vector
    f_px: float
    c_px: tuple[float, float]
    squeeze: float
    mirrored: bool
    width_px: float
    height_px: float


@dataclass(frozen=True, slots=True)
class ShotSighting:
    """A sighting: where a still shows a landmark, and whether it was left out as wrong."""

    place_px: tuple[float, float]
    rejected: bool


@dataclass(frozen=True, slots=True)
class Placed:
    """A landmark of the sculpt, and what to add to it.

    Attributes
    ----------
    place_mm, move_mm
        In the sculpt frame; `move_mm` is None where nothing is asked.
    fails
        Whether it is shown to be wrong.
    """

    place_mm: Vector
    move_mm: Vector | None
    fails: bool


@dataclass(frozen=True, slots=True)
class Trace:
    """An outline drawn on a still, beside the sculpt's.

    Attributes
    ----------
    drawn_px, sculpt_px
        Its points, and where the sculpt's outline is across from each.
    wrong
        Of each point whether the sculpt is shown to be wrong there.
    off_mm, words_px
        How far apart where it is wrong, out of the sculpt above 0, and where to say so; None where
        nothing is.
    """

    drawn_px: tuple[tuple[float, float], ...]
    sculpt_px: tuple[tuple[float, float], ...]
    wrong: tuple[bool, ...]
    off_mm: float | None = None
    words_px: tuple[float, float] | None = None


@dataclass(frozen=True, slots=True)
class ThroughStill:
    """A sculpt through the lens of a still.

    Attributes
    ----------
    round, still
        Ids.
    mesh, sha256
        The round's file, and its content.
    file
        The still's, in the folder.
    """

    round: str
    still: str
    mesh: MeshRef
    sha256: str
    file: str
    camera: Camera
    sightings: tuple[ShotSighting, ...]
    landmarks: tuple[Placed, ...]
    traces: tuple[Trace, ...] = ()

    @property
    def name(self) -> str:
        """Of its picture, within the line."""
        return f"{self.round}/{self.still}"

    @property
    def version(self) -> str:
        """Of what it shows: 16 hexadecimal digits."""
        return _digest(self)


@dataclass(frozen=True, slots=True)
class TwelveSides:
    """A sculpt from twelve sides."""

    round: str
    mesh: MeshRef
    sha256: str

    @property
    def name(self) -> str:
        """Of its picture, within the line."""
        return f"{self.round}/sides"

    @property
    def version(self) -> str:
        """Of what it shows: 16 hexadecimal digits."""
        return _digest(self)


@dataclass(frozen=True, slots=True)
class AskedChange:
    """What a sculptor is asked, close by: the sculpt's outline and an arrow for each move.

    Attributes
    ----------
    ask
        Id of the ask.
    still, file
        The still whose lens it is seen through, and its file; `file` is empty where the still is
        not to be shown, `still` where no still's camera is known.
    camera
        That still's; None where it is seen from `yaw_deg` instead, towards the figure's left.
    arrows
        Places of the sculpt, each with its move, mm in the sculpt frame.
    """

    round: str
    ask: str
    mesh: MeshRef
    sha256: str
    still: str
    file: str
    camera: Camera | None
    yaw_deg: float
    arrows: tuple[tuple[Vector, Vector], ...]

    @property
    def name(self) -> str:
        """Of its picture, within the line."""
        return f"{self.round}/ask-{self.ask}"

    @property
    def version(self) -> str:
        """Of what it shows: 16 hexadecimal digits."""
        return _digest(self)


@dataclass(frozen=True, slots=True)
class LensLayer:
    """One layer of a sculpt through the lens of a still; all layers of one have the same pixels.

    Attributes
    ----------
    part
        ``still``, ``sculpt`` or ``marks``.
    """

    through: ThroughStill
    part: str

    @property
    def round(self) -> str:
        """Id of the round."""
        return self.through.round

    @property
    def mesh(self) -> MeshRef:
        """The round's file."""
        return self.through.mesh

    @property
    def sha256(self) -> str:
        """Its content."""
        return self.through.sha256

    @property
    def file(self) -> str:
        """The still's, in the folder."""
        return self.through.file

    @property
    def name(self) -> str:
        """Of its picture, within the line; no id holds a dot."""
        return f"{self.through.name}.{self.part}"

    @property
    def version(self) -> str:
        """Of what it shows: 16 hexadecimal digits."""
        return _digest(self)


@dataclass(frozen=True, slots=True)
class UnseenSide:
    """A sculpt from the side that no still shows.

    Attributes
    ----------
    yaw_deg
        Of the eye, towards the figure's left.
    apart_deg
        How far from there the nearest still was taken.
    """

    round: str
    mesh: MeshRef
    sha256: str
    yaw_deg: float
    apart_deg: float
    landmarks: tuple[Placed, ...]

    @property
    def name(self) -> str:
        """Of its picture, within the line."""
        return f"{self.round}/unseen"

    @property
    def version(self) -> str:
        """Of what it shows: 16 hexadecimal digits."""
        return _digest(self)


Shot = ThroughStill | TwelveSides | AskedChange | LensLayer | UnseenSide


def _digest(shot: Shot) -> str:
    return sha256(repr(shot).encode()).hexdigest()[:16]
