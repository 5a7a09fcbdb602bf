"""Stills, and what they show: sightings of landmarks and points of outlines."""

from dataclasses import replace

from sixwright.line.likeness import SHOWN, STATES
from sixwright.project.columns import ABOVE_0, Cell, Column, Table
from sixwright.project.tables.repeated import EXPRESSION, ID, LANDMARK, NOTE, PERSON, SHA256

_SD_PX = Column(
    "sd_px",
    Cell.NUMBER,
    unit="px",
    label="Spread, px",
    allowed=ABOVE_0,
    meaning="how well it was marked: standard deviation of a coordinate",
    empty="a usual spread",
)
_SPOT_PX = tuple(
    Column(f"{axis}_px", Cell.REAL, unit="px", label=f"{axis}, px", meaning=where)
    for axis, where in (
        ("x", "pixels to the right, from the centre of the top-left pixel"),
        ("y", "pixels down, from the centre of the top-left pixel"),
    )
)
_STILL = Column(
    "still",
    Cell.ID,
    required=True,
    refers=("stills",),
    label="Still",
    meaning="the still",
)

STILLS: tuple[Table, ...] = (
    Table(
        "stills",
        "stills.csv",
        ("id",),
        (
            ID,
            Column("file", Cell.TEXT, label="File", asked=True, meaning="its file"),
            SHA256,
            Column(
                "width_px",
                Cell.NUMBER,
                unit="px",
                label="Width, px",
                allowed=ABOVE_0,
                meaning="width of the full image",
            ),
            Column(
                "height_px",
                Cell.NUMBER,
                unit="px",
                label="Height, px",
                allowed=ABOVE_0,
                meaning="height of the full image",
            ),
            PERSON,
            Column(
                "look",
                Cell.ID,
                refers=("looks",),
                label="Look",
                meaning="the look that it shows",
            ),
            EXPRESSION,
            Column(
                "camera",
                Cell.ID,
                label="Camera",
                meaning="stills that name one camera share its focal length",
                empty="a camera of its own",
            ),
            Column(
                "focal_px",
                Cell.NUMBER,
                unit="px",
                label="Focal length, px",
                allowed=ABOVE_0,
                meaning="the focal length, as far as it is known",
            ),
            Column(
                "focal_sd_log",
                Cell.NUMBER,
                label="Its spread, log",
                allowed=ABOVE_0,
                meaning="standard deviation of the natural logarithm of the focal length",
                empty="a usual spread",
            ),
            Column(
                "squeeze",
                Cell.NUMBER,
                label="Squeeze",
                allowed=ABOVE_0,
                meaning="width of the image over that of the scene",
                empty="1",
            ),
            Column(
                "cropped",
                Cell.BOOLEAN,
                label="Cropped",
                meaning="whether the middle of the image may not be the camera’s",
                empty="no",
            ),
            Column(
                "mirrored",
                Cell.BOOLEAN,
                label="Mirrored",
                meaning="whether left and right are swapped",
                empty="it is found out",
            ),
            Column(
                "may_publish",
                Cell.BOOLEAN,
                label="May be shown",
                meaning="whether it may stand in an update to buyers",
                empty="no",
            ),
            NOTE,
        ),
        one="still",
        title="Stills",
        meaning="One row a reference photo or film frame.",
    ),
    Table(
        "sightings",
        "sightings.csv",
        ("still", "landmark", "side"),
        (
            _STILL,
            *LANDMARK,
            *_SPOT_PX,
            _SD_PX,
            Column(
                "how",
                Cell.CHOICE,
                choices=SHOWN,
                label="How",
                meaning="whether it is marked as a point or somewhere along a contour",
                empty="as the landmark is",
            ),
            Column(
                "state",
                Cell.CHOICE,
                choices=STATES,
                label="State",
                meaning="what is known of it; only seen counts",
                empty="proposed",
            ),
            NOTE,
        ),
        one="sighting",
        title="Sightings",
        meaning="Where a still shows a landmark.",
    ),
    Table(
        "outlines",
        "outlines.csv",
        ("still", "outline", "point"),
        (
            _STILL,
            Column(
                "outline",
                Cell.ID,
                required=True,
                label="Outline",
                meaning="which outline, as in `jaw-left`",
            ),
            Column(
                "point",
                Cell.COUNT,
                required=True,
                label="Point",
                meaning="the number of the point along it",
            ),
            *(replace(column, required=True) for column in _SPOT_PX),
            _SD_PX,
            NOTE,
        ),
        one="point of an outline",
        title="Outlines",
        meaning="Points along an outline that a still shows.",
    ),
)
