"""Whether landmarks are marked in stills where the head itself hides them."""

from sixwright.kernel.findings import Evidence, Finding, Subject
from sixwright.kernel.intervals import Limit, exact
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Value
from sixwright.line.likeness import Key
from sixwright.topics.likeness import rules
from sixwright.topics.likeness.checks_stills import mark_name
from sixwright.topics.likeness.doubts import StillDoubt
from sixwright.topics.likeness.model import Answer, Inputs, RoundAnswer, StillAnswer


def findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    """Each still that was used, against the mesh of the head that it can be asked of.

    Parameters
    ----------
    inputs, answer
        The nouns and what was computed of them.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.
    """
    asked: dict[str, tuple[RoundAnswer, StillAnswer]] = {}
    for one in answer.rounds:
        for still in one.stills if one.hidden is not None else ():
            if still.used:
                asked.setdefault(still.id, (one, still))
                if inputs.stills[still.id].expression == one.expression:
                    asked[still.id] = (one, still)
    return tuple(
        _hidden(inputs, *asked[still], _keys(asked[still][0], still))
        for still in inputs.stills
        if still in asked
    )


def _keys(one: RoundAnswer, still: str) -> tuple[Key, ...]:
    return tuple(key for id_, key in one.hidden or () if id_ == still)


def _hidden(inputs: Inputs, one: RoundAnswer, still: StillAnswer, keys: tuple[Key, ...]) -> Finding:
    values: dict[str, Value] = {"still": Name(still.id), "head": Name(one.name)}
    remedy = None
    if keys:
        values["marks"] = Names(tuple(mark_name(inputs, key) for key in keys))
        values["count"] = Count(len(keys), "landmark is", "landmarks are")
        message = Sentence(
            "In {still}, {count} marked behind the surface of {head}: {marks}.", values
        )
        remedy = Sentence("Look at the place again: mark it anew, or say that it is hidden.")
    else:
        message = Sentence("{head} hides nothing that is marked in {still}.", values)
    return rules.HIDDEN.finding(
        Subject("still", still.id),
        Evidence(
            measured=exact(len(keys)),
            limit=Limit("==", 0),
            doubt=StillDoubt.HIDDEN if keys else None,
        ),
        message,
        remedy=remedy,
        weight=float(len(keys)),
    )
