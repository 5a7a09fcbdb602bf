"""The tables of voices: polls, options, subjects, imports and asks; and those of many rows."""

from sixwright.line.voices import ASK_STATES, IMPORTED, POLL_KINDS
from sixwright.project.columns import Cell, Column, Table

_ID = Column("id", Cell.ID, required=True, label="Id")
_NOTE = Column("note", Cell.TEXT, label="Note")
_PART = Column("part", Cell.ID, refers=("parts",), label="Part")
_SCULPT = Column("sculpt", Cell.ID, refers=("sculpts",), label="Sculpt")

VOICES_TABLES: tuple[Table, ...] = (
    Table(
        "polls",
        "polls.csv",
        ("id",),
        (
            _ID,
            Column("question", Cell.TEXT, label="Question"),
            Column("kind", Cell.CHOICE, required=True, choices=POLL_KINDS, label="Kind"),
            Column("least", Cell.REAL, label="Lowest level"),
            Column("most", Cell.REAL, label="Highest level"),
            Column("opened", Cell.DATE, label="Opened"),
            Column("closed", Cell.DATE, label="Closed"),
            Column("seats", Cell.COUNT, label="Room for"),
            Column("invited", Cell.COUNT, label="Invited"),
            Column("where", Cell.TEXT, label="Where"),
            _NOTE,
        ),
    ),
    Table(
        "options",
        "options.csv",
        ("poll", "option"),
        (
            Column("poll", Cell.ID, required=True, refers=("polls",), label="Poll"),
            Column("option", Cell.ID, required=True, label="Option"),
            Column("name", Cell.TEXT, label="Name"),
            _PART,
            Column("must", Cell.BOOLEAN, label="In every set"),
            _NOTE,
        ),
    ),
    Table(
        "subjects",
        "subjects.csv",
        ("id",),
        (
            _ID,
            Column("name", Cell.TEXT, label="Name"),
            Column("words", Cell.TEXT, label="Words"),
            _PART,
            _SCULPT,
            _NOTE,
        ),
    ),
    Table(
        "imports",
        "imports.csv",
        ("id",),
        (
            _ID,
            Column("table", Cell.CHOICE, required=True, choices=IMPORTED, label="Into"),
            Column("poll", Cell.ID, refers=("polls",), label="Poll"),
            Column("file", Cell.TEXT, label="From"),
            Column("taken", Cell.DATE, label="Taken on"),
            Column("rows", Cell.COUNT, label="Rows"),
            Column("counts", Cell.BOOLEAN, label="Counts"),
            Column("signature", Cell.TEXT, label="Columns it had"),
            Column("columns", Cell.TEXT, label="What they mean"),
            _NOTE,
        ),
    ),
    Table(
        "asks",
        "asks.csv",
        ("id",),
        (
            _ID,
            Column("subject", Cell.TEXT, label="About"),
            _SCULPT,
            Column("round", Cell.ID, refers=("rounds",), label="Round"),
            Column("landmark", Cell.ID, label="Landmark"),
            Column("side", Cell.TEXT, label="Side"),
            _PART,
            Column("words", Cell.TEXT, label="What is asked"),
            Column("direction", Cell.TEXT, label="Direction"),
            Column("mm", Cell.REAL, unit="mm", label="By, mm"),
            Column("from", Cell.TEXT, label="Asked by"),
            Column("state", Cell.CHOICE, choices=ASK_STATES, label="State"),
            Column("answer", Cell.TEXT, label="Answer"),
            Column("cost", Cell.MONEY, label="Cost"),
            Column("date", Cell.DATE, label="Date"),
            _NOTE,
        ),
    ),
)
