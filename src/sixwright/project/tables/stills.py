"""Stills, and what they show: sightings of landmarks and points of outlines."""

from dataclasses import replace

from sixwright.line.likeness import SHOWN, STATES
from sixwright.project.columns import ABOVE_0, CellType, ColumnSchema, TableSchema
from sixwright.project.tables.repeated import EXPRESSION, ID, LANDMARK, NOTE, PERSON, SHA256

_SD_PX = ColumnSchema(
    "sd_px",
    CellType.NUMBER,
    unit="px",
    label="Spread, px",
    allowed=ABOVE_0,
    meaning="how well it was marked: standard deviation of a coordinate",
    empty="a usual spread",
)
_SPOT_PX = tuple(
    ColumnSchema(f"{axis}_px", CellType.REAL, unit="px", label=f"{axis}, px", meaning=where)
    for axis, where in (
        ("x", "pixels to the right, from the centre of the top-left pixel"),
        ("y", "pixels down, from the centre of the top-left pixel"),
    )
)
_STILL = ColumnSchema(
    "still",
    CellType.ID,
    required=True,
    refers=("stills",),
    label="Still",
    meaning="the still",
)

STILLS: tuple[TableSchema, ...] = (
    TableSchema(
        "stills",
        "stills.csv",
        ("id",),
        (
            ID,
            ColumnSchema("file", CellType.TEXT, label="File", asked=True, meaning="its file"),
            SHA256,
            ColumnSchema(
                "width_px",
                CellType.NUMBER,
                unit="px",
                label="Width, px",
                allowed=ABOVE_0,
                meaning="width of the full image",
            ),
            ColumnSchema(
                "height_px",
                CellType.NUMBER,
                unit="px",
                label="Height, px",
                allowed=ABOVE_0,
                meaning="height of the full image",
            ),
            PERSON,
            ColumnSchema(
                "look",
                CellType.ID,
                refers=("looks",),
                label="Look",
                meaning="the look that it shows",
            ),
            EXPRESSION,
            ColumnSchema(
                "camera",
                CellType.ID,
                label="Camera",
                meaning="stills that name one camera share its focal length",
                empty="a camera of its own",
            ),
            ColumnSchema(
                "focal_px",
                CellType.NUMBER,
                unit="px",
                label="Focal length, px",
                allowed=ABOVE_0,
                meaning="the focal length, as far as it is known",
            ),
            ColumnSchema(
                "focal_sd_log",
                CellType.NUMBER,
                label="Its spread, log",
                allowed=ABOVE_0,
                meaning="standard deviation of the natural logarithm of the focal length",
                empty="a usual spread",
            ),
            ColumnSchema(
                "squeeze",
                CellType.NUMBER,
                label="Squeeze",
                allowed=ABOVE_0,
                meaning="width of the image over that of the scene",
                empty="1",
            ),
            ColumnSchema(
                "cropped",
                CellType.BOOLEAN,
                label="Cropped",
                meaning="whether the middle of the image may not be the camera’s",
                empty="no",
            ),
            *(
                ColumnSchema(
                    f"bar_{side}_px",
                    CellType.COUNT,
                    unit="px",
                    label=f"Bar {where}, px",
                    meaning=f"how wide the black bar {where} is, which is left out",
                    empty="no bar",
                )
                for side, where in (
                    ("left", "at the left"),
                    ("top", "above"),
                    ("right", "at the right"),
                    ("bottom", "below"),
                )
            ),
            ColumnSchema(
                "mirrored",
                CellType.BOOLEAN,
                label="Mirrored",
                meaning="whether left and right are swapped",
                empty="it is found out",
            ),
            ColumnSchema(
                "may_publish",
                CellType.BOOLEAN,
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
    TableSchema(
        "sightings",
        "sightings.csv",
        ("still", "landmark", "side"),
        (
            _STILL,
            *LANDMARK,
            *_SPOT_PX,
            _SD_PX,
            ColumnSchema(
                "how",
                CellType.CHOICE,
                choices=SHOWN,
                label="How",
                meaning="whether it is marked as a point or somewhere along a contour",
                empty="as the landmark is",
            ),
            ColumnSchema(
                "state",
                CellType.CHOICE,
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
    TableSchema(
        "outlines",
        "outlines.csv",
        ("still", "outline", "point"),
        (
            _STILL,
            ColumnSchema(
                "outline",
                CellType.ID,
                required=True,
                label="Outline",
                meaning="which outline, as in `jaw-left`",
            ),
            ColumnSchema(
                "point",
                CellType.COUNT,
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
