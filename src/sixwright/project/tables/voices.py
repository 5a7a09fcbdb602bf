"""The tables of voices: polls, options, subjects, imports and asks; and those of many rows."""

from sixwright.line.voices import ASK_STATES, IMPORTED, POLL_KINDS
from sixwright.project.columns import Cell, Column, Table, Tables
from sixwright.project.tables.repeated import ID, NAME, NOTE

_PART = Column(
    "part",
    Cell.ID,
    refers=("parts",),
    label="Part",
    meaning="the part that it is about",
)
_SCULPT = Column(
    "sculpt",
    Cell.ID,
    refers=("sculpts",),
    label="Sculpt",
    meaning="the sculpt that it is about",
)
_OWN_ID = Column("id", Cell.TEXT, required=True, label="Id", meaning="its id, any text")
_OF_POLL = Column("poll", Cell.ID, required=True, label="Poll", meaning="the poll")
_OF_OPTION = Column(
    "option", Cell.TEXT, required=True, label="Option", meaning="the option, or what was written in"
)
_ANSWER = Column(
    "answer",
    Cell.TEXT,
    required=True,
    label="Answer",
    meaning="choice: 1; approve: yes or no; rate: a level; rank: 1 is best",
)
_BACKER = Column(
    "backer",
    Cell.BOOLEAN,
    label="Backer",
    meaning="whether the voter has paid for an edition",
    empty="counts in “all” only",
)
_SOURCE = Column(
    "source",
    Cell.ID,
    label="Source",
    meaning="the import that it came with",
)
_WHERE = Column("where", Cell.TEXT, label="Where", meaning="where it was")

