"""Where heads are off, what the stills cannot show, and what to do: each with its evidence."""

from sixwright.kernel.findings import Evidence, Finding, Subject
from sixwright.kernel.intervals import Limit, Verdict, exact
from sixwright.kernel.sentences import Count, Measure, Sentence, Value
from sixwright.topics.likeness import checks_files, checks_landmarks, checks_stills, rules
from sixwright.topics.likeness.checks_asks import asked_in
from sixwright.topics.likeness.doubts import RoundDoubt
from sixwright.topics.likeness.model import Answer, Inputs, LandmarkAnswer, RoundAnswer
from sixwright.topics.likeness.remedies import head, missing_of, next_still

NOTICED = 0.9


def findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    """Every rule of likeness on the latest round of every head, what holds included.

    Parameters
    ----------
    inputs, answer
        The nouns and what was computed of them.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    docs/topics/likeness.md lists the rules.
    """
    found: list[Finding] = []
    earlier = {
        (one.sculpt, mark.key, one.number or 0): mark
        for one in answer.rounds
        for mark in one.landmarks
    }
    wanted = asked_in(inputs, answer)
    for one in answer.rounds:
        if not one.latest:
            continue
        found += [_visibility(one), _blind(one)]
        if one.flipped:
            found.append(_side(one))
        if one.planted is not None:
            found.append(_planted(one))
        for mark in one.landmarks:
            found.append(checks_landmarks.correction(one, mark))
            if mark.moved_mm is not None and (one.round, mark.key) not in wanted:
                before = _before(earlier, one, mark)
                if before is None or before.verdict is not Verdict.FAILS:
                    found.append(checks_landmarks.moved(one, mark))
    if inputs.stills and not answer.rounds:
        found.append(_no_sculpt(inputs))
    return (*found, *checks_files.findings(inputs), *checks_stills.findings(inputs, answer))


def _no_sculpt(inputs: Inputs) -> Finding:
    """There are stills, and nothing that they could be compared with."""
    count = Count(len(inputs.stills), "still", "stills")
    return rules.VISIBILITY.finding(
        Subject("line", inputs.line),
        Evidence(measured=None, limit=None, missing=("sculpts",)),
        Sentence("There is no sculpt to compare {stills} with.", {"stills": count}),
        remedy=Sentence("Drop the sculptor’s mesh on the page of sculpts."),
    )


def _before(
    earlier: dict[tuple[str, tuple[str, str], int], LandmarkAnswer],
    one: RoundAnswer,
    mark: LandmarkAnswer,
) -> LandmarkAnswer | None:
    numbers = [
        n for sculpt, key, n in earlier
        if sculpt == one.sculpt and key == mark.key and n < (one.number or 0)
    ]  # fmt: skip
    return earlier[one.sculpt, mark.key, max(numbers)] if numbers else None


def _allowed(one: RoundAnswer) -> float | None:
    """The head's tolerance: the one most of its landmarks have."""
    values = sorted(mark.tolerance_mm for mark in one.landmarks)
    return values[len(values) // 2] if values else None


def _visibility(one: RoundAnswer) -> Finding:
    """What error these stills would show: before any verdict, for bad stills pass no head."""
    tolerance = _allowed(one)
    known = [value for value in one.smallest_mm if value is not None]
    whole = len(known) == len(one.smallest_mm)
    measured = exact(max(known)) if whole else None
    limit = None if tolerance is None else Limit("<=", tolerance)
    enough = measured is not None and limit is not None and limit.allows(measured.value)
    values: dict[str, Value] = {"head": head(one)}
    if whole:
        values |= {
            name: Measure(value or 0.0, "mm", 2)
            for name, value in zip(("x", "y", "z"), one.smallest_mm, strict=True)
        }
        message = Sentence(
            "For {head}, these stills would reveal errors of {x} across, {y} up and down, {z} "
            "front to back, nine times in ten. They cannot reveal a wrong overall size.",
            values,
        )
    else:
        message = Sentence("The stills of {head} would reveal no error in some direction.", values)
    return rules.VISIBILITY.finding(
        Subject("round", one.round),
        Evidence(
            measured=measured,
            limit=limit,
            missing=missing_of(one),
            doubt=None if enough else RoundDoubt.BLUNT,
        ),
        message,
        remedy=None if enough else next_still(one),
        weight=2.0,
    )


def _blind(one: RoundAnswer) -> Finding:
    """How many landmarks cannot be judged, wholly or in some direction."""
    unseen = sum(mark.sightings == 0 for mark in one.landmarks)
    blind = sum(bool(mark.blind) and mark.sightings > 0 for mark in one.landmarks)
    values: dict[str, Value] = {
        "head": head(one),
        "all": Count(len(one.landmarks), "landmark", "landmarks"),
        "unseen": Count(unseen, "is", "are"),
        "blind": Count(blind, "is", "are"),
    }
    missing = missing_of(one)
    whole = unseen + blind == 0 and not missing
    if whole:
        message = Sentence(
            "The stills decide where all of the {all} of {head} are.",
            {"all": values["all"], "head": values["head"]},
        )
    else:
        message = Sentence(
            "Of {all} of {head}, {unseen} in no still and {blind} not located in one direction.",
            values,
        )
    return rules.BLIND.finding(
        Subject("round", one.round),
        Evidence(
            measured=exact(unseen + blind),
            limit=Limit("==", 0),
            missing=missing,
            doubt=None if whole else RoundDoubt.UNDECIDED,
        ),
        message,
        remedy=None if whole else next_still(one),
        weight=1.0,
    )


def _side(one: RoundAnswer) -> Finding:
    """Most stills fit only mirrored: rather the sculpt than all of them."""
    used = sum(still.used for still in one.stills)
    message = Sentence(
        "{count} of {all} fit {head} only mirrored: rather than all of them, the head itself may "
        "be left for right, or its landmarks may be named so.",
        {"count": Count(one.flipped), "all": Count(used, "still", "stills"), "head": head(one)},
    )
    return rules.SIDE.finding(
        Subject("round", one.round),
        Evidence(
            measured=exact(one.flipped), limit=Limit("<=", used // 2), doubt=RoundDoubt.FLIPPED
        ),
        message,
        remedy=Sentence(
            "Look which side a parting, a mole or a scar is on. If the head is wrong, mirror it or "
            "its landmarks; if the stills are, say in their rows which way round they are."
        ),
        weight=3.0,
    )


def _planted(one: RoundAnswer) -> Finding:
    """Whether an error of the tolerance's size, planted on purpose, would have been noticed."""
    trial = one.planted
    if trial is None:
        raise KeyError(f"{one.round} must have a planted error.")
    measured, limit = exact(trial.chance), Limit(">=", NOTICED)
    enough = limit.allows(trial.chance)
    message = Sentence(
        "Had the {mark} of {head} been {amount} out, these stills would have noticed it {times} "
        "times in 100.",
        {
            "mark": trial.name,
            "head": head(one),
            "amount": Measure(trial.moved_mm, "mm", 2),
            "times": Count(round(100 * trial.chance)),
        },
    )
    return rules.PLANTED.finding(
        Subject("round", one.round),
        Evidence(measured=measured, limit=limit, doubt=None if enough else RoundDoubt.UNNOTICED),
        message,
        remedy=None if enough else next_still(one),
    )
