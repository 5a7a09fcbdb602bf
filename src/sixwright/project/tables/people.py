"""The tables of people: who works, which days they have, and when they are away."""

from sixwright.project.columns import (
    ABOVE_0,
    ONE_TO_7,
    CellType,
    ColumnSchema,
    TableSchema,
)
from sixwright.project.tables.repeated import ID, NAME, NOTE

PEOPLE = TableSchema(
    "people",
    "people.csv",
    ("id",),
    (
        ID,
        NAME,
        ColumnSchema("role", CellType.TEXT, label="Role", asked=True, meaning="what they do"),
        ColumnSchema(
            "at_once",
            CellType.COUNT,
            label="Tasks at a time",
            allowed=ABOVE_0,
            meaning="tasks at a time",
            empty="1",
        ),
        ColumnSchema(
            "days_a_week",
            CellType.COUNT,
            label="Days a week",
            allowed=ONE_TO_7,
            meaning="the first days of the week, Monday first",
            empty="5",
        ),
        ColumnSchema(
            "country",
            CellType.TEXT,
            label="Country of their holidays",
            meaning="whose public holidays are free, as in CN",
            empty="no public holidays",
        ),
        ColumnSchema(
            "from",
            CellType.DATE,
            label="From",
            meaning="the first day they can be had",
            empty="no first day",
        ),
        ColumnSchema(
            "until",
            CellType.DATE,
            label="Until",
            meaning="the last day they can be had",
            empty="no last day",
        ),
        NOTE,
    ),
    one="person",
    title="People",
    meaning="One row a person, a crew or a machine.",
)

AWAY = TableSchema(
    "away",
    "away.csv",
    ("id",),
    (
        ID,
        ColumnSchema(
            "who",
            CellType.ID,
            refers=("people",),
            label="Who",
            asked=True,
            meaning="who is away",
            empty="everybody",
        ),
        ColumnSchema("from", CellType.DATE, required=True, label="From", meaning="the first day"),
        ColumnSchema("until", CellType.DATE, required=True, label="Until", meaning="the last day"),
        ColumnSchema(
            "share",
            CellType.SHARE,
            required=True,
            label="Of normal work",
            meaning="share of normal work: 0 is closed, 0.5 half speed",
        ),
        ColumnSchema("why", CellType.TEXT, label="Why", asked=True, meaning="why"),
        NOTE,
    ),
    one="absence",
    title="Absences",
    meaning="Days on which less is done.",
)
