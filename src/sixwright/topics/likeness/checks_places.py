"""Whether a landmark lies roughly where it does on any head: a click may have met an ear."""

import numpy as np

from sixwright.kernel.findings import Doubt, Evidence, Finding, Subject
from sixwright.kernel.intervals import Limit, Verdict, exact
from sixwright.kernel.sentences import Count, Measure, Name, Names, Sentence, Value
from sixwright.line.landmark_places import drawn_places
from sixwright.line.likeness import Key
from sixwright.numerics.similarity import similarity
from sixwright.topics.likeness import rules
from sixwright.topics.likeness.checks_stills import mark_name
from sixwright.topics.likeness.model import Answer, Inputs, RoundAnswer
from sixwright.topics.likeness.person.arrays import FULL_SIZE, placed_on

# Own choice, mm at 1:6: the chin of a head that shouts lies 8 from where a calm one has it, a mouth
# corner that was placed on an ear 14.
FAR_MM = 9.0
LEAST = 6  # landmarks that lay the usual head on a sculpt
PASSES, SOFT = 8, 2.0
NAMED = 3  # of the landmarks that are far, the farthest


class PlaceDoubt(Doubt):
    """Why a landmark that is far is not shown to be wrong."""

    FAR = ("a head may be so, or a click met something else", Verdict.DOUBTFUL)


def findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    """What lies far from its usual place on the latest rounds.

    Parameters
    ----------
    inputs, answer
        The nouns and what was computed of them.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.
    """
    found = []
    for one in answer.rounds:
        away = far_of(inputs, one.round) if one.latest else None
        if away is not None:
            found.append(_finding(inputs, one, away))
    return tuple(found)


def far_of(inputs: Inputs, round_: str) -> dict[Key, float] | None:
    """How far landmarks of a round lie from where they usually do, mm at 1:6, where that is far.

    None where fewer than six of the built-in ones are placed.

    Parameters
    ----------
    inputs, round_
        The nouns, and a round's id.

    Raises
    ------
    ValueError
        If no landmark of the round has a weight: a fault of ours.

    Source
    ------
    Own choice: the usual head is laid on the placed landmarks by a similarity, far ones counting
    little.
    """
    usual = drawn_places()
    placed = {key: at for key, at in placed_on(inputs, round_).items() if key in usual}
    if len(placed) < LEAST:
        return None
    head = np.array([usual[key] for key in placed]) / FULL_SIZE
    places = np.array(list(placed.values()))
    weights, away = np.ones(len(placed)), np.zeros(len(placed))
    for _ in range(PASSES):
        onto = similarity(head, places, weights)
        away = np.linalg.norm(onto.of(head) - places, axis=1)
        weights = 1 / (1 + (away / (SOFT * np.median(away) + 1e-6)) ** 2) ** 2
    return {key: float(mm) for key, mm in zip(placed, away, strict=True) if mm > FAR_MM}


def _finding(inputs: Inputs, one: RoundAnswer, away: dict[Key, float]) -> Finding:
    order = sorted(away, key=lambda key: -away[key])
    values: dict[str, Value] = {"head": Name(one.name)}
    if not away:
        message = Sentence("All landmarks of {head} lie about where a head has them.", values)
    else:
        values |= {
            "count": Count(len(away), "landmark lies", "landmarks lie"),
            "names": Names(tuple(mark_name(inputs, key) for key in order[:NAMED])),
            "most": Measure(away[order[0]], "mm", 0),
        }
        text = "On {head} {count} up to {most} from where a head has it: {names}"
        message = Sentence(text + (" most." if len(away) > NAMED else "."), values)
    remedy = Sentence("Look at each on the sculpt; place it again, or accept it.")
    return rules.PLACE.finding(
        Subject("round", one.round),
        Evidence(
            measured=exact(len(away)),
            limit=Limit("==", 0),
            doubt=PlaceDoubt.FAR if away else None,
        ),
        message,
        remedy=remedy if away else None,
        weight=1.5,
    )
