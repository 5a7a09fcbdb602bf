"""What a community says: polls with their options and votes, comments and their subjects.

Nobody is named here: `voter` is any text, and an import puts a keyed hash there by default. An
empty cell is None, but for the few defaults that a docstring states.
"""

import datetime as dt
from dataclasses import dataclass

POLL_KINDS = ("choice", "approve", "rate", "rank")
IMPORTED = ("votes", "comments")
ASK_STATES = ("open", "sent", "yes", "no", "done", "part", "withdrawn")
ANSWERED_STATES = frozenset({"yes", "no", "done", "part"})


@dataclass(frozen=True, slots=True)
class Poll:
    """One question put to a community (polls.csv: the columns by name).

    Attributes
    ----------
    kind
        One of `POLL_KINDS`.
    least, most
        Lowest and highest level of a rating, `least` below `most`; None in other kinds.
    opened, closed
        First and last day; None of `closed`: it is still open.
    seats
        Options that there is room for, 1 or more; None: the topic's own choice holds.
    invited
        People who could have answered, or None.
    where
        Where it was held.
    """

    id: str
    kind: str
    question: str = ""
    least: int | None = None
    most: int | None = None
    opened: dt.date | None = None
    closed: dt.date | None = None
    seats: int | None = None
    invited: int | None = None
    where: str | None = None


@dataclass(frozen=True, slots=True)
class Option:
    """One answer that a poll offers (options.csv).

    Attributes
    ----------
    option
        Its id within the poll.
    part
        Id of the part that it stands for, or None.
    must
        Whether every set holds it.
    """

    poll: str
    option: str
    name: str = ""
    part: str | None = None
    must: bool = False


@dataclass(frozen=True, slots=True)
class Vote:
    """What one voter said of one option (votes.csv).

    Attributes
    ----------
    option
        An option's id, or whatever was written in.
    answer
        choice: 1; approve: 1 is yes and 0 no; rate: the level; rank: 1 is best.
    backer
        Whether the voter has paid for an edition; None: counts in “all” only.
    """

    id: str
    poll: str
    voter: str
    option: str
    answer: int
    backer: bool | None = None
    date: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Tally:
    """How many gave one answer to one option, where only totals are known (tallies.csv)."""

    id: str
    poll: str
    option: str
    answer: int
    count: int
    backer: bool | None = None


@dataclass(frozen=True, slots=True)
class Comment:
    """One post (comments.csv).

    Attributes
    ----------
    voter
        Who wrote it; None: somebody of whom no other comment is known.
    language
        As the export says, or None.
    answered
        The date of an answer, or an ask's id; None: not answered.
    """

    id: str
    text: str
    voter: str | None = None
    date: dt.date | None = None
    where: str | None = None
    language: str | None = None
    answered: str | None = None


@dataclass(frozen=True, slots=True)
class CommentSubject:
    """What comments may be about, in the line's own words (subjects.csv).

    Attributes
    ----------
    words
        Each one or several words that stand together; ``*`` ends a stem and stands for any
        ending.
    part, sculpt
        Ids of what it is about, or None.
    """

    id: str
    name: str = ""
    words: tuple[str, ...] = ()
    part: str | None = None
    sculpt: str | None = None


@dataclass(frozen=True, slots=True)
class Import:
    """An export that was taken in, and what its columns were said to mean (imports.csv).

    Attributes
    ----------
    table
        One of `IMPORTED`.
    counts
        Whether its rows count; they stay in their file where they do not.
    signature, columns
        Tell exports with the same columns, and what each means: ``Name=voter; Wahl=option``.
    """

    id: str
    table: str
    poll: str | None = None
    file: str = ""
    taken: dt.date | None = None
    rows: int | None = None
    counts: bool = True
    signature: str = ""
    columns: str = ""


@dataclass(frozen=True, slots=True)
class VoicesAsk:
    """What somebody was asked because the public asked for it (asks.csv).

    Attributes
    ----------
    subject
        Id of the subject.
    state
        One of `ASK_STATES`.
    sculpt
        Id of the sculpt that should change, or None.
    date
        The day of its last move, or None.
    """

    id: str
    subject: str
    state: str
    sculpt: str | None = None
    date: dt.date | None = None
