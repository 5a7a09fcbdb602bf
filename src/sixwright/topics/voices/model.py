"""What voices needs and what it answers: what buyers want, and how sure that is."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from sixwright.kernel.intervals import Interval
from sixwright.line.voices import Comment, CommentSubject, Option, Poll, Tally, Vote
from sixwright.topics.voices.sets_model import Appeal, BoxPlacing, NoSets, OptionSet, Taste

SEATS = 3  # voices.md: where a poll says nothing of seats
ASKED_LEAST = 5  # voices.md: voters from which a subject needs an answer


class Word(StrEnum):
    """How far those who rated agree: van der Eijk's A above .4, below 0, or between."""

    AGREED = "agreed"
    MIXED = "mixed"
    DIVIDED = "divided"


class Held(StrEnum):
    """What a share's interval is for: one look, or every look at a poll that goes on."""

    WILSON = "wilson"
    SEQUENCE = "sequence"


@dataclass(frozen=True, slots=True)
class Told:
    """What was asked of the public, and what came back: all that takes long to count.

    Attributes
    ----------
    polls, options
        By id, and by poll and option, in the folder's order.
    votes, tallies
        In the folder's order; of one poll there are votes or tallies, not both.
    comments, subjects
        In the folder's order; subjects by id.
    today
        Tells open polls from closed ones.
    seed
        Of the draws.
    """

    polls: Mapping[str, Poll]
    options: Mapping[tuple[str, str], Option]
    votes: tuple[Vote, ...]
    tallies: tuple[Tally, ...]
    comments: tuple[Comment, ...]
    subjects: Mapping[str, CommentSubject]
    today: dt.date
    seed: int = 0


@dataclass(frozen=True, slots=True)
class Inputs:
    """What the public said, and what of the line it is held against.

    Attributes
    ----------
    since
        Comments after this day are new; None: all are.
    boxes
        Edition or set, then part: whether it is optional there.
    names
        Names of what is sold.
    asked
        Subjects of which somebody was asked: an ask that nobody took back.
    came
        Subjects whose ask was answered, or whose sculpt came back since it was asked, and the day:
        comments up to it have their answer.
    asked_least
        Voters from which a subject needs an answer.
    undecided
        Open choices: part, then which of their alternatives are about it.
    """

    told: Told
    since: dt.date | None = None
    boxes: Mapping[str, Mapping[str, bool]] = field(default_factory=dict)
    names: Mapping[str, str] = field(default_factory=dict)
    asked: frozenset[str] = frozenset()
    came: Mapping[str, dt.date] = field(default_factory=dict)
    asked_least: int = ASKED_LEAST
    undecided: Mapping[str, Mapping[str, frozenset[str]]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Said:
    """What a group of voters says of one option; None where its kind of poll has no such figure.

    Attributes
    ----------
    n
        Voters: of the poll (choice, approve), or who rated or ranked this option; None where
        tallies do not tell.
    counts
        Of a rating, by level from the lowest; else empty.
    share
        Who chose or approved it.
    mean, mean_value
        Mean rating with its interval; of one voter alone there is only the value.
    top, bottom
        Shares of the two highest and the two lowest levels.
    agreement, word
        Van der Eijk's A, -1 to 1, and its word; approval has only a word.
    agreement_spread
        A with the spread that other raters would make.
    strength
        Plackett-Luce, natural logarithm, mean zero over the options ranked.
    """

    n: int | None
    counts: tuple[int, ...] = ()
    share: Interval | None = None
    mean: Interval | None = None
    mean_value: float | None = None
    top: float | None = None
    bottom: float | None = None
    agreement: float | None = None
    agreement_spread: Interval | None = None
    word: Word | None = None
    strength: Interval | None = None


@dataclass(frozen=True, slots=True)
class OptionAnswer:
    """What all voters, backers and others say of one option.

    Attributes
    ----------
    difference
        Share of backers less share of others; None without both.
    """

    everyone: Said
    backers: Said
    others: Said
    difference: Interval | None


@dataclass(frozen=True, slots=True)
class Pair:
    """How many put one option before another, of those who rank both."""

    first: str
    second: str
    voters: int


@dataclass(frozen=True, slots=True)
class PollAnswer:
    """What came back to one poll.

    Attributes
    ----------
    n
        Voters; None where tallies do not tell.
    held
        What shares' intervals are for.
    options
        By id, in the folder's order.
    sets
        By size, best first: the best ten, and the best without a divided option.
    no_sets
        Why there are none of some size; None where there are.
    tastes
        Of a rating: what a voter likes, what they dislike, and how many are so.
    pairs
        Of a ranking: how many put the first before the second, of those who rank both.
    write_ins
        What was answered that the poll does not offer, with its voters.
    twice
        Answers that a later one of the same voter replaced.
    several
        Voters of a choice who chose more than one.
    tied
        Voters who gave two options one rank; these two are left out of their ranking.
    """

    n: int | None
    invited: int | None
    held: Held
    options: Mapping[str, OptionAnswer]
    sets: tuple[OptionSet, ...] = ()
    no_sets: NoSets | None = None
    tastes: tuple[Taste, ...] = ()
    pairs: tuple[Pair, ...] = ()
    write_ins: Mapping[str, int] = field(default_factory=dict)
    twice: int = 0
    several: int = 0
    tied: int = 0


@dataclass(frozen=True, slots=True)
class SubjectAnswer:
    """Who speaks of one subject, by its own words.

    Attributes
    ----------
    voters
        Distinct voters; a comment without one counts as one.
    comments
        Ids, in the folder's order.
    since
        How many of them are new.
    open_voters
        Distinct voters whose comments on it nobody has answered.
    """

    voters: int
    comments: tuple[str, ...]
    since: int
    open_voters: int


class GroupedBy(StrEnum):
    """What holds a group of comments together."""

    SUBJECT = "subject"  # a subject's words, or words spelt nearly alike
    WORD = "word"  # a word that no subject has
    ALIKE = "alike"  # nearly the same text


@dataclass(frozen=True, slots=True)
class CommentGroup:
    """Comments that belong together.

    Attributes
    ----------
    how
        What holds them together.
    subject
        Id of the subject that most of them speak of, or None.
    name
        What to call it: the subject's name, the word, or the text.
    words
        Words that found them beyond the subject's own, most used first.
    voters
        Distinct voters.
    comments
        Ids, in the folder's order.
    """

    id: str
    how: GroupedBy
    subject: str | None
    name: str
    words: tuple[str, ...]
    voters: int
    comments: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Heard:
    """What came back, before it is held against the line.

    Attributes
    ----------
    polls, subjects
        By id, in the folder's order; every comment of a subject counts as new.
    groups
        Subjects first, then words, then texts alike; each most voters first.
    """

    polls: Mapping[str, PollAnswer]
    subjects: Mapping[str, SubjectAnswer]
    groups: tuple[CommentGroup, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """What buyers want.

    Attributes
    ----------
    polls, subjects, groups
        As heard.
    appeals
        Poll, then edition or set: whom the box reaches and puts off, where the poll rates
        something in it.
    placings
        Poll, then divided option of a rating, then edition or set: where it would add reach.
    """

    polls: Mapping[str, PollAnswer]
    subjects: Mapping[str, SubjectAnswer]
    groups: tuple[CommentGroup, ...]
    appeals: Mapping[str, Mapping[str, Appeal]] = field(default_factory=dict)
    placings: Mapping[str, Mapping[str, Mapping[str, BoxPlacing]]] = field(default_factory=dict)
