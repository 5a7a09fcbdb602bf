"""How many voters a box would reach, and how many it would put off: the rule in the open.

Of the voters of one rating poll, a box reaches who likes one of its options or more (rated at one
of the two highest levels), and puts off who dislikes one that they cannot leave out (rated at one
of the two lowest). Whether somebody who is put off leaves is not known; both ends are stated.
"""

from collections import Counter
from collections.abc import Mapping, Sequence

from sixwright.kernel.errors import InternalError
from sixwright.kernel.intervals import Interval
from sixwright.line.voices import Option, Poll
from sixwright.topics.voices.ballots import Ballots
from sixwright.topics.voices.model import Inputs, PollAnswer, Word
from sixwright.topics.voices.sets_model import Appeal, BoxPlacing, Stands, Taste


def tastes(poll: Poll, found: Ballots) -> tuple[Taste, ...]:
    """What voters like and dislike, and how many are alike; nothing of a poll that is no rating.

    Parameters
    ----------
    poll, found
        The poll and its votes.

    Raises
    ------
    Nothing: a poll without votes has none.

    Source
    ------
    Definition: docs/topics/voices.md, “A divided option”.
    """
    if poll.kind != "rate" or poll.least is None or poll.most is None:
        return ()
    high, low = poll.most - 1, poll.least + 1
    counted = Counter(
        (
            frozenset(option for option, level in answers.items() if level >= high),
            frozenset(option for option, level in answers.items() if level <= low),
        )
        for answers in found.answers.values()
    )
    return tuple(Taste(likes, dislikes, n) for (likes, dislikes), n in counted.items())


def appeal(
    found: Sequence[Taste], options: Mapping[str, Option], box: Mapping[str, bool]
) -> Appeal | None:
    """What a poll's voters say of a box; None where the poll rates nothing in it.

    Parameters
    ----------
    found
        What they like and dislike.
    options
        The poll's options by id.
    box
        Part: whether it is optional.

    Raises
    ------
    Nothing: what a poll does not ask, it does not answer.

    Source
    ------
    Own choice: docs/topics/voices.md, “A divided option”.
    """
    parts = {id_: o.part for id_, o in options.items() if o.part in box}
    if not parts or not found:
        return None
    inside = set(parts)
    forced = {id_ for id_, part in parts.items() if part and not box[part]}
    likes = [(taste, bool(taste.likes & inside)) for taste in found]
    hates = {taste for taste in found if taste.dislikes & forced}
    return Appeal(
        n=sum(taste.voters for taste in found),
        reach=sum(taste.voters for taste, liked in likes if liked),
        taking=sum(taste.voters for taste, liked in likes if liked and taste not in hates),
        put_off=sum(taste.voters for taste in hates),
    )


def appeals(said: PollAnswer, inputs: Inputs, poll: str) -> dict[str, Appeal]:
    """Edition or set: what a poll's voters say of it, where the poll rates something in it.

    Parameters
    ----------
    said
        What came back to the poll.
    inputs
        The boxes and the options.
    poll
        Its id.

    Raises
    ------
    Nothing: what a poll does not ask, it does not answer.

    Source
    ------
    Own choice: docs/topics/voices.md, “A divided option”.
    """
    options = {o.option: o for (of, _), o in inputs.told.options.items() if of == poll}
    found = {box: appeal(said.tastes, options, held) for box, held in inputs.boxes.items()}
    return {box: told for box, told in found.items() if told is not None}


def placings(said: PollAnswer, inputs: Inputs, poll: str) -> dict[str, dict[str, BoxPlacing]]:
    """Divided option of a rating, then edition or set: where it adds reach, and whom it puts off.

    Parameters
    ----------
    said, inputs, poll
        As in `appeals`.

    Raises
    ------
    Nothing: an option whose part is not stated has no place to go.

    Source
    ------
    Own choice: docs/topics/voices.md, “A divided option”.
    """
    options = {o.option: o for (of, _), o in inputs.told.options.items() if of == poll}
    divided = {
        id_: part
        for id_, found in said.options.items()
        if found.everyone.word is Word.DIVIDED and (part := options[id_].part)
    }
    if not said.tastes:
        return {}
    return {
        id_: {box: _placing(said.tastes, options, held, part) for box, held in inputs.boxes.items()}
        for id_, part in divided.items()
    }


def _placing(
    found: Sequence[Taste], options: Mapping[str, Option], held: Mapping[str, bool], part: str
) -> BoxPlacing:
    without = {other: optional for other, optional in held.items() if other != part}
    optional, forced = (appeal(found, options, {**without, part: free}) for free in (True, False))
    if optional is None or forced is None:
        raise InternalError(f"{part} is an option of the poll, and its poll rates nothing in it.")
    stands = Stands.OUT
    if part in held:
        stands = Stands.OPTIONAL if held[part] else Stands.FORCED
    return BoxPlacing(stands, appeal(found, options, without), optional, forced)


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
