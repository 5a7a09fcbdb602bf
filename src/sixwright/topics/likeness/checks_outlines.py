"""Whether outlines drawn on stills are those of the sculpt."""

from sixwright.kernel.findings import Doubt, Evidence, Finding, Subject
from sixwright.kernel.intervals import Limit, Verdict
from sixwright.kernel.sentences import Measure, Name, Sentence, Share, Value
from sixwright.topics.likeness import rules
from sixwright.topics.likeness.model import Answer, RoundAnswer
from sixwright.topics.likeness.outlines.model import OutlineAnswer, OutlineStretch, Stray


class OutlineDoubt(Doubt):
    """Why an outline is not judged."""

    EXPRESSION = (
        "it moves with the face, and no head of its expression was there",
        Verdict.UNCHECKED,
    )
    UNLIKE = ("less than half of it runs along an outline of the sculpt", Verdict.UNCHECKED)
    MEANT = ("the sculpt is meant to differ from the person there", Verdict.UNCHECKED)
    UNUSED = ("its still could not be used", Verdict.UNCHECKED)
    STRAY = ("all else says otherwise; it seems to follow another edge", Verdict.UNCHECKED)
    CONTESTED = (
        "another outline contradicts it, and nothing says which is right",
        Verdict.DOUBTFUL,
    )
    ALONE = ("nothing else says whether the head is so far off there", Verdict.DOUBTFUL)


def findings(answer: Answer) -> tuple[Finding, ...]:
    """Each outline against each latest round that it can be held against; hair and masks never.

    One that follows another edge is told of once, whatever else it is held against.

    Parameters
    ----------
    answer
        What was computed.

    Raises
    ------
    KeyError
        If an outline that is judged has no stretch: a fault of ours.
    """
    judged = {(line.still, line.outline) for one in answer.rounds for line in one.outlines
              if not line.reason}  # fmt: skip
    found: list[Finding] = []
    left: dict[tuple[str, str], Finding] = {}
    for one in answer.rounds:
        for line in one.outlines:
            key = (line.still, line.outline)
            if not line.reason:
                found.append(_judged(one, line))
            elif line.stray is not None:
                left[key] = _left(one, line)
            elif line.reason in _WHY and key not in judged:
                left.setdefault(key, _left(one, line))
    return (*found, *left.values())


def outline_name(line: OutlineAnswer) -> str:
    """What an outline is called, behind “the”: its id in words, and the still it was drawn on."""
    what, _, side = line.outline.rpartition("-")
    words = f"{side} {what}" if what and side in {"left", "right"} else line.outline
    return f"{words} in {line.still}"


def _subject(one: RoundAnswer, line: OutlineAnswer) -> Subject:
    return Subject("outline", f"{one.round}/{line.still}/{line.outline}")


def _judged(one: RoundAnswer, line: OutlineAnswer) -> Finding:
    worst = line.worst
    if worst is None:
        raise KeyError(f"{line.outline} must have a stretch.")
    values: dict[str, Value] = {
        "line": Name(outline_name(line)),
        "head": Name(one.name),
        "high": Measure(worst.off_mm.high, "mm", 2),
        "allowed": Measure(line.tolerance_mm, "mm", 2),
    }
    remedy = None
    if line.verdict is Verdict.HOLDS:
        text = "The {line} runs along the outline of {head}: at most {high} off, {allowed} allowed."
    else:
        side = "outside" if worst.out else "inside"
        low = Measure(worst.off_mm.low, "mm", 2)
        text = "The {line} may lie up to {high} off that of {head}; {allowed} allowed."
        if line.verdict is Verdict.FAILS:
            text = f"The {{line}} lies {{off}} {side} that of {{head}} ({{low}} to {{high}} off, "
            text += "{allowed} allowed)."
            values |= {"off": Measure(worst.off_mm.value, "mm", 2), "low": low}
        elif worst.off_mm.low > 0:
            text = f"The {{line}} lies {{low}} to {{high}} {side} that of {{head}}; "
            text += "{allowed} allowed."
            values["low"] = low
        remedy = _remedy(worst, sure=line.verdict is Verdict.FAILS)
    message = Sentence(text, values)
    return rules.OUTLINE.finding(
        _subject(one, line),
        Evidence(measured=worst.off_mm, limit=Limit("<=", line.tolerance_mm)),
        message,
        remedy=remedy,
        weight=float(worst.off_mm.low) / line.tolerance_mm,
    )


def _remedy(worst: OutlineStretch, *, sure: bool) -> Sentence:
    if not sure:
        return Sentence("Draw it once more with care, or on a further still that shows it.")
    way = "out" if worst.out else "in"
    return Sentence(f"Bring the surface {way} where the picture through that still marks it.")


def _left(one: RoundAnswer, line: OutlineAnswer) -> Finding:
    named: dict[str, Value] = {"line": Name(outline_name(line)), "head": Name(one.name)}
    if line.stray is not None:
        named |= _of_stray(line.stray)
    message, remedy = _WHY[line.reason]
    if line.stray is not None:
        for word, off in (("{side}", line.stray.off_mm), ("{other_side}", line.stray.others_mm)):
            message = message.replace(word, "outside" if off > 0 else "inside")
    values = {name: value for name, value in named.items() if f"{{{name}}}" in message}
    return rules.OUTLINE.finding(
        _subject(one, line),
        Evidence(
            limit=Limit("<=", line.tolerance_mm),
            missing=(f"outlines/{line.still}/{line.outline}",),
            doubt=OutlineDoubt[line.reason.upper()],
        ),
        Sentence(
            message, {name: each for name, each in values.items() if f"{{{name}}}" in message}
        ),
        remedy=Sentence(remedy),
    )


def _of_stray(stray: Stray) -> dict[str, Value]:
    """How far off the stretch lies, for how much of the outline, and what all else says."""
    others = abs(stray.others_mm)
    return {
        "off": Measure(abs(stray.off_mm), "mm", 2),
        "share": Share(stray.share, 0),
        "others": Measure(others, "mm", 2),
    }


_WHY = {
    "stray": (
        (
            "The {line} lies {off} {side} that of {head} for {share} of its length. All other "
            "marks and outlines together put that place {others} {other_side}, so that "
            "stretch seems to "
            "follow another edge; it is not used."
        ),
        (
            "Look at it in the picture through that still. Draw it anew along the edge of the "
            "head, or take it away."
        ),
    ),
    "contested": (
        (
            "The {line} lies {off} {side} that of {head} for {share} of its length. Another "
            "outline of that place contradicts it, and nothing says which of them follows "
            "another edge; "
            "neither is used."
        ),
        "Look at both in the pictures through their stills, and draw anew the one that is wrong.",
    ),
    "alone": (
        (
            "The {line} lies {off} {side} that of {head} for {share} of its length. No other "
            "mark or outline shows whether the head is so far off there; it is not used."
        ),
        "Draw the same edge on another still that shows it, and this one once more with care.",
    ),
    "expression": (
        "The {line} moves with the face; no head with a mesh has the expression of that still.",
        "Name the mesh of a round of that expression, or leave the outline as it is.",
    ),
    "unlike": (
        "The {line} runs along no outline of {head}.",
        "See that it follows the edge of the head and is named for what it is.",
    ),
    "meant": (
        "The {line} lies where {head} is meant to differ from the person.",
        "Judge that place by its landmark.",
    ),
    "unused": (
        "The {line} tells nothing: its still could not be used.",
        "See what is said of that still.",
    ),
}
