"""Where single landmarks of a head are off, and what to do: each with its evidence."""

from sixwright.kernel.findings import Evidence, Finding, Subject
from sixwright.kernel.intervals import Limit, Verdict, judge
from sixwright.kernel.sentences import Measure, Name, Sentence, Value
from sixwright.kernel.sources import Source
from sixwright.line.landmarks import the
from sixwright.topics.likeness import rules
from sixwright.topics.likeness.directions import right_way, wrong_way
from sixwright.topics.likeness.doubts import LandmarkDoubt
from sixwright.topics.likeness.model import LandmarkAnswer, RoundAnswer
from sixwright.topics.likeness.remedies import chance_words, head, missing_of, next_still
from sixwright.topics.likeness.sources import BELIEF, FAMILY, REGION


def correction(one: RoundAnswer, mark: LandmarkAnswer) -> Finding:
    """One landmark against its tolerance."""
    message, remedy = _words(one, mark)
    unseen = mark.correction_mm is None
    return rules.CORRECTION.finding(
        Subject("landmark", f"{one.round}/{mark.landmark}/{mark.side}"),
        Evidence(
            measured=mark.off_mm,
            limit=Limit("<=", mark.tolerance_mm),
            missing=missing_of(one)
            or ((f"sightings/{mark.landmark}/{mark.side}",) if unseen else ()),
            doubt=_doubt(mark),
            source=_source(mark),
        ),
        message,
        remedy=remedy,
        weight=mark.weight_mm / mark.tolerance_mm,
    )


def _source(mark: LandmarkAnswer) -> Source:
    """What a landmark's verdict rests on."""
    if mark.p_adjusted is None:
        return REGION
    return FAMILY if mark.chance_off is None else BELIEF


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
        return Sentence(lead + ", so nothing is said of it.", values), next_still(one)
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
            text += " It cannot be located in one direction."
        return (
            Sentence(text, values | amounts),
            Sentence(
                "Move {place} " + moves + "; leave what holds as it is.",
                {"place": the(mark.name)} | moved,
            ),
        )
    return _unsure_words(one, mark, values)


def _unsure_words(
    one: RoundAnswer, mark: LandmarkAnswer, values: dict[str, Value]
) -> tuple[Sentence, Sentence]:
    """Words for a landmark that is neither shown right nor shown wrong."""
    text = _WHY.get(mark.reason, "{mark} of {head} may be right or wrong")
    if mark.chance_off is not None and mark.reason in {"", "blind", "many", "only-believed"}:
        values = values | {"chance": chance_words(mark.chance_off)}
        text += ": off by more than allowed with a chance of {chance}"
    return Sentence(text + " ({low} to {high} off, {allowed} allowed).", values), _remedy(one, mark)


_WHY = {
    "blind": "{mark} of {head} cannot be located in one direction",
    "few-stills": "{mark} of {head} is in fewer than three stills that can be used, which prove "
    "nothing",
    "one-sighting": "{mark} of {head} is marked in one still only; nothing confirms it",
    "two-sightings": "{mark} of {head} is far off or one of its two sightings is wrong",
    "stray-outline": "{mark} of {head} looks right, but an outline drawn past it, which is not "
    "used, says otherwise",
    "exchanged": "{mark} of {head} lies where another landmark should, and that one here: their "
    "names seem exchanged",
    "curved": "{mark} of {head}: these stills are too alike for an interval to be trusted",
    "flipped": "{mark} of {head} is not judged until it is known which way round the head is",
    "misfit": "{mark} of {head} is not judged: the sightings fit no head",
    "bent": "{mark} of {head} is not judged: the stills are bent as no camera bends them",
    "only-believed": "{mark} of {head} looks right by the rest of the head, less so by its own "
    "stills",
}
_DO = {
    "two-sightings": "Look at its two sightings again, and mark it in a third still.",
    "stray-outline": "Look at that outline first: draw it anew along the edge of the head, or take "
    "it away.",
    "exchanged": "Compare the two names in the stills and on the sculpt.",
    "bent": "Find the stills themselves: these look photographed off a picture at a slant, "
    "squeezed all alike, or cut from the edge of a wide lens.",
    "misfit": "Check that the stills show this person, and mark one of them anew.",
    "flipped": "Look first whether the head or its stills are left for right.",
}


def _remedy(one: RoundAnswer, mark: LandmarkAnswer) -> Sentence:
    """What to do: move it where that is likelier right than leaving it."""
    if mark.reason in _DO:
        return Sentence(_DO[mark.reason])
    if mark.ask_mm is not None:
        moves, moved_by = right_way(mark)
        return Sentence("Move {place} " + moves + ".", {"place": the(mark.name)} | moved_by)
    if mark.reason == "blind":
        return Sentence("Leave it until a further still tells; add a still from another side.")
    if mark.verdict is Verdict.DOUBTFUL:
        return Sentence("Leave it until a further still tells; see which one would tell most.")
    return next_still(one)


def moved(one: RoundAnswer, mark: LandmarkAnswer) -> Finding:
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
