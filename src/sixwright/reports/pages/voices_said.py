"""The first screen of voices: which options belong in which box, and who disagrees."""

from collections.abc import Iterator, Mapping

from sixwright.kernel.findings import Finding
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Name, Names, Sentence, Share, Value
from sixwright.numerics.shares import wilson_interval
from sixwright.reports.pages.voices_tables import option_name
from sixwright.topics.voices.model import Answer, Inputs, OptionAnswer, PollAnswer, Said, Word
from sixwright.topics.voices.rules import DIVIDED
from sixwright.topics.voices.sets_model import BoxPlacing, Stands

MOST_FINDINGS = 2


def first_screen(
    inputs: Inputs, answer: Answer, findings: tuple[Finding, ...]
) -> Iterator[Sentence]:
    """What goes to everybody, who disagrees and where that belongs, then who waits."""
    told: set[str] = set()
    for poll, said in answer.polls.items():
        if inputs.told.polls[poll].kind != "rate":
            continue
        yield from _together(inputs, poll, said)
        for option, found in said.options.items():
            if found.everyone.word is Word.DIVIDED:
                told.add(f"{poll}/{option}")
                yield from _who(inputs, poll, option, found)
                placed = answer.placings.get(poll, {}).get(option, {})
                yield from _where(inputs, placed)
    failing = [
        finding
        for finding in findings
        if finding.verdict is Verdict.FAILS
        and finding.accepted is None
        and not (finding.rule == DIVIDED.id and finding.subject.id in told)
    ]
    yield from (finding.message for finding in failing[:MOST_FINDINGS])


def _together(inputs: Inputs, poll: str, said: PollAnswer) -> Iterator[Sentence]:
    """The largest set that divides nobody and reaches most."""
    last = [chosen for chosen in said.sets if chosen.size == said.sets[-1].size]
    calm = next((chosen for chosen in last if chosen.agreed), None)
    if not last:
        return
    best = calm or last[0]
    values: dict[str, Value] = {
        "names": Names(tuple(option_name(inputs, poll, o) for o in best.options)),
        "reach": Count(best.reach),
        "all": Count(said.n or 0, "voter", "voters"),
    }
    if calm is None:
        yield Sentence(
            "{names} together reach {reach} of {all}; every set of that size has one that divides.",
            values,
        )
    elif best.size == 1:
        yield Sentence("{names} divides nobody and reaches {reach} of {all}.", values)
    else:
        yield Sentence(
            "{names} divide nobody and together reach {reach} of {all}: every buyer can have them.",
            values,
        )


def _who(inputs: Inputs, poll: str, option: str, found: OptionAnswer) -> Iterator[Sentence]:
    """Who wants a divided option and who does not; backers beside others, where both are known."""
    said = found.everyone
    if said.top is None or said.bottom is None or not said.n:
        return
    against = wilson_interval(round(said.bottom * said.n), said.n)
    values: dict[str, Value] = {
        "option": Name(option_name(inputs, poll, option)),
        "top": Share(said.top, 0),
        "share": Share(said.bottom, 0),
        "low": Share(against.low, 0),
        "high": Share(against.high, 0),
    }
    yield Sentence(
        "{option} divides them: {top} want it, and {share} ({low} to {high}) do not.", values
    )
    backers, others = _top(found.backers), _top(found.others)
    if backers is not None and others is not None:
        yield Sentence(
            "Of backers {backers} want it, of others {others}.",
            {"backers": Share(backers, 0), "others": Share(others, 0)},
        )


def _top(said: Said) -> float | None:
    return said.top if said.n else None


def _where(inputs: Inputs, placed: Mapping[str, BoxPlacing]) -> Iterator[Sentence]:
    """Where a divided option adds reach: in the boxes that hold it, or else where it adds most."""
    if not placed:
        return
    held = {box: p for box, p in placed.items() if p.stands is not Stands.OUT and p.adds > 0}
    if not held:
        box, best = max(placed.items(), key=lambda pair: pair[1].adds)
        if best.adds > 0:
            yield Sentence(
                "It would add most to {box}: {adds} whom nothing else there reaches.",
                {"box": Name(inputs.names.get(box) or box), "adds": _voters(best.adds)},
            )
        return
    most_first = sorted(held.items(), key=lambda pair: -pair[1].adds)
    boxes = tuple(f"{inputs.names.get(box) or box} ({p.adds} voters more)" for box, p in most_first)
    forced = any(placing.stands is Stands.FORCED for placing in held.values())
    words = "It belongs in {boxes}, as a piece that a buyer can leave out"
    yield Sentence(
        f"{words}; now every buyer gets it." if forced else f"{words}, as it is.",
        {"boxes": Names(boxes)},
    )


def _voters(count: int) -> Count:
    return Count(count, "voter", "voters")
