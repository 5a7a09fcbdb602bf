"""What buyers want: every poll, every subject, every group of comments."""

from collections import defaultdict

from sixwright.line.voices import Tally, Vote
from sixwright.topics.voices.comments import distinct_voters, fold
from sixwright.topics.voices.groups import groups
from sixwright.topics.voices.model import Answer, Inputs, SubjectAnswer
from sixwright.topics.voices.polls import poll_answer
from sixwright.topics.voices.subjects import spoken_of


def answer(inputs: Inputs) -> Answer:
    """What came back to each poll, who speaks of each subject, and what belongs together.

    Parameters
    ----------
    inputs
        Polls and comments as read.

    Raises
    ------
    sixwright.kernel.errors.InputError
        If the inputs hold what reading a folder refuses.

    Source
    ------
    docs/topics/voices.md.
    """
    votes: dict[str, list[Vote]] = defaultdict(list)
    for vote in inputs.votes:
        votes[vote.poll].append(vote)
    tallies: dict[str, list[Tally]] = defaultdict(list)
    for tally in inputs.tallies:
        tallies[tally.poll].append(tally)
    texts = [fold(comment.text) for comment in inputs.comments]
    spoken = spoken_of(texts, inputs.subjects)
    return Answer(
        polls={
            poll.id: poll_answer(inputs, poll, votes[poll.id], tallies[poll.id])
            for poll in inputs.polls.values()
        },
        subjects={subject: _subject(inputs, on) for subject, on in spoken.items()},
        groups=groups(inputs.comments, texts, spoken, inputs.subjects),
    )


def _subject(inputs: Inputs, on: tuple[int, ...]) -> SubjectAnswer:
    these = [inputs.comments[i] for i in on]
    since = inputs.since
    return SubjectAnswer(
        voters=distinct_voters(these),
        comments=tuple(comment.id for comment in these),
        since=sum(since is None or (c.date is not None and c.date > since) for c in these),
        open_voters=distinct_voters(c for c in these if c.answered is None),
    )
