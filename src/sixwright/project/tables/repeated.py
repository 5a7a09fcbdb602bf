"""Columns that many tables have."""

from sixwright.line.landmarks import LANDMARKS
from sixwright.line.likeness import SIDES
from sixwright.project.columns import Cell, Column

ID = Column("id", Cell.ID, required=True, label="Id", meaning="its id")
NAME = Column(
    "name", Cell.TEXT, label="Name", meaning="what you call it", asked=True, empty="its id"
)
NOTE = Column("note", Cell.TEXT, label="Note", meaning="yours")
BOX = Column(
    "sells",
    Cell.ID,
    required=True,
    refers=("editions", "sets"),
    label="Box",
    meaning="the edition or set",
)
LANDMARK = (
    Column(
        "landmark",
        Cell.ID,
        required=True,
        refers=("terms",),
        also=tuple(LANDMARKS),
        label="Landmark",
        meaning="an anthropometric landmark, or one of your own",
    ),
    Column(
        "side",
        Cell.CHOICE,
        required=True,
        choices=SIDES,
        label="Side",
        meaning="the side of the figure, not of the picture",
    ),
)
PERSON = Column(
    "person",
    Cell.ID,
    label="Person",
    asked=True,
    meaning="whom it depicts, as an id of your own",
)
EXPRESSION = Column(
    "expression",
    Cell.ID,
    label="Expression",
    meaning="the expression, as an id of your own",
    empty="neutral",
)
SHA256 = Column(
    "sha256",
    Cell.TEXT,
    label="SHA-256",
    meaning="SHA-256 of the file, as hexadecimal digits",
)
