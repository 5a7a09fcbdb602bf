"""Columns that many tables have."""

from sixwright.line.landmarks import LANDMARKS
from sixwright.line.likeness import SIDES
from sixwright.project.columns import CellType, ColumnSchema

ID = ColumnSchema("id", CellType.ID, required=True, label="Id", meaning="its id")
NAME = ColumnSchema(
    "name", CellType.TEXT, label="Name", meaning="what you call it", asked=True, empty="its id"
)
NOTE = ColumnSchema("note", CellType.TEXT, label="Note", meaning="yours")
BOX = ColumnSchema(
    "sells",
    CellType.ID,
    required=True,
    refers=("editions", "sets"),
    label="Box",
    meaning="the edition or set",
)
LANDMARK = (
    ColumnSchema(
        "landmark",
        CellType.ID,
        required=True,
        refers=("terms",),
        also=tuple(LANDMARKS),
        label="Landmark",
        meaning="an anthropometric landmark, or one of your own",
    ),
    ColumnSchema(
        "side",
        CellType.CHOICE,
        required=True,
        choices=SIDES,
        label="Side",
        meaning="the side of the figure, not of the picture",
    ),
)
PERSON = ColumnSchema(
    "person",
    CellType.ID,
    label="Person",
    asked=True,
    meaning="whom it depicts, as an id of your own",
)
EXPRESSION = ColumnSchema(
    "expression",
    CellType.ID,
    label="Expression",
    meaning="the expression, as an id of your own",
    empty="neutral",
)
SHA256 = ColumnSchema(
    "sha256",
    CellType.TEXT,
    label="SHA-256",
    meaning="SHA-256 of the file, as hexadecimal digits",
)
