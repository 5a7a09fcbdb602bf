"""Pictures as data: made by topics, drawn by reports, placed by web.

A `Chart` has axes with units; a `Drawing` is in millimetres and always gets a scale bar. Both
carry `summary`, the same content in words, for those who cannot see it.
"""

from dataclasses import dataclass
from enum import StrEnum

from sixwright.kernel.errors import InternalError
from sixwright.kernel.sentences import Count
from sixwright.kernel.ticks import MOST_TICKS, Ticks


class Tone(StrEnum):
    """How a mark is inked; only trouble has a colour."""

    INK = "ink"
    SOFT = "soft"
    FAINT = "faint"
    TROUBLE = "trouble"


@dataclass(frozen=True, slots=True)
class Axis:
    """What an axis shows: its label with the unit, its range, and at most `MOST_TICKS` ticks."""

    label: str
    low: float
    high: float
    ticks: Ticks = ()

    def __post_init__(self) -> None:
        if len(self.ticks) > MOST_TICKS:
            raise InternalError(
                f"ticks must be at most {MOST_TICKS}; received {len(self.ticks)}: {self.label!r}."
            )


@dataclass(frozen=True, slots=True)
class Bar:
    """A horizontal bar from `start` to `end` on the x axis, in row `row`, with its own label."""

    row: int
    start: float
    end: float
    tone: Tone = Tone.SOFT
    label: str = ""
    title: str = ""


@dataclass(frozen=True, slots=True)
class Polyline:
    """A polyline through `points` (x, y), labelled at its end."""

    points: tuple[tuple[float, float], ...]
    tone: Tone = Tone.INK
    label: str = ""
    dashed: bool = False
    width: float = 2.0


@dataclass(frozen=True, slots=True)
class Band:
    """An uncertainty band between two curves: (x, low, high)."""

    points: tuple[tuple[float, float, float], ...]
    tone: Tone = Tone.FAINT


@dataclass(frozen=True, slots=True)
class Point:
    """A marked point with a direct label: words, or a count that the locale writes."""

    x: float
    y: float
    tone: Tone = Tone.INK
    label: str | Count = ""
    radius: float = 3.0


@dataclass(frozen=True, slots=True)
class Shade:
    """A stretch of row `row` on the x axis, the darker the larger its `share` (0 to 1) is."""

    row: int
    start: float
    end: float
    share: float
    title: str = ""


ChartMark = Bar | Shade | Polyline | Band | Point


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart; with `rows` its y axis is a list of names and its marks are bars.

    Attributes
    ----------
    title, summary
        What it shows, and the same content in words.
    caption
        What stands under it.
    x, y
        Axes; `y` is None where `rows` name the bars.
    """

    title: str
    summary: str
    x: Axis
    y: Axis | None = None
    rows: tuple[str, ...] = ()
    marks: tuple[ChartMark, ...] = ()
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Arrow:
    """An arrow from one place of a drawing to another, in mm."""

    start: tuple[float, float]
    end: tuple[float, float]
    tone: Tone = Tone.INK
    label: str = ""


@dataclass(frozen=True, slots=True)
class Ellipse:
    """A region: centre, half axes in mm, and the turn of the first axis (radians)."""

    centre: tuple[float, float]
    half_axes: tuple[float, float]
    turn_rad: float
    tone: Tone = Tone.FAINT


DrawingMark = Polyline | Point | Arrow | Ellipse


@dataclass(frozen=True, slots=True)
class Drawing:
    """A drawing in millimetres: x to the right, y up.

    Attributes
    ----------
    low, high
        Corners of what is shown, mm.
    scale_bar_mm
        Length of the scale bar.
    """

    title: str
    summary: str
    low: tuple[float, float]
    high: tuple[float, float]
    scale_bar_mm: float
    marks: tuple[DrawingMark, ...] = ()
    caption: str = ""


Picture = Chart | Drawing
