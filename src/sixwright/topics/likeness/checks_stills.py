"""Whether each still is what its row says, and whether its sightings agree with the others."""

from sixwright.kernel.findings import Evidence, Finding, Fix, Subject
from sixwright.kernel.intervals import Limit, Verdict, exact
from sixwright.kernel.sentences import Count, Measure, Name, Names, Sentence, Share, Value
from sixwright.line.landmarks import LANDMARKS, name_of
from sixwright.line.likeness import Key
from sixwright.topics.likeness import rules
from sixwright.topics.likeness.doubts import StillDoubt
from sixwright.topics.likeness.model import Answer, Flaw, Inputs, StillAnswer


def findings(inputs: Inputs, answer: Answer) -> list[Finding]:
    """Each still once: what it is, which of its sightings are wrong, whether others predict it.

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
    stills = {still.id: still for one in reversed(answer.rounds) for still in one.stills}
    found: list[Finding] = []
    for id_ in inputs.stills:
        if id_ not in stills or (
            inputs.stills[id_].file in inputs.pictures and stills[id_].reason in {"file", "size"}
        ):  # said of its file
            continue
        still = stills[id_]
        found.append(_still(inputs, still))
        if still.used:
            found.append(_sighting(inputs, still))
        if still.left_out is not None:
            found.append(_left_out(still))
    return found


def _still(inputs: Inputs, still: StillAnswer) -> Finding:
    """Whether a still was taken as its row says."""
    values: dict[str, Value] = {"still": Name(still.id)}
    missing: tuple[str, ...] = ()
    remedy, fix, doubt = None, None, StillDoubt.AS_STATED
    if not still.used:
        doubt = StillDoubt.UNUSED
        message, remedy, missing = _unused(inputs, still, values)
        if still.reason in {"unfit", "sides", "swapped"}:
            doubt = StillDoubt.UNFIT
        elif still.reason in {"copy", "slant", "robbed"}:
            doubt = StillDoubt.LEFT_OUT
    elif still.reason == "flipped":
        doubt = StillDoubt.FLIPPED
        message = Sentence("{still} fits only mirrored, as most stills of its person do.", values)
        remedy = Sentence("Look first whether the head or its stills are left for right.")
    elif still.flaws:
        flaw = still.flaws[0]
        doubt = StillDoubt.OTHERWISE if flaw.certain else StillDoubt.PERHAPS
        message, remedy, fix = _flawed(still, flaw, values)
    else:
        values["off"] = Measure(still.residual_rms_px or 0.0, "px", 1)
        message = Sentence("{still} fits as its row says, to {off}.", values)
    typical = still.residual_rms_px
    return rules.STILL.finding(
        Subject("still", still.id),
        Evidence(
            measured=None if typical is None else exact(typical), missing=missing, doubt=doubt
        ),
        message,
        remedy=remedy,
        weight=3.0 if still.flaws else 0.5,
        fix=fix,
    )


def _unused(
    inputs: Inputs, still: StillAnswer, values: dict[str, Value]
) -> tuple[Sentence, Sentence, tuple[str, ...]]:
    """Why a still took no part, and what would let it."""
    message, remedy, *columns = _WHY_NOT.get(still.reason, _WHY_NOT["sightings"])
    if still.reason == "robbed":
        values = values | {"marks": Names(tuple(mark_name(inputs, key) for key in still.rejected))}
    if "{count}" in message:
        values = values | {"count": Count(still.sightings, "sighting", "sightings")}
    missing = tuple(f"stills/{still.id}/{column}" for column in columns)
    if still.reason == "sightings":
        missing = (f"sightings/{still.id}",)
    return Sentence(message, values), Sentence(remedy), missing


# Reason: what is said, what to do, and the still's columns that are lacking or wrong.
_WHY_NOT = {
    "size": (
        "{still} cannot be used: its size in pixels is not known.",
        "Fill in the width and height of the image.",
        "width_px",
        "height_px",
    ),
    "frame": (
        "{still} cannot be used: its width and height do not go with its {count}.",
        "Fill in the size of the very file in which they were marked.",
        "width_px",
        "height_px",
    ),
    "copy": (
        "{still} has the sightings of another still, and tells nothing new.",
        "Delete it, or mark its landmarks anew.",
    ),
    "unfit": (
        "{still} was left out: most of its sightings fit no camera.",
        "Check that it shows this person, and look at its sightings again.",
    ),
    "robbed": (
        "{still} was left out: no other still puts {marks} there, and too few others are left.",
        "Look at these places again, and mark five landmarks or more that can be seen.",
    ),
    "sides": (
        "{still} was left out: left and right are marked in it the other way round.",
        "Mark its left and right anew: the figure's left is on the right as it looks at you.",
    ),
    "swapped": (
        "{still} was left out: it fits mirrored, with left and right the other way round.",
        "Look for a parting, a mole or lettering; if it is mirrored, say so and mark it anew.",
    ),
    "slant": (
        "{still} was left out: it is bent as a picture of a picture is, taken at a slant.",
        "Mark the picture itself, or one photographed straight from the front of it.",
    ),
    "unsolved": (
        "{still} was left out: no cameras could be found for the stills of its person.",
        "Look at the sizes, squeezes, lens data and sightings of them all: some cannot be meant.",
    ),
    "sculpt": (
        "{still} cannot be used: no sculpt of the person has landmarks.",
        "Place the landmarks on a round of the sculpt.",
    ),
    "sightings": (
        "{still} has {count}, too few to find its camera.",
        "Mark five landmarks or more in it, spread over the face.",
    ),
}


def _flawed(
    still: StillAnswer, flaw: Flaw, values: dict[str, Value]
) -> tuple[Sentence, Sentence, Fix | None]:
    """What a still's row does not say, and the edit that says it."""
    if flaw.kind == "mirrored":
        said = "yes" if flaw.found else "no"
        text = "{still} looks flipped left to right"
        if not flaw.found:
            text = "{still} looks not flipped left to right, though its row says so"
        if flaw.hidden:
            values["hidden"] = Count(flaw.hidden, "of its sightings", "of its sightings")
            text += ": as its row says, {hidden} would lie on the far side of the head"
        tail = "; treated as flipped." if flaw.found else "; treated as not flipped."
        return (
            Sentence(text + tail, values),
            Sentence("Say in its row whether it is mirrored."),
            Fix(f"Say mirrored: {said}", "stills", still.id, (("mirrored", said),)),
        )
    if flaw.kind == "squeeze":
        alike = round(100 * flaw.found) == round(100 * flaw.stated)
        found, stated = (Share(value, int(alike)) for value in (flaw.found, flaw.stated))
        return (
            Sentence(
                "{still} looks squeezed to {found}, your table says {stated}; {found} was used.",
                values | {"stated": stated, "found": found},
            ),
            Sentence("Ask for the frame's true proportions, and state the squeeze."),
            Fix(
                f"Say squeeze {flaw.found:.3f}",
                "stills",
                still.id,
                (("squeeze", f"{flaw.found:.3f}"),),
            ),
        )
    values |= {"stated": Measure(flaw.stated, "px", 0), "found": Measure(flaw.found, "px", 0)}
    return (
        Sentence(
            "{still}: the lens data say {stated}, the sightings say {found}; the lens data were "
            "not used.",
            values,
        ),
        Sentence("Check the focal length in its row, or empty the cell."),
        Fix("Empty the focal length", "stills", still.id, (("focal_px", ""),)),
    )


