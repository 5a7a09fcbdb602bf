"""Small polls and comments for the tests of voices."""

import datetime as dt

from sixwright.line.voices import Comment, CommentSubject, Option, Poll, Tally, Vote
from sixwright.topics.voices import compute
from sixwright.topics.voices.model import Inputs, Told

TODAY = dt.date(2026, 9, 14)
CLOSED = dt.date(2026, 9, 1)


def poll(kind="approve", **known):
    return Poll("heads", kind, **({"closed": CLOSED} | known))


def options(*ids, musts=()):
    return {("heads", o): Option("heads", o, must=o in musts) for o in ids}


def votes(by_voter, *, backers=(), others=()):
    """``{"ann": {"level": 1}}``: one row an answer, in this order."""
    return tuple(
        Vote(
            f"v{number}-{option}",
            "heads",
            voter,
            option,
            answer,
            True if voter in backers else False if voter in others else None,
        )
        for number, (voter, answers) in enumerate(by_voter.items())
        for option, answer in answers.items()
    )


def tallies(*rows):
    return tuple(Tally(f"t{i}", "heads", *row) for i, row in enumerate(rows))


def ask(asked, offered, said=(), *, tallied=(), today=TODAY, seed=0):
    """The answer to one poll."""
    told = Told({"heads": asked}, offered, said, tallied, (), {}, today, seed)
    return compute.hear(told).polls["heads"]


def comment(text, number=0, **known):
    return Comment(known.pop("id", f"c{number}"), text, **known)


def hear(*comments, subjects=None, since=None):
    """The answer to comments; plain texts are of one voter each."""
    told = tuple(
        comment(said, i, voter=f"v{i}") if isinstance(said, str) else said
        for i, said in enumerate(comments)
    )
    known = {
        key: CommentSubject(key, "", tuple(words.split(", ")))
        for key, words in (subjects or {}).items()
    }
    return compute.answer(Inputs(Told({}, {}, (), (), told, known, TODAY), since))
