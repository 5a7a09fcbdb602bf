"""Where heads are off, what the stills cannot show, and what to do: each with its evidence."""

from sixwright.kernel.findings import Evidence, Finding, Subject
from sixwright.kernel.intervals import Limit, Verdict, exact, judge
from sixwright.kernel.sentences import Count, Measure, Name, Sentence, Value
from sixwright.topics.likeness import checks_files, checks_stills, rules
from sixwright.topics.likeness.directions import right_way, wrong_way
from sixwright.topics.likeness.doubts import LandmarkDoubt, RoundDoubt
from sixwright.topics.likeness.model import (
    Answer,
    Inputs,
    LandmarkAnswer,
    RoundAnswer,
    View,
)
from sixwright.topics.likeness.sources import FAMILY, REGION

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
    for one in answer.rounds:
        if not one.latest:
            continue
        found += [_visibility(one), _blind(one)]
        if one.flipped:
            found.append(_side(one))
        if one.planted is not None:
            found.append(_planted(one))
        for mark in one.landmarks:
            found.append(_correction(one, mark))
            if mark.moved_mm is not None:
                before = _before(earlier, one, mark)
                if before is None or before.verdict is not Verdict.FAILS:
                    found.append(_moved(one, mark))
    return (*found, *checks_files.findings(inputs), *checks_stills.findings(inputs, answer))


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


def head(one: RoundAnswer) -> Name:
    """A round as the producer calls it: the sculpt, and the round's number."""
    return Name(one.name)


