"""How many voters a box would reach, and how many it would put off: the rule in the open.

Of the voters of one rating poll, a box reaches who likes one of its options or more (rated at one
of the two highest levels), and puts off who dislikes one that they cannot leave out (rated at one
of the two lowest). Whether somebody who is put off leaves is not known; both ends are stated.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from sixwright.kernel.intervals import Interval
from sixwright.line.voices import Option, Poll
from sixwright.topics.voices.ballots import Ballots


@dataclass(frozen=True, slots=True)
class Appeal:
    """What the voters of one poll say of one box.

    Attributes
    ----------
    n
        Voters.
    reach
        Who like one of its options or more.
    taking
        Of those, who are put off by none that they would have to take.
    put_off
        Who dislike one that they would have to take.
    """

    n: int
    reach: int
    taking: int
    put_off: int


def appeal(
    poll: Poll, found: Ballots, options: Mapping[str, Option], box: Mapping[str, bool]
) -> Appeal | None:
    """What a poll's voters say of a box; None where the poll does not rate anything in it.

    Parameters
    ----------
    poll, found
        A rating and its votes.
    options
        Its options by id.
    box
        Part: whether it is optional.

    Raises
    ------
    Nothing: what a poll does not ask, it does not answer.

    Source
    ------
    Own choice: docs/topics/voices.md, “A divided option”.
    """
    if poll.kind != "rate" or poll.least is None or poll.most is None:
        return None
    parts = {id_: o.part for id_, o in options.items() if o.part in box}
    forced = {id_ for id_, part in parts.items() if part and not box[part]}
    if not parts:
        return None
    reach = taking = put_off = 0
    for answers in found.answers.values():
        likes = any(answers.get(o, poll.least) >= poll.most - 1 for o in parts)
        hates = any(answers.get(o, poll.most) <= poll.least + 1 for o in forced)
        reach += likes
        put_off += hates
        taking += likes and not hates
    return Appeal(len(found.answers), reach, taking, put_off)


def demand_factor(before: Appeal, after: Appeal) -> Interval | None:
    """What a change of a box multiplies its demand by, between two suppositions; None of nobody.

    One end supposes that nobody who is put off leaves, the other that all do; the value is half
    way. It is a statement of what was supposed, not an interval of chance, and its level says so.

    Parameters
    ----------
    before, after
        Of the same box and the same voters.

    Raises
    ------
    Nothing: where nobody was reached before, there is nothing to multiply.

    Source
    ------
    Own choice: docs/topics/voices.md, “A divided option”.
    """
    if not before.reach or not before.taking:
        return None
    ends = sorted((after.reach / before.reach, after.taking / before.taking))
    return Interval(sum(ends) / 2, ends[0], ends[1], 1.0)
