"""What buyers want: every poll, every subject, every group of comments."""

import datetime as dt
from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace

from sixwright.line.voices import Tally, Vote
from sixwright.topics.voices.comments import distinct_voters, fold
from sixwright.topics.voices.demand import appeals, placings
from sixwright.topics.voices.groups import groups
from sixwright.topics.voices.model import Answer, Heard, Inputs, SubjectAnswer, Told
from sixwright.topics.voices.polls import poll_answer
from sixwright.topics.voices.subjects import spoken_of


def answer(inputs: Inputs, heard: Heard | None = None) -> Answer:
    """What came back to each poll, who speaks of each subject, and whom each box reaches.

    Parameters
    ----------
    inputs
        What the public said, and the line.
    heard
        What `hear` made of it, where that is known already.

    Raises
    ------
    sixwright.kernel.errors.InputError
        If the inputs hold what reading a folder refuses.

    Source
    ------
    docs/topics/voices.md.
    """
    known = hear(inputs.told) if heard is None else heard
    return Answer(
        polls=known.polls,
        subjects=new_since(_answered(known.subjects, inputs), inputs.told, inputs.since),
        groups=known.groups,
        appeals={
            poll: found
            for poll, said in known.polls.items()
            if (found := appeals(said, inputs, poll))
        },
        placings={
            poll: placed
            for poll, said in known.polls.items()
            if (placed := placings(said, inputs, poll))
        },
    )


def hear(told: Told) -> Heard:
    """What came back, counted and grouped; it rests on nothing else of the line.

    Parameters
    ----------
    told
        Polls and comments as read.

    Raises
    ------
    sixwright.kernel.errors.InputError
        As `answer`.

    Source
    ------
    docs/topics/voices.md.
    """
    votes: dict[str, list[Vote]] = defaultdict(list)
    for vote in told.votes:
        votes[vote.poll].append(vote)
    tallies: dict[str, list[Tally]] = defaultdict(list)
    for tally in told.tallies:
        tallies[tally.poll].append(tally)
    texts = [fold(comment.text) for comment in told.comments]
    spoken = spoken_of(texts, told.subjects)
    return Heard(
        polls={
            poll.id: poll_answer(told, poll, votes[poll.id], tallies[poll.id])
            for poll in told.polls.values()
        },
        subjects={subject: _subject(told, on) for subject, on in spoken.items()},
        groups=groups(told.comments, texts, spoken, told.subjects),
    )


def _subject(told: Told, on: tuple[int, ...]) -> SubjectAnswer:
    these = [told.comments[i] for i in on]
    return SubjectAnswer(
        voters=distinct_voters(these),
        comments=tuple(comment.id for comment in these),
        since=len(these),
        open_voters=distinct_voters(c for c in these if c.answered is None),
    )


def _answered(subjects: Mapping[str, SubjectAnswer], inputs: Inputs) -> dict[str, SubjectAnswer]:
    """Subjects of which nobody waits who spoke before their round, or their answer, came."""
    if not inputs.came:
        return dict(subjects)
    known = {comment.id: comment for comment in inputs.told.comments}
    return {
        subject: replace(
            found,
            open_voters=distinct_voters(
                c
                for c in (known[id_] for id_ in found.comments)
                if c.answered is None and c.date is not None and c.date > inputs.came[subject]
            ),
        )
        if subject in inputs.came
        else found
        for subject, found in subjects.items()
    }


def new_since(
    subjects: Mapping[str, SubjectAnswer], told: Told, since: dt.date | None
) -> Mapping[str, SubjectAnswer]:
    """Subjects with the comments that came after a day counted as new.

    Parameters
    ----------
    subjects, told
        What was computed, and of what.
    since
        The day of the last look; None: all are new.

    Raises
    ------
    KeyError
        If the subjects are not of these comments.

    Source
    ------
    docs/topics/voices.md, “Groups”.
    """
    if since is None:
        return subjects
    day: dict[str, dt.date | None] = {c.id: c.date for c in told.comments}
    return {
        subject: replace(
            found, since=sum((on := day[c]) is not None and on > since for c in found.comments)
        )
        for subject, found in subjects.items()
    }