def _allowed(one: RoundAnswer) -> float | None:
    """The head's tolerance: the one most of its landmarks have."""
    values = sorted(mark.tolerance_mm for mark in one.landmarks)
    return values[len(values) // 2] if values else None


def _missing(one: RoundAnswer) -> tuple[str, ...]:
    """What a head lacks to be judged at all."""
    if one.person is None:
        return (f"sculpts/{one.sculpt}/person",)
    if not one.landmarks:
        return (f"landmarks/{one.round}",)
    if not any(still.used for still in one.stills):
        return (f"stills/{one.person}",)
    return ()


def _where(view: View) -> str:
    side = "the front"
    if abs(view.yaw_deg) >= 165:
        side = "behind"
    elif view.yaw_deg:
        side = f"{abs(view.yaw_deg):.0f}° to the figure's {'left' if view.yaw_deg > 0 else 'right'}"
    if view.pitch_deg:
        side += f", {'above' if view.pitch_deg > 0 else 'below'} the eyes"
    return side


def _next_still(one: RoundAnswer) -> Sentence:
    """The remedy where stills are lacking: which one to look for."""
    used = sum(still.used for still in one.stills)
    if used < 3 or not one.next_views:
        return Sentence(
            "Add stills of {person} from well apart: three at least, one from the side, each with "
            "{count} sightings or more.",
            {"person": Name(one.person or "the person"), "count": Count(5)},
        )
    view = one.next_views[0]
    values: dict[str, Value] = {"where": _where(view), "gain": Count(round(100 * view.gain))}
    text = "Find a still from {where}: it would take {gain} % off the doubt"
    if view.judged:
        values["judged"] = Count(view.judged, "more landmark", "more landmarks")
        return Sentence(text + " and let {judged} be judged.", values)
    return Sentence(text + ".", values)


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
        used = sum(still.used for still in one.stills)
        values |= {
            "stills": Count(used, "still", "stills"),
            **{
                name: Measure(value or 0.0, "mm", 2)
                for name, value in zip(("x", "y", "z"), one.smallest_mm, strict=True)
            },
        }
        message = Sentence(
            "For {head}, {stills} would show an error of {x} in width, {y} in height and {z} in "
            "depth, 9 times in 10; a head too large or too small all over they cannot show.",
            values,
        )
    else:
        message = Sentence("The stills of {head} would show no error in some direction.", values)
    return rules.VISIBILITY.finding(
        Subject("round", one.round),
        Evidence(
            measured=measured,
            limit=limit,
            missing=_missing(one),
            doubt=None if enough else RoundDoubt.BLUNT,
        ),
        message,
        remedy=None if enough else _next_still(one),
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
    missing = _missing(one)
    whole = unseen + blind == 0 and not missing
    if whole:
        message = Sentence(
            "The stills decide where all of the {all} of {head} are.",
            {"all": values["all"], "head": values["head"]},
        )
    else:
        message = Sentence(
            "Of {all} of {head}, {unseen} in no still and {blind} blind in some direction.", values
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
        remedy=None if whole else _next_still(one),
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
        remedy=None if enough else _next_still(one),
    )


def _correction(one: RoundAnswer, mark: LandmarkAnswer) -> Finding:
    """One landmark against its tolerance."""
    message, remedy = _words(one, mark)
    unseen = mark.correction_mm is None
    return rules.CORRECTION.finding(
        Subject("landmark", f"{one.round}/{mark.landmark}/{mark.side}"),
        Evidence(
            measured=mark.off_mm,
            limit=Limit("<=", mark.tolerance_mm),
            missing=_missing(one)
            or ((f"sightings/{mark.landmark}/{mark.side}",) if unseen else ()),
            doubt=_doubt(mark),
            source=REGION if mark.p_adjusted is None else FAMILY,
        ),
        message,
        remedy=remedy,
        weight=mark.weight_mm / mark.tolerance_mm,
    )


def _doubt(mark: LandmarkAnswer) -> LandmarkDoubt | None:
    """Why a landmark's verdict is not that of its interval."""
    if mark.verdict is judge(mark.off_mm, Limit("<=", mark.tolerance_mm)) and not mark.reason:
        return None
    name = mark.reason.upper().replace("-", "_")
    found = LandmarkDoubt[name] if name in LandmarkDoubt.__members__ else None
    return found if found is not None and found.verdict is mark.verdict else None


def _words(one: RoundAnswer, mark: LandmarkAnswer) -> tuple[Sentence, Sentence | None]:
    values: dict[str, Value] = {"mark": Name(mark.name.capitalize()), "head": head(one)}
    if mark.reason == "contested":
        return (
            Sentence("{mark} of {head}: its sightings contradict each other.", values),
            Sentence("Look at each of its sightings again, or mark it in a further still."),
        )
    if mark.correction_mm is None or mark.off_mm is None:
        lead = "{mark} of {head} is in no still" if mark.correction_mm is None else (
            "{mark} of {head} cannot be told in any direction"
        )  # fmt: skip
        return Sentence(lead + ", so nothing is said of it.", values), _next_still(one)
    values |= {
        "low": Measure(mark.off_mm.low, "mm", 2),
        "high": Measure(mark.off_mm.high, "mm", 2),
        "allowed": Measure(mark.tolerance_mm, "mm", 2),
    }
    template, amounts = wrong_way(mark)
    tail = " ({low} to {high} off, {allowed} allowed)"
    if mark.verdict is Verdict.HOLDS:
        return Sentence("{mark} of {head} is right" + tail + ".", values), None
    moves, moved = right_way(mark)
    meant = any(mark.meant_mm)
    aim = " from what is meant" if meant else ""
    if mark.verdict is Verdict.FAILS:
        text = "{mark} of {head} is " + template + aim + tail + "."
        if mark.blind:
            text += " In one more direction no still decides."
        return (
            Sentence(text, values | amounts),
            Sentence(
                "Move the {place} " + moves + "; leave what holds as it is.",
                {"place": mark.name} | moved,
            ),
        )
    return _unsure_words(one, mark, values)


def _unsure_words(
    one: RoundAnswer, mark: LandmarkAnswer, values: dict[str, Value]
) -> tuple[Sentence, Sentence]:
    """Words for a landmark that is neither shown right nor shown wrong."""
    tail = " ({low} to {high} off, {allowed} allowed)."
    why = {
        "blind": "{mark} of {head} is blind in some direction; in the others nothing is wrong",
        "few-stills": "{mark} of {head} is in fewer than three stills that can be used, which "
        "prove nothing",
        "one-sighting": "{mark} of {head} was sighted once, which nothing checks",
        "two-sightings": "{mark} of {head} is far off or one of its two sightings is wrong",
        "exchanged": "{mark} of {head} lies where another landmark should, and that one here: "
        "their names seem exchanged",
        "curved": "{mark} of {head}: these stills are too alike for an interval to be trusted",
        "flipped": "{mark} of {head} is not judged until it is known which way round the head is",
        "misfit": "{mark} of {head} is not judged: the sightings fit no head",
        "bent": "{mark} of {head} is not judged: the stills are bent as no camera bends them",
    }
    text = why.get(mark.reason, "{mark} of {head} may be right or wrong")
    if mark.reason == "two-sightings":
        remedy = Sentence("Look at its two sightings again, and mark it in a third still.")
    elif mark.reason == "exchanged":
        remedy = Sentence("Compare the two names in the stills and on the sculpt.")
    elif mark.reason == "bent":
        remedy = Sentence(
            "Find the stills themselves: these look photographed off a picture at a slant, "
            "squeezed all alike, or cut from the edge of a wide lens."
        )
    elif mark.reason == "misfit":
        remedy = Sentence("Check that the stills show this person, and mark one of them anew.")
    elif mark.reason == "flipped":
        remedy = Sentence("Look first whether the head or its stills are left for right.")
    elif mark.verdict is Verdict.DOUBTFUL:
        remedy = Sentence("Leave it until a further still tells; see which one would tell most.")
    else:
        remedy = _next_still(one)
    return Sentence(text + tail, values), remedy


def _moved(one: RoundAnswer, mark: LandmarkAnswer) -> Finding:
    """Whether a landmark that nobody asked to move stayed where it was."""
    if mark.moved_mm is None:
        raise KeyError(f"{mark.key} must have a round before.")
    limit = Limit("<=", mark.tolerance_mm)
    verdict = judge(mark.moved_mm, limit)
    values: dict[str, Value] = {
        "mark": Name(mark.name.capitalize()),
        "head": head(one),
        "amount": Measure(mark.moved_mm.value, "mm", 2),
    }
    if verdict is Verdict.HOLDS:
        message = Sentence("{mark} of {head} stayed as it was, to {amount}.", values)
        remedy = None
    elif verdict is Verdict.FAILS:
        message = Sentence(
            "{mark} of {head} moved {amount} since the round before, and nobody asked.", values
        )
        remedy = Sentence("Ask why it was changed; if for nothing, put it back.")
    else:
        message = Sentence("{mark} of {head} may have moved, by {amount} or so.", values)
        remedy = Sentence("Compare the two rounds there by eye.")
    return rules.MOVED.finding(
        Subject("landmark", f"{one.round}/{mark.landmark}/{mark.side}"),
        Evidence(measured=mark.moved_mm, limit=limit),
        message,
        remedy=remedy,
        weight=float(mark.moved_mm.value) / mark.tolerance_mm,
    )
