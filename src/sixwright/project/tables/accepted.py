"""What the pages write of themselves: verdicts that were accepted."""

from sixwright.kernel.intervals import Verdict
from sixwright.project.columns import CellType, ColumnSchema, SchemaGroup, TableSchema

VERDICTS = tuple(str(verdict) for verdict in Verdict)

ACCEPTED = SchemaGroup(
    "What was accepted",
    "The pages write it: accept a finding with a reason, and it keeps its verdict. It comes back "
    "when the verdict changes or the value leaves the interval that was accepted.",
    (
        TableSchema(
            "accepted",
            "accepted.csv",
            ("finding",),
            (
                ColumnSchema("finding", CellType.TEXT, required=True, meaning="the finding’s id"),
                ColumnSchema("by", CellType.TEXT, required=True, meaning="who accepted it"),
                ColumnSchema("date", CellType.DATE, required=True, meaning="when"),
                ColumnSchema("reason", CellType.TEXT, required=True, meaning="why"),
                ColumnSchema(
                    "verdict",
                    CellType.CHOICE,
                    choices=VERDICTS,
                    meaning="the verdict that was accepted",
                ),
                ColumnSchema("value", CellType.TEXT, meaning="the value then"),
                ColumnSchema("low", CellType.TEXT, meaning="the low end of its interval"),
                ColumnSchema("high", CellType.TEXT, meaning="the high end of its interval"),
            ),
            one="acceptance",
            title="Accepted",
            meaning="Verdicts that you live with.",
            read_only=True,
        ),
    ),
)
