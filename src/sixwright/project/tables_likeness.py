"""The tables that likeness rests on: sculpts, rounds, landmarks, stills and what they show."""

from sixwright.line.landmarks import LANDMARKS
from sixwright.line.likeness import PLACED, SHOWN, SIDES, STATES
from sixwright.project.columns import Cell, Column, Table

_ID = Column("id", Cell.ID, required=True, label="Id")
_NOTE = Column("note", Cell.TEXT, label="Note")
_SD_MM = Column("sd_mm", Cell.NUMBER, unit="mm", label="Spread, mm")
_SD_PX = Column("sd_px", Cell.NUMBER, unit="px", label="Spread, px")
_TOLERANCE = Column("tolerance_mm", Cell.NUMBER, unit="mm", label="Tolerance, mm")
_LANDMARK = (
    Column(
        "landmark",
        Cell.ID,
        required=True,
        refers=("terms",),
        also=tuple(LANDMARKS),
        label="Landmark",
    ),
    Column("side", Cell.CHOICE, required=True, choices=SIDES, label="Side"),
)
_SPOT_MM = tuple(Column(f"{axis}_mm", Cell.REAL, unit="mm", label=f"{axis}, mm") for axis in "xyz")
_SPOT_PX = tuple(Column(f"{axis}_px", Cell.REAL, unit="px", label=f"{axis}, px") for axis in "xy")
_SCULPT = Column("sculpt", Cell.ID, required=True, refers=("sculpts",), label="Sculpt")
_STILL = Column("still", Cell.ID, required=True, refers=("stills",), label="Still")

LIKENESS_TABLES: tuple[Table, ...] = (
    Table(
        "sculpts",
        "sculpts.csv",
        ("id",),
        (
            _ID,
            Column("part", Cell.ID, refers=("parts",), label="Part"),
            Column("person", Cell.ID, label="Person"),
            Column("expression", Cell.ID, label="Expression"),
            _TOLERANCE,
            _NOTE,
        ),
    ),
    Table(
        "rounds",
        "rounds.csv",
        ("id",),
        (
            _ID,
            _SCULPT,
            Column("number", Cell.COUNT, label="Round"),
            Column("date", Cell.DATE, label="Date"),
            Column("mesh", Cell.TEXT, label="Mesh"),
            Column("sha256", Cell.TEXT, label="SHA-256"),
            Column("unit", Cell.TEXT, label="Unit"),
            Column("up", Cell.TEXT, label="Up"),
            Column("front", Cell.TEXT, label="Front"),
            Column("maker", Cell.TEXT, label="Maker"),
            Column("remark", Cell.TEXT, label="Remark"),
            _NOTE,
        ),
    ),
    Table(
        "landmarks",
        "landmarks.csv",
        ("round", "landmark", "side"),
        (
            Column("round", Cell.ID, required=True, refers=("rounds",), label="Round"),
            *_LANDMARK,
            *_SPOT_MM,
            _SD_MM,
            Column("how", Cell.CHOICE, choices=PLACED, label="How"),
            _NOTE,
        ),
    ),
    Table(
        "targets",
        "targets.csv",
        ("sculpt", "landmark", "side"),
        (
            _SCULPT,
            *_LANDMARK,
            *_SPOT_MM,
            _TOLERANCE,
            Column("reason", Cell.TEXT, label="Reason"),
            _NOTE,
        ),
    ),
    Table(
        "terms",
        "terms.csv",
        ("id",),
        (
            _ID,
            Column("name", Cell.TEXT, label="Name"),
            Column("rigid", Cell.BOOLEAN, label="Rigid"),
            Column("contour", Cell.BOOLEAN, label="Contour"),
            _SD_MM,
            _NOTE,
        ),
    ),
    Table(
        "stills",
        "stills.csv",
        ("id",),
        (
            _ID,
            Column("file", Cell.TEXT, label="File"),
            Column("sha256", Cell.TEXT, label="SHA-256"),
            Column("width_px", Cell.NUMBER, unit="px", label="Width, px"),
            Column("height_px", Cell.NUMBER, unit="px", label="Height, px"),
            Column("person", Cell.ID, label="Person"),
            Column("look", Cell.ID, refers=("looks",), label="Look"),
            Column("expression", Cell.ID, label="Expression"),
            Column("camera", Cell.ID, label="Camera"),
            Column("focal_px", Cell.NUMBER, unit="px", label="Focal length, px"),
            Column("focal_sd_log", Cell.NUMBER, label="Its spread, log"),
            Column("squeeze", Cell.NUMBER, label="Squeeze"),
            Column("cropped", Cell.BOOLEAN, label="Cropped"),
            Column("mirrored", Cell.BOOLEAN, label="Mirrored"),
            Column("may_publish", Cell.BOOLEAN, label="May be shown"),
            _NOTE,
        ),
    ),
    Table(
        "sightings",
        "sightings.csv",
        ("still", "landmark", "side"),
        (
            _STILL,
            *_LANDMARK,
            *_SPOT_PX,
            _SD_PX,
            Column("how", Cell.CHOICE, choices=SHOWN, label="How"),
            Column("state", Cell.CHOICE, choices=STATES, label="State"),
            _NOTE,
        ),
    ),
    Table(
        "outlines",
        "outlines.csv",
        ("still", "outline", "point"),
        (
            _STILL,
            Column("outline", Cell.ID, required=True, label="Outline"),
            Column("point", Cell.COUNT, required=True, label="Point"),
            *(
                Column(column.name, column.cell, required=True, unit="px", label=column.label)
                for column in _SPOT_PX
            ),
            _SD_PX,
            _NOTE,
        ),
    ),
)
