"""What is still to be said of each part, and what each stated hazard asks for."""

from collections.abc import Iterator

from sixwright.kernel.findings import Evidence, Finding, Subject
from sixwright.kernel.intervals import Limit, Verdict, exact
from sixwright.kernel.sentences import Count, Measure, Name, Names, Sentence, Value
from sixwright.line.boxes import HAZARDS as WORDS
from sixwright.line.boxes import NO_HAZARD
from sixwright.topics.care import rules
from sixwright.topics.care.cautions import short
from sixwright.topics.care.doubts import CareDoubt
from sixwright.topics.care.hazards import BY_WORD, MAGNET
from sixwright.topics.care.magnets import LIMIT
from sixwright.topics.care.model import Answer, Inputs, PartCare
from sixwright.topics.care.suggestions import Suggestion

NAMED = 3  # so many parts are named; more are counted
STATE = Sentence(f"Say which of {', '.join(WORDS)} it has, or “{NO_HAZARD}”.")


def findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    """Every rule of care on every part that it applies to, what holds included.

    Parameters
    ----------
    inputs, answer
        The line and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    docs/topics/care.md lists the rules.
    """
    found: list[Finding] = []
    silent: list[str] = []
    for id_, part in answer.parts.items():
        if part.stated is None and not part.asked:
            silent.append(id_)
        else:
            found.append(_stated(inputs, id_, part))
        found += _hazards(inputs, id_, part)
    return (*found, *_silent(inputs, silent))


def _named(inputs: Inputs, part: str) -> Name:
    return Name(inputs.parts[part].called)


def _cell(part: str) -> str:
    return f"parts/{part}/hazards"


def _stated(inputs: Inputs, id_: str, part: PartCare) -> Finding:
    """Whether all that words suggest on a part is stated, one way or the other."""
    values: dict[str, Value] = {"part": _named(inputs, id_)}
    subject, open_ = Subject("part", id_), Limit("==", 0)
    if part.asked:
        values |= {"questions": questions(part.asked), "why": reasons(part.asked)}
        asked = Sentence("{part}: {questions} {why}", values)
    if part.stated is None:
        seen = Evidence(limit=open_, missing=(_cell(id_),))
        return rules.STATED.finding(subject, seen, asked, remedy=STATE, weight=len(part.asked))
    if part.asked:
        seen = Evidence(exact(len(part.asked)), open_, doubt=CareDoubt.NAMED)
        return rules.STATED.finding(subject, seen, asked, remedy=STATE, weight=len(part.asked))
    values["hazards"] = short(part.stated)
    said = Sentence("Stated of {part}: {hazards}.", values)
    if not part.stated:
        del values["hazards"]
        said = Sentence("Nothing is stated to hurt on {part}; no test was made of it.", values)
    return rules.STATED.finding(subject, Evidence(exact(0), open_), said)


def questions(asked: tuple[Suggestion, ...]) -> str:
    """What is asked of a part, as one text."""
    return " ".join(BY_WORD[each.hazard].question for each in asked)


def reasons(asked: tuple[Suggestion, ...]) -> str:
    """What suggests it, as one text: it says such a word in its process."""
    by_place: dict[str, list[str]] = {}
    for each in asked:
        said = by_place.setdefault(each.where, [])
        if each.said not in said:
            said.append(each.said)
    words = [
        f"is of the kind {said[0]}" if where == "kind" else f"says {_quoted(said)} in its {where}"
        for where, said in by_place.items()
    ]
    return f"It {' and '.join(words)}."


def _quoted(said: list[str]) -> str:
    """Words in quotation marks, as a list in a sentence."""
    *first, last = (f"“{word}”" for word in said)
    return f"{', '.join(first)} and {last}" if first else last


def _silent(inputs: Inputs, parts: list[str]) -> Iterator[Finding]:
    """All parts of which nothing is stated and nothing suggested, in one finding of the line."""
    if not parts:
        return
    names = tuple(_named(inputs, part).text for part in parts[:NAMED])
    if len(parts) > NAMED:
        names = (*names, f"{len(parts) - NAMED} more")
    values: dict[str, Value] = {"count": Count(len(parts), "part", "parts"), "names": Names(names)}
    yield rules.STATED.finding(
        Subject("line", inputs.line),
        Evidence(limit=Limit("==", 0), missing=tuple(_cell(part) for part in parts)),
        Sentence("What could hurt on {count} is not stated: {names}.", values),
        remedy=STATE,
    )


def _hazards(inputs: Inputs, id_: str, part: PartCare) -> Iterator[Finding]:
    if part.stated is None:
        return
    if MAGNET in part.stated:
        yield _magnet(inputs, id_, part)
    for rule in rules.TESTED:
        if rule.id in part.stated:
            hazard = BY_WORD[rule.id]
            values: dict[str, Value] = {"part": _named(inputs, id_), "hazard": hazard.short}
            yield rule.finding(
                Subject("part", id_),
                Evidence(limit=Limit(">=", 1), doubt=CareDoubt.UNTESTED),
                Sentence("{part} ({hazard}): no test is recorded.", values),
                remedy=Sentence(hazard.remedy),
                weight=_boxes(inputs, id_),
            )


def _boxes(inputs: Inputs, part: str) -> float:
    return float(sum(held.get(part, 0) != 0 for held in inputs.contents.values()))


def _magnet(inputs: Inputs, id_: str, part: PartCare) -> Finding:
    """How strong a magnet is, against what a loose one may be."""
    seen = Evidence(part.flux_index, Limit("<", LIMIT), _place(inputs, id_, part))
    values: dict[str, Value] = {"part": _named(inputs, id_)}
    remedy = Sentence(BY_WORD[MAGNET].remedy)
    if part.flux_index is None:
        message = Sentence("{part}: how strong its magnet is cannot be said yet.", values)
        remedy = Sentence("Write grade and size of the disc in its process, as in “N42, 6 × 3 mm”.")
    else:
        values |= {"index": Measure(part.flux_index.value, "", 0), "limit": Count(LIMIT)}
        message = Sentence(_MAGNET[seen.verdict], values)
    return rules.MAGNET.finding(
        Subject("part", id_),
        seen,
        message,
        remedy=None if seen.verdict is Verdict.HOLDS else remedy,
        weight=_boxes(inputs, id_),
    )


_MAGNET = {
    Verdict.FAILS: "{part} must not come loose: its flux index is about {index}, and a loose "
    "magnet must stay below {limit}. Two that are swallowed pinch the gut between them.",
    Verdict.DOUBTFUL: "{part} may be too strong for a magnet that comes loose: its flux index is "
    "about {index}, and the limit is {limit}.",
    Verdict.HOLDS: "{part} has a flux index of about {index}, below the limit of {limit} for a "
    "loose magnet. That is a number, and no test.",
}


def _place(inputs: Inputs, id_: str, part: PartCare) -> tuple[str, ...]:
    """The cell that should say grade and size, where they are not known."""
    if part.flux_index is not None:
        return ()
    way = inputs.parts[id_].way
    return (f"ways/{way}/process",) if way in inputs.ways else (f"parts/{id_}/way",)
