"""What further stills, outlines or landmarks would tell of a head."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Viewpoint:
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
class Help:
    """What a kind of further work would do for a head.

    Attributes
    ----------
    kind
        `outlines`, `stills` or `landmarks`.
    gain
        Share of the summed spreads that it would cut.
    minutes
        What it takes.
    views
        Of stills, the viewpoints.
    """

    kind: str
    gain: float
    minutes: float
    views: tuple[Viewpoint, ...] = ()
