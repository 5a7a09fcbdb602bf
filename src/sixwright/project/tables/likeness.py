"""The tables that likeness rests on: sculpts, rounds, landmarks and what is meant to differ."""

from dataclasses import replace

from sixwright.line.likeness import PLACED
from sixwright.project.columns import ABOVE_0, CellType, ColumnSchema, SchemaGroup, TableSchema
from sixwright.project.tables.repeated import (
    EXPRESSION,
    ID,
    LANDMARK,
    NAME,
    NOTE,
    PERSON,
    SHA256,
)
from sixwright.project.tables.stills import STILLS

_SD_MM = ColumnSchema(
    "sd_mm",
    CellType.NUMBER,
    unit="mm",
    label="Spread, mm",
    meaning="how well its place is defined along the surface, at full size: a standard deviation",
    empty="a usual spread",
)
_TOLERANCE = ColumnSchema(
    "tolerance_mm",
    CellType.NUMBER,
    unit="mm",
    label="Tolerance, mm",
    allowed=ABOVE_0,
    meaning="how far off it may be",
)
_SPOT_MM = tuple(
    ColumnSchema(f"{axis}_mm", CellType.REAL, unit="mm", label=f"{axis}, mm", meaning=where)
    for axis, where in (
        ("x", "to the figure’s left"),
        ("y", "upwards"),
        ("z", "towards where the face looks"),
    )
)
_SCULPT = ColumnSchema(
    "sculpt",
    CellType.ID,
    required=True,
    refers=("sculpts",),
    label="Sculpt",
    meaning="the sculpt",
)

LIKENESS = SchemaGroup(
    "The tables of likeness",
    "How they are used is in [topics/likeness.md](topics/likeness.md). Lengths are mm at 1:6: x to "
    "the figure’s left, y up, z where the face looks. Places in a still are pixels of the full "
    "image: x right, y down, the centre of the top-left pixel is (0, 0).",
    (
        TableSchema(
            "sculpts",
            "sculpts.csv",
            ("id",),
            (
                ID,
                ColumnSchema(
                    "part",
                    CellType.ID,
                    refers=("parts",),
                    label="Part",
                    asked=True,
                    meaning="the part that it is the sculpt of",
                ),
                PERSON,
                EXPRESSION,
                _TOLERANCE,
                NOTE,
            ),
            one="sculpt",
            title="Sculpts",
            meaning="One row a head sculpt, whatever its round.",
        ),
        TableSchema(
            "rounds",
            "rounds.csv",
            ("id",),
            (
                ID,
                _SCULPT,
                ColumnSchema(
                    "number",
                    CellType.COUNT,
                    label="Round",
                    asked=True,
                    meaning="the number of the delivery: 1 is the first",
                ),
                ColumnSchema(
                    "date",
                    CellType.DATE,
                    label="Date",
                    asked=True,
                    meaning="the day on which it came",
                ),
                ColumnSchema("mesh", CellType.TEXT, label="Mesh", meaning="its file in the folder"),
                SHA256,
                ColumnSchema(
                    "unit", CellType.TEXT, label="Unit", meaning="the unit of the file’s lengths"
                ),
                ColumnSchema(
                    "up", CellType.TEXT, label="Up", meaning="the file’s axis that points up"
                ),
                ColumnSchema(
                    "front",
                    CellType.TEXT,
                    label="Front",
                    meaning="the file’s axis that points where the face looks",
                ),
                ColumnSchema("maker", CellType.TEXT, label="Maker", meaning="who delivered it"),
                ColumnSchema(
                    "remark", CellType.TEXT, label="Remark", meaning="what the maker said of it"
                ),
                NOTE,
            ),
            one="round",
            title="Rounds",
            meaning="One row a delivery of a sculpt.",
        ),
        TableSchema(
            "landmarks",
            "landmarks.csv",
            ("round", "landmark", "side"),
            (
                ColumnSchema(
                    "round",
                    CellType.ID,
                    required=True,
                    refers=("rounds",),
                    label="Round",
                    meaning="the round that it lies on",
                ),
                *LANDMARK,
                *_SPOT_MM,
                replace(
                    _SD_MM,
                    allowed=ABOVE_0,
                    meaning="how well it was placed: standard deviation of a coordinate",
                ),
                ColumnSchema(
                    "how",
                    CellType.CHOICE,
                    choices=PLACED,
                    label="How",
                    meaning="how it came to its place",
                    empty="placed",
                ),
                NOTE,
            ),
            one="landmark",
            title="Landmarks",
            meaning="Where a landmark lies on a round.",
        ),
        TableSchema(
            "targets",
            "targets.csv",
            ("sculpt", "landmark", "side"),
            (
                _SCULPT,
                *LANDMARK,
                *(
                    replace(column, meaning=f"what is meant to remain, {column.meaning}")
                    for column in _SPOT_MM
                ),
                replace(_TOLERANCE, empty="the sculpt’s"),
                ColumnSchema("reason", CellType.TEXT, label="Reason", meaning="why it is meant"),
                NOTE,
            ),
            one="target",
            title="Targets",
            meaning="A difference from the person that is meant, or the tolerance of one landmark.",
        ),
        TableSchema(
            "terms",
            "terms.csv",
            ("id",),
            (
                ID,
                NAME,
                ColumnSchema(
                    "rigid",
                    CellType.BOOLEAN,
                    label="Rigid",
                    meaning="whether it belongs to the skull, so that no expression moves it",
                    empty="no",
                ),
                ColumnSchema(
                    "contour",
                    CellType.BOOLEAN,
                    label="Contour",
                    meaning="whether it is the edge of the head in a still",
                    empty="no",
                ),
                _SD_MM,
                ColumnSchema(
                    "slip_mm",
                    CellType.NUMBER,
                    unit="mm",
                    label="Slip, mm",
                    meaning="how far expressions move it though it is rigid, at full size: a "
                    "standard deviation",
                    empty="not at all",
                ),
                NOTE,
            ),
            one="landmark of your own",
            title="Landmarks of your own",
            meaning="Landmarks that the list of anthropometric ones has not.",
        ),
        *STILLS,
    ),
    keys=tuple(
        ColumnSchema(
            f"marking.{word}_px",
            CellType.NUMBER,
            unit="px",
            label=f"Spread of a mark that is {said}, px",
            allowed=ABOVE_0,
            meaning=f"standard deviation of a mark that is said to be {said}",
            empty=usual,
        )
        for word, said, usual in (
            ("sharp", "sharp", "1.5"),
            ("soft", "soft", "4"),
            ("guess", "a guess", "10"),
        )
    ),
)
