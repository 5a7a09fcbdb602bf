"""What a head is called, what it lacks to be judged, and which further still would tell most."""

from sixwright.kernel.sentences import Count, Name, Sentence, Value
from sixwright.topics.likeness.further.model import Help, Viewpoint
from sixwright.topics.likeness.model import RoundAnswer

LIMITS = 0.5  # share of what is left open, from which definitions limit
LEAST_GAIN = 0.02  # share that is worth saying
# Shares as one says them, largest first: from the middle between two on, the nearer.
SAID = ((0.42, "by half"), (0.29, "by a third"), (0.225, "by a quarter"), (0.15, "by a fifth"),
        (0.075, "by a tenth"))  # fmt: skip


def head(one: RoundAnswer) -> Name:
    """A round as the producer calls it: the sculpt, and the round's number."""
    return Name(one.name)


def missing_of(one: RoundAnswer) -> tuple[str, ...]:
    """What a head lacks to be judged at all."""
    if one.person is None:
        return (f"sculpts/{one.sculpt}/person",)
    if not one.landmarks:
        return (f"landmarks/{one.round}",)
    if not any(still.used for still in one.stills):
        return (f"stills/{one.person}",)
    return ()


def _where(view: Viewpoint) -> str:
    side = "the front"
    if abs(view.yaw_deg) >= 165:
        side = "behind"
    elif view.yaw_deg:
        side = f"{abs(view.yaw_deg):.0f}° to the figure's {'left' if view.yaw_deg > 0 else 'right'}"
    if view.pitch_deg:
        side += f", {'above' if view.pitch_deg > 0 else 'below'} the eyes"
    return side


def next_still(one: RoundAnswer) -> Sentence:
    """The remedy where stills are lacking: which one to look for."""
    used = sum(still.used for still in one.stills)
    if used < 3 or not one.next_views:
        return Sentence(
            "Add stills of {person} from well apart: three at least, one from the side, each with "
            "{count} sightings or more.",
            {"person": Name(one.person or "the person"), "count": Count(5)},
        )
    view = one.next_views[0]
    values: dict[str, Value] = {"where": _where(view), "gain": cut_by(view.gain)}
    text = "Find a still from {where}: it would cut the uncertainty {gain}"
    if view.judged:
        values["judged"] = Count(view.judged, "more landmark", "more landmarks")
        return Sentence(text + " and let {judged} be judged.", values)
    return Sentence(text + ".", values)


def cut_by(share: float) -> str:
    """A share as one says it: “by a third”."""
    return next((words for least, words in SAID if share >= least), "by a little")


def chance_words(chance: float) -> str:
    """A chance in whole tenths: “8 in 10”; what is surer is not said to be certain."""
    tenths = round(10 * chance)
    if tenths >= 10:
        return "more than 9 in 10"
    return f"{tenths} in 10" if tenths else "less than 1 in 10"


def what_limits(one: RoundAnswer) -> Sentence | None:
    """What a sharper picture would not help: said where definitions limit more than pixels do."""
    if one.by_definition is None or one.by_definition <= LIMITS:
        return None
    return Sentence(
        "How landmarks are defined leaves more open than the pixels do ({share} in 10): sharper "
        "pictures would help little.",
        {"share": Count(round(10 * one.by_definition))},
    )


def most_a_minute(one: RoundAnswer) -> Sentence | None:
    """What would help this head, most for the time it takes first; None where nothing would."""
    told = [help_ for help_ in one.helps if help_.gain >= LEAST_GAIN]
    if not told:
        return None
    parts = [_help(help_, first=n == 0) for n, help_ in enumerate(told)]
    return Sentence("What helps most for the time it takes: " + "; ".join(parts) + ".", {})


def _help(help_: Help, *, first: bool) -> str:
    """One kind of work, and what it would cut."""
    work = {
        "outlines": "drawing the outlines of jaw, chin and cheeks on each still",
        "stills": "two more stills ("
        + "; ".join(f"one from {_where(v)}" for v in help_.views)
        + ")",
        "landmarks": "eight more landmarks",
    }[help_.kind]
    cut = " would cut the uncertainty " if first else " "
    return work + cut + cut_by(help_.gain)
