"""The votes that a trial keeps: rows of large tables do not go through a change of the line."""

from collections.abc import Mapping
from dataclasses import replace

from sixwright.line.voices import Poll
from sixwright.project.voices_rows import Voices


def kept_voices(voices: Voices, before: Mapping[str, Poll], after: Mapping[str, Poll]) -> Voices:
    """What was voted and said, without answers to polls that would now be asked otherwise.

    An answer to a poll that is not there any more is left out.

    Parameters
    ----------
    voices
        As read.
    before, after
        The polls that the answers were read by, and those of the trial.

    Source
    ------
    Own choice: a rating from 1 to 5 says nothing on a scale from 1 to 10.
    """
    moved = {
        id_ for id_, poll in before.items() if id_ not in after or _asks(poll) != _asks(after[id_])
    }
    if not moved:
        return voices
    return replace(
        voices,
        votes=tuple(vote for vote in voices.votes if vote.poll not in moved),
        tallies=tuple(tally for tally in voices.tallies if tally.poll not in moved),
    )


def _asks(poll: Poll) -> tuple[str, int | None, int | None]:
    return poll.kind, poll.least, poll.most
