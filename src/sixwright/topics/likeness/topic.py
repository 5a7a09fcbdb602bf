"""Likeness as a topic; what it computes with is imported only where a line has heads."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sixwright.kernel.findings import Finding
from sixwright.kernel.topic import Tools, Topic
from sixwright.topics.likeness.as_json import as_json
from sixwright.topics.likeness.by_person import by_person, together
from sixwright.topics.likeness.model import Answer, Inputs
from sixwright.topics.likeness.rules import RULES, TOPIC
from sixwright.topics.likeness.sculpts import SculptContent, content_of

if TYPE_CHECKING:
    from sixwright.topics.likeness.solids import Solids


@dataclass(frozen=True, slots=True)
class _PersonInputs:
    """What a person's answer rests on: rows, and the meshes of the rounds among them."""

    part: Inputs
    meshes: SculptContent


def _answer(inputs: Inputs, tools: Tools) -> Answer:
    from sixwright.topics.likeness.sculpt_files import sculpt_files, with_surfaces
    from sixwright.topics.likeness.solids import solids_of

    files = sculpt_files(inputs, tools)
    parts = by_person(with_surfaces(inputs, files))
    solids = solids_of(inputs, files, tools)
    asked = (_PersonInputs(part, content_of(files, part.rounds)) for part in parts)
    answer = together((_person(each, solids, tools) for each in asked), inputs)
    if not inputs.asks:
        return replace(answer, files=files)
    from sixwright.topics.likeness.rounds.ask_outcomes import ask_answers

    return replace(answer, files=files, asks=ask_answers(inputs))


def _person(asked: _PersonInputs, solids: "Solids", tools: Tools) -> Answer:
    """One person's answer: remembered, so that another person's sighting does not ask for it."""

    def solve() -> Answer:
        from sixwright.topics.likeness import compute

        return compute.answer(asked.part, solids)

    return tools.memo(TOPIC, asked, Answer, solve)


def _findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    from sixwright.topics.likeness import (
        checks,
        checks_asks,
        checks_hidden,
        checks_outlines,
        checks_places,
        checks_sculpts,
    )

    return (
        *checks.findings(inputs, answer),
        *checks_sculpts.findings(inputs, answer),
        *checks_places.findings(inputs, answer),
        *checks_hidden.findings(inputs, answer),
        *checks_asks.findings(answer),
        *checks_outlines.findings(answer),
    )


def _is_empty(inputs: Inputs) -> bool:
    return not (inputs.sculpts or inputs.stills)


LIKENESS = Topic(
    TOPIC,
    "The figure",
    "Does the head look right from every side?",
    RULES,
    _answer,
    _findings,
    as_json,
    is_slow=True,
    see="See the head",
    is_empty=_is_empty,
)
