"""Likeness as a topic; what it computes with is imported only where a line has heads."""

from dataclasses import replace

from sixwright.kernel.findings import Finding
from sixwright.kernel.topic import Tools, Topic
from sixwright.topics.likeness.as_json import as_json
from sixwright.topics.likeness.by_person import by_person, together
from sixwright.topics.likeness.model import Answer, Inputs
from sixwright.topics.likeness.rules import RULES, TOPIC


def _answer(inputs: Inputs, tools: Tools) -> Answer:
    from sixwright.topics.likeness.sculpt_files import sculpt_files, with_surfaces

    files = sculpt_files(inputs, tools)
    parts = by_person(with_surfaces(inputs, files))
    answer = together((_person(part, tools) for part in parts), inputs)
    return replace(answer, files=files)


def _person(part: Inputs, tools: Tools) -> Answer:
    """One person's answer: remembered, so that another person's sighting does not ask for it."""

    def solve() -> Answer:
        from sixwright.topics.likeness import compute

        return compute.answer(part)

    return tools.memo(TOPIC, part, Answer, solve)


def _findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    from sixwright.topics.likeness import checks, checks_sculpts

    return (*checks.findings(inputs, answer), *checks_sculpts.findings(inputs, answer))


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
