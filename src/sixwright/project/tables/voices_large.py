"""The tables of voices that may have hundreds of thousands of rows: votes, tallies, comments."""

from sixwright.project.columns import CellType, ColumnSchema, TableSchema

_OWN_ID = ColumnSchema("id", CellType.TEXT, required=True, label="Id", meaning="its id, any text")
_OF_POLL = ColumnSchema("poll", CellType.ID, required=True, label="Poll", meaning="the poll")
_OF_OPTION = ColumnSchema(
    "option",
    CellType.TEXT,
    required=True,
    label="Option",
    meaning="the option, or what was written in",
)
_ANSWER = ColumnSchema(
    "answer",
    CellType.TEXT,
    required=True,
    label="Answer",
    meaning="choice: 1; approve: yes or no; rate: a level; rank: 1 is best",
)
_BACKER = ColumnSchema(
    "backer",
    CellType.BOOLEAN,
    label="Backer",
    meaning="whether the voter has paid for an edition",
    empty="counts in “all” only",
)
_SOURCE = ColumnSchema(
    "source", CellType.ID, label="Source", meaning="the import that it came with"
)
_WHERE = ColumnSchema("where", CellType.TEXT, label="Where", meaning="where it was")

VOTES = TableSchema(
    "votes",
    "votes.csv",
    ("id",),
    (
        _OWN_ID,
        _OF_POLL,
        ColumnSchema(
            "voter",
            CellType.TEXT,
            required=True,
            label="Voter",
            meaning="who, any text; an import puts a hash",
        ),
        _OF_OPTION,
        _ANSWER,
        _BACKER,
        ColumnSchema("date", CellType.DATE, label="Date", meaning="the day of the vote"),
        _SOURCE,
    ),
    one="vote",
    title="Votes",
    meaning="One row a voter and option.",
)

TALLIES = TableSchema(
    "tallies",
    "tallies.csv",
    ("id",),
    (
        _OWN_ID,
        _OF_POLL,
        _OF_OPTION,
        _ANSWER,
        ColumnSchema(
            "count",
            CellType.COUNT,
            required=True,
            label="Count",
            meaning="how many gave that answer",
        ),
        _BACKER,
    ),
    one="tally",
    title="Tallies",
    meaning="Where only totals are known. A poll has votes or tallies, not both.",
)

COMMENTS = TableSchema(
    "comments",
    "comments.csv",
    ("id",),
    (
        _OWN_ID,
        ColumnSchema("date", CellType.DATE, label="Date", meaning="the day of the comment"),
        _WHERE,
        ColumnSchema(
            "voter",
            CellType.TEXT,
            label="Voter",
            meaning="who wrote it, any text",
            empty="somebody of whom nothing else is known",
        ),
        ColumnSchema(
            "text", CellType.TEXT, required=True, label="Text", meaning="what was written"
        ),
        ColumnSchema("language", CellType.TEXT, label="Language", meaning="as the export says"),
        ColumnSchema(
            "answered",
            CellType.TEXT,
            label="Answered",
            meaning="the date of an answer, or an ask’s id",
            empty="not answered",
        ),
        _SOURCE,
    ),
    one="comment",
    title="Comments",
    meaning="One row a comment.",
)
