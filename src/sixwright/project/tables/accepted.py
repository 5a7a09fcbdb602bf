"""What the pages write of themselves: verdicts that were accepted."""

from sixwright.kernel.intervals import Verdict
from sixwright.project.columns import Cell, Column, Table, Tables

VERDICTS = tuple(str(verdict) for verdict in Verdict)

ACCEPTED = Tables(
    "What was accepted",
    "The pages write it: accept a finding with a reason, and it keeps its verdict. It comes back "
    "when the verdict changes or the value leaves the interval that was accepted.",
    (
        Table(
            "accepted",
            "accepted.csv",
            ("finding",),
            (
                Column("finding", Cell.TEXT, required=True, meaning="the finding’s id"),
                Column("by", Cell.TEXT, required=True, meaning="who accepted it"),
                Column("date", Cell.DATE, required=True, meaning="when"),
                Column("reason", Cell.TEXT, required=True, meaning="why"),
                Column(
                    "verdict",
                    Cell.CHOICE,
                    choices=VERDICTS,
                    meaning="the verdict that was accepted",
                ),
                Column("value", Cell.TEXT, meaning="the value then"),
                Column("low", Cell.TEXT, meaning="the low end of its interval"),
                Column("high", Cell.TEXT, meaning="the high end of its interval"),
            ),
            one="acceptance",
            title="Accepted",
            meaning="Verdicts that you live with.",
            read_only=True,
        ),
    ),
)
