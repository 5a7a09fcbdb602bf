"""The tables of dates: tasks and links, people and when they are away, milestones and promises."""

from sixwright.line.dates import DAYS, HOLIDAYS, LINK_KINDS
from sixwright.project.columns import Cell, Column, Table

_ID = Column("id", Cell.ID, required=True, label="Id")
_NAME = Column("name", Cell.TEXT, label="Name")
_NOTE = Column("note", Cell.TEXT, label="Note")
_TASK = Column("task", Cell.ID, required=True, refers=("tasks",), label="Task")
_WHO = Column("who", Cell.ID, refers=("people",), label="Who")

DATES_KEYS: tuple[Column, ...] = (
    Column("dates.start", Cell.DATE, label="Start of the line"),
    Column("dates.confidence", Cell.SHARE, label="Chance from which a promise is thought kept"),
    Column("dates.holidays", Cell.CHOICE, choices=HOLIDAYS, label="Holidays"),
)
DATES_TABLES: tuple[Table, ...] = (
    Table(
        "tasks",
        "tasks.csv",
        ("id",),
        (
            _ID,
            _NAME,
            Column("part", Cell.ID, refers=("parts",), label="Part"),
            Column("sculpt", Cell.ID, refers=("sculpts",), label="Sculpt"),
            _WHO,
            Column("low_days", Cell.NUMBER, unit="days", label="Low, days"),
            Column("likely_days", Cell.NUMBER, unit="days", label="Likely, days"),
            Column("high_days", Cell.NUMBER, unit="days", label="High, days"),
            Column("days", Cell.CHOICE, choices=DAYS, label="Which days count"),
            Column("after", Cell.WORDS, refers=("tasks",), label="After"),
            Column("approve_first", Cell.SHARE, label="Approved in round 1"),
            Column("approve_last", Cell.SHARE, label="Approved in the last round"),
            Column("rounds_most", Cell.COUNT, label="Rounds at most"),
            Column("started", Cell.DATE, label="Started"),
            Column("finished", Cell.DATE, label="Finished"),
            Column("left_days", Cell.NUMBER, unit="days", label="Left, days"),
            Column("left_on", Cell.DATE, label="Left on the morning of"),
            _NOTE,
        ),
    ),
    Table(
        "links",
        "links.csv",
        ("task", "after", "kind"),
        (
            _TASK,
            Column("after", Cell.ID, required=True, refers=("tasks",), label="After"),
            Column("kind", Cell.CHOICE, choices=LINK_KINDS, label="Kind"),
            Column("lag_days", Cell.REAL, unit="days", label="Days between, days"),
            _NOTE,
        ),
    ),
    Table(
        "people",
        "people.csv",
        ("id",),
        (
            _ID,
            _NAME,
            Column("role", Cell.TEXT, label="Role"),
            Column("at_once", Cell.COUNT, label="Tasks at a time"),
            Column("days_a_week", Cell.COUNT, label="Days a week"),
            Column("country", Cell.TEXT, label="Country of their holidays"),
            Column("from", Cell.DATE, label="From"),
            Column("until", Cell.DATE, label="Until"),
            _NOTE,
        ),
    ),
    Table(
        "away",
        "away.csv",
        ("id",),
        (
            _ID,
            _WHO,
            Column("from", Cell.DATE, required=True, label="From"),
            Column("until", Cell.DATE, required=True, label="Until"),
            Column("share", Cell.SHARE, required=True, label="Of normal work"),
            Column("why", Cell.TEXT, label="Why"),
            _NOTE,
        ),
    ),
    Table(
        "milestones",
        "milestones.csv",
        ("id",),
        (_ID, _NAME, _TASK, Column("public", Cell.BOOLEAN, label="Public"), _NOTE),
    ),
    Table(
        "promises",
        "promises.csv",
        ("id",),
        (
            _ID,
            Column("milestone", Cell.ID, required=True, refers=("milestones",), label="Milestone"),
            Column("date", Cell.DATE, required=True, label="Promised for"),
            Column("said_on", Cell.DATE, label="Said on"),
            Column("where", Cell.TEXT, label="Where"),
            Column("words", Cell.TEXT, label="Words"),
            Column("replaces", Cell.ID, refers=("promises",), label="Replaces"),
            _NOTE,
        ),
    ),
    Table(
        "slots",
        "slots.csv",
        ("id",),
        (
            _ID,
            _TASK,
            Column("opens", Cell.DATE, required=True, label="Opens"),
            Column("closes", Cell.DATE, required=True, label="Closes"),
            Column("holding", Cell.MONEY, label="Holding it costs"),
            Column("pay_by", Cell.DATE, label="Pay by"),
            _NOTE,
        ),
    ),
)