def mark_name(inputs: Inputs, key: Key) -> str:
    """A landmark in plain words, as the line calls it."""
    term = inputs.terms.get(key[0])
    built_in = LANDMARKS.get(key[0])
    name = (term.name if term else "") or (built_in.term.name if built_in else "") or key[0]
    return name_of(key, name)


def _sighting(inputs: Inputs, still: StillAnswer) -> Finding:
    """Which sightings of a still lie where no other still puts the landmark."""
    wrong = len(still.rejected)
    values: dict[str, Value] = {"still": Name(still.id)}
    if wrong:
        values["marks"] = Names(tuple(mark_name(inputs, key) for key in still.rejected))
        values["count"] = Count(wrong, "sighting was", "sightings were")
        message = Sentence(
            "In {still}, {count} left out: no other still puts {marks} there.", values
        )
        remedy = Sentence("Look at the place again, and mark it anew or say that it is hidden.")
    else:
        values["all"] = Count(still.sightings, "sighting", "sightings")
        message = Sentence("In {still}, {all} agree with the other stills.", values)
        remedy = None
    return rules.SIGHTING.finding(
        Subject("still", still.id),
        Evidence(
            measured=exact(wrong),
            limit=Limit("==", 0),
            doubt=StillDoubt.SIGHTINGS if wrong else None,
        ),
        message,
        remedy=remedy,
        weight=float(wrong),
    )


def _left_out(still: StillAnswer) -> Finding:
    """Whether the other stills would have predicted this one."""
    if still.left_out is None:
        raise KeyError(f"{still.id} must have been left out.")
    ratio, usual, sure = still.left_out
    verdict = Verdict.HOLDS
    if ratio > usual:
        verdict = Verdict.FAILS if ratio > sure else Verdict.DOUBTFUL
    values: dict[str, Value] = {
        "still": Name(still.id),
        "ratio": Measure(ratio, "", 1),
        "usual": Measure(usual, "", 1),
    }
    if verdict is Verdict.HOLDS:
        message = Sentence(
            "The other stills predict {still}: its sightings are {ratio} times the expected "
            "distance off, and up to {usual} is chance.",
            values,
        )
    else:
        message = Sentence(
            "The other stills do not predict {still}: its sightings are {ratio} times the "
            "expected distance off, and chance gives {usual} at most.",
            values,
        )
    return rules.LEFT_OUT.finding(
        Subject("still", still.id),
        Evidence(
            measured=exact(ratio),
            limit=Limit("<=", usual),
            doubt=StillDoubt.CHANCE if usual < ratio <= sure else None,
        ),
        message,
        remedy=None
        if verdict is Verdict.HOLDS
        else Sentence("Check the expression, the person and the sightings of this still."),
        weight=ratio,
    )