VOICES = Tables(
    "The tables of voices",
    "How they are used is in [topics/voices.md](topics/voices.md). Votes, tallies and comments are "
    "read only where “What do buyers want?” is asked.",
    (
        Table(
            "polls",
            "polls.csv",
            ("id",),
            (
                ID,
                Column(
                    "question",
                    Cell.TEXT,
                    label="Question",
                    asked=True,
                    meaning="what was put to the public",
                ),
                Column(
                    "kind",
                    Cell.CHOICE,
                    required=True,
                    choices=POLL_KINDS,
                    label="Kind",
                    meaning="how it is answered",
                ),
                Column(
                    "least",
                    Cell.REAL,
                    label="Lowest level",
                    meaning="lowest level of a rating",
                ),
                Column(
                    "most",
                    Cell.REAL,
                    label="Highest level",
                    meaning="highest level of a rating",
                ),
                Column("opened", Cell.DATE, label="Opened", meaning="its first day"),
                Column(
                    "closed",
                    Cell.DATE,
                    label="Closed",
                    meaning="the day from which it is closed",
                    empty="still open",
                ),
                Column(
                    "seats",
                    Cell.COUNT,
                    label="Room for",
                    meaning="how many options there is room for",
                    empty="3",
                ),
                Column(
                    "invited",
                    Cell.COUNT,
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
        Table(
            "options",
            "options.csv",
            ("poll", "option"),
            (
                Column(
                    "poll",
                    Cell.ID,
                    required=True,
                    refers=("polls",),
                    label="Poll",
                    meaning="the poll",
                ),
                Column(
                    "option",
                    Cell.ID,
                    required=True,
                    label="Option",
                    meaning="the option’s id in its poll",
                ),
                NAME,
                Column(
                    "part",
                    Cell.ID,
                    refers=("parts",),
                    label="Part",
                    asked=True,
                    meaning="the part that it stands for",
                ),
                Column(
                    "must",
                    Cell.BOOLEAN,
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
        Table(
            "subjects",
            "subjects.csv",
            ("id",),
            (
                ID,
                NAME,
                Column(
                    "words",
                    Cell.TEXT,
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
        Table(
            "imports",
            "imports.csv",
            ("id",),
            (
                ID,
                Column(
                    "table",
                    Cell.CHOICE,
                    required=True,
                    choices=IMPORTED,
                    label="Into",
                    meaning="the table that its rows are in",
                ),
                Column("poll", Cell.ID, refers=("polls",), label="Poll", meaning="its poll"),
                Column("file", Cell.TEXT, label="From", meaning="the file it came from"),
                Column("taken", Cell.DATE, label="Taken on", meaning="the day it was taken in"),
                Column("rows", Cell.COUNT, label="Rows", meaning="how many rows it has"),
                Column(
                    "counts",
                    Cell.BOOLEAN,
                    label="Counts",
                    meaning="whether its rows count; they stay in their file where not",
                    empty="yes",
                ),
                Column(
                    "signature",
                    Cell.TEXT,
                    label="Columns it had",
                    meaning="the columns it had, which tell the next one like it",
                ),
                Column(
                    "columns",
                    Cell.TEXT,
                    label="What they mean",
                    meaning="what they mean, as in `Name=voter`",
                ),
                NOTE,
            ),
            one="import",
            title="Imports of votes and comments",
            meaning="Exports that were taken in.",
        ),
        Table(
            "asks",
            "asks.csv",
            ("id",),
            (
                ID,
                Column(
                    "subject",
                    Cell.TEXT,
                    label="About",
                    asked=True,
                    meaning="what it is about; of the public’s, a subject",
                ),
                _SCULPT,
                Column(
                    "round",
                    Cell.ID,
                    refers=("rounds",),
                    label="Round",
                    meaning="the round that it is about",
                ),
                Column(
                    "landmark",
                    Cell.ID,
                    label="Landmark",
                    meaning="the landmark that it is about",
                ),
                Column("side", Cell.TEXT, label="Side", meaning="left, right or mid"),
                _PART,
                Column(
                    "words",
                    Cell.TEXT,
                    label="What is asked",
                    asked=True,
                    meaning="what is asked, in words",
                ),
                Column("direction", Cell.TEXT, label="Direction", meaning="where to, in words"),
                Column("mm", Cell.REAL, unit="mm", label="By, mm", meaning="by how much"),
                Column(
                    "from",
                    Cell.TEXT,
                    label="Asked by",
                    asked=True,
                    meaning="who asks; `voices`: the public",
                ),
                Column(
                    "state",
                    Cell.CHOICE,
                    choices=ASK_STATES,
                    label="State",
                    meaning="how far it is",
                    empty="open",
                ),
                Column("answer", Cell.TEXT, label="Answer", meaning="what was answered"),
                Column("cost", Cell.MONEY, label="Cost", meaning="what it costs"),
                Column("date", Cell.DATE, label="Date", meaning="the day of its last move"),
                NOTE,
            ),
            one="ask",
            title="Asks",
            meaning="What somebody was asked to change.",
        ),
    ),
    keys=(
        Column(
            "voices.asked_least",
            Cell.COUNT,
            label="Voters who need an answer",
            meaning="voters from which a subject needs an answer",
            empty="5",
        ),
        Column(
            "voices.names",
            Cell.CHOICE,
            choices=("keep", "hash"),
            label="Voters’ names",
            meaning="whether an import keeps voters’ names (keep) or puts a keyed hash in their "
            "place (hash)",
            empty="hash",
        ),
        Column(
            "voices.told",
            Cell.DATE,
            label="Last update",
            meaning="the day of the last update for the public; the draft of the next begins after "
            "it",
            empty="it tells everything so far",
        ),
    ),
    large=(
        Table(
            "votes",
            "votes.csv",
            ("id",),
            (
                _OWN_ID,
                _OF_POLL,
                Column(
                    "voter",
                    Cell.TEXT,
                    required=True,
                    label="Voter",
                    meaning="who, any text; an import puts a hash",
                ),
                _OF_OPTION,
                _ANSWER,
                _BACKER,
                Column("date", Cell.DATE, label="Date", meaning="the day of the vote"),
                _SOURCE,
            ),
            one="vote",
            title="Votes",
            meaning="One row a voter and option.",
        ),
        Table(
            "tallies",
            "tallies.csv",
            ("id",),
            (
                _OWN_ID,
                _OF_POLL,
                _OF_OPTION,
                _ANSWER,
                Column(
                    "count",
                    Cell.COUNT,
                    required=True,
                    label="Count",
                    meaning="how many gave that answer",
                ),
                _BACKER,
            ),
            one="tally",
            title="Tallies",
            meaning="Where only totals are known. A poll has votes or tallies, not both.",
        ),
        Table(
            "comments",
            "comments.csv",
            ("id",),
            (
                _OWN_ID,
                Column("date", Cell.DATE, label="Date", meaning="the day of the comment"),
                _WHERE,
                Column(
                    "voter",
                    Cell.TEXT,
                    label="Voter",
                    meaning="who wrote it, any text",
                    empty="somebody of whom nothing else is known",
                ),
                Column("text", Cell.TEXT, required=True, label="Text", meaning="what was written"),
                Column("language", Cell.TEXT, label="Language", meaning="as the export says"),
                Column(
                    "answered",
                    Cell.TEXT,
                    label="Answered",
                    meaning="the date of an answer, or an ask’s id",
                    empty="not answered",
                ),
                _SOURCE,
            ),
            one="comment",
            title="Comments",
            meaning="One row a comment.",
        ),
    ),
)
