"""The tables of voices: polls, options, subjects, imports and asks; and those of many rows."""

from sixwright.line.voices import ASK_STATES, IMPORTED, POLL_KINDS
from sixwright.project.columns import CellType, ColumnSchema, SchemaGroup, TableSchema
from sixwright.project.tables.repeated import ID, NAME, NOTE
from sixwright.project.tables.voices_large import COMMENTS, TALLIES, VOTES

_PART = ColumnSchema(
    "part", CellType.ID, refers=("parts",), label="Part", meaning="the part that it is about"
)
_SCULPT = ColumnSchema(
    "sculpt",
    CellType.ID,
    refers=("sculpts",),
    label="Sculpt",
    meaning="the sculpt that it is about",
)
_WHERE = ColumnSchema("where", CellType.TEXT, label="Where", meaning="where it was")

VOICES = SchemaGroup(
    "The tables of voices",
    "How they are used is in [topics/voices.md](topics/voices.md). Votes, tallies and comments are "
    "read only where “What do buyers want?” is asked.",
    (
        TableSchema(
            "polls",
            "polls.csv",
            ("id",),
            (
                ID,
                ColumnSchema(
                    "question",
                    CellType.TEXT,
                    label="Question",
                    asked=True,
                    meaning="what was put to the public",
                ),
                ColumnSchema(
                    "kind",
                    CellType.CHOICE,
                    required=True,
                    choices=POLL_KINDS,
                    label="Kind",
                    meaning="how it is answered",
                ),
                ColumnSchema(
                    "least",
                    CellType.REAL,
                    label="Lowest level",
                    meaning="lowest level of a rating",
                ),
                ColumnSchema(
                    "most",
                    CellType.REAL,
                    label="Highest level",
                    meaning="highest level of a rating",
                ),
                ColumnSchema("opened", CellType.DATE, label="Opened", meaning="its first day"),
                ColumnSchema(
                    "closed",
                    CellType.DATE,
                    label="Closed",
                    meaning="the day from which it is closed",
                    empty="still open",
                ),
                ColumnSchema(
                    "seats",
                    CellType.COUNT,
                    label="Room for",
                    meaning="how many options there is room for",
                    empty="3",
                ),
                ColumnSchema(
                    "invited",
                    CellType.COUNT,
                    label="Invited",
                    meaning="how many people could have answered",
                ),
                _WHERE,
                NOTE,
            ),
            one="poll",
            title="Polls",
            meaning="One row a question put to the public.",
        ),
        TableSchema(
            "options",
            "options.csv",
            ("poll", "option"),
            (
                ColumnSchema(
                    "poll",
                    CellType.ID,
                    required=True,
                    refers=("polls",),
                    label="Poll",
                    meaning="the poll",
                ),
                ColumnSchema(
                    "option",
                    CellType.ID,
                    required=True,
                    label="Option",
                    meaning="the option’s id in its poll",
                ),
                NAME,
                ColumnSchema(
                    "part",
                    CellType.ID,
                    refers=("parts",),
                    label="Part",
                    asked=True,
                    meaning="the part that it stands for",
                ),
                ColumnSchema(
                    "must",
                    CellType.BOOLEAN,
                    label="In every set",
                    meaning="whether it is in every set",
                    empty="no",
                ),
                NOTE,
            ),
            one="option of a poll",
            title="Options of polls",
            meaning="What a poll offers.",
        ),
        TableSchema(
            "subjects",
            "subjects.csv",
            ("id",),
            (
                ID,
                NAME,
                ColumnSchema(
                    "words",
                    CellType.TEXT,
                    label="Words",
                    asked=True,
                    meaning="words that tell it, separated by commas; `*` ends a stem; several "
                    "words must stand together",
                ),
                _PART,
                _SCULPT,
                NOTE,
            ),
            one="subject",
            title="Subjects of comments",
            meaning="What comments may be about.",
        ),
        TableSchema(
            "imports",
            "imports.csv",
            ("id",),
            (
                ID,
                ColumnSchema(
                    "table",
                    CellType.CHOICE,
                    required=True,
                    choices=IMPORTED,
                    label="Into",
                    meaning="the table that its rows are in",
                ),
                ColumnSchema(
                    "poll", CellType.ID, refers=("polls",), label="Poll", meaning="its poll"
                ),
                ColumnSchema("file", CellType.TEXT, label="From", meaning="the file it came from"),
                ColumnSchema(
                    "taken", CellType.DATE, label="Taken on", meaning="the day it was taken in"
                ),
                ColumnSchema("rows", CellType.COUNT, label="Rows", meaning="how many rows it has"),
                ColumnSchema(
                    "counts",
                    CellType.BOOLEAN,
                    label="Counts",
                    meaning="whether its rows count; they stay in their file where not",
                    empty="yes",
                ),
                ColumnSchema(
                    "signature",
                    CellType.TEXT,
                    label="Columns it had",
                    meaning="the columns it had, which tell the next one like it",
                ),
                ColumnSchema(
                    "columns",
                    CellType.TEXT,
                    label="What they mean",
                    meaning="what they mean, as in `Name=voter`",
                ),
                NOTE,
            ),
            one="import",
            title="Imports of votes and comments",
            meaning="Exports that were taken in.",
        ),
        TableSchema(
            "asks",
            "asks.csv",
            ("id",),
            (
                ID,
                ColumnSchema(
                    "subject",
                    CellType.TEXT,
                    label="About",
                    asked=True,
                    meaning="what it is about; of the public’s, a subject",
                ),
                _SCULPT,
                ColumnSchema(
                    "round",
                    CellType.ID,
                    refers=("rounds",),
                    label="Round",
                    meaning="the round that it is about",
                ),
                ColumnSchema(
                    "landmark",
                    CellType.ID,
                    label="Landmark",
                    meaning="the landmark that it is about",
                ),
                ColumnSchema("side", CellType.TEXT, label="Side", meaning="left, right or mid"),
                _PART,
                ColumnSchema(
                    "words",
                    CellType.TEXT,
                    label="What is asked",
                    asked=True,
                    meaning="what is asked, in words",
                ),
                ColumnSchema(
                    "direction", CellType.TEXT, label="Direction", meaning="where to, in words"
                ),
                ColumnSchema("mm", CellType.REAL, unit="mm", label="By, mm", meaning="by how much"),
                ColumnSchema(
                    "from",
                    CellType.TEXT,
                    label="Asked by",
                    asked=True,
                    meaning="who asks; `voices`: the public",
                ),
                ColumnSchema(
                    "state",
                    CellType.CHOICE,
                    choices=ASK_STATES,
                    label="State",
                    meaning="how far it is",
                    empty="open",
                ),
                ColumnSchema("answer", CellType.TEXT, label="Answer", meaning="what was answered"),
                ColumnSchema("cost", CellType.MONEY, label="Cost", meaning="what it costs"),
                ColumnSchema(
                    "date", CellType.DATE, label="Date", meaning="the day of its last move"
                ),
                NOTE,
            ),
            one="ask",
            title="Asks",
            meaning="What somebody was asked to change.",
        ),
    ),
    keys=(
        ColumnSchema(
            "voices.asked_least",
            CellType.COUNT,
            label="Voters who need an answer",
            meaning="voters from which a subject needs an answer",
            empty="5",
        ),
        ColumnSchema(
            "voices.names",
            CellType.CHOICE,
            choices=("keep", "hash"),
            label="Voters’ names",
            meaning="whether an import keeps voters’ names (keep) or puts a keyed hash in their "
            "place (hash)",
            empty="hash",
        ),
        ColumnSchema(
            "voices.told",
            CellType.DATE,
            label="Last update",
            meaning="the day of the last update for the public; the draft of the next begins after "
            "it",
            empty="it tells everything so far",
        ),
    ),
    large=(
        VOTES,
        TALLIES,
        COMMENTS,
    ),
)
