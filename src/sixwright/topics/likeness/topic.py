"""Likeness as a topic; what it computes with is imported only where a line has heads."""

from sixwright.kernel.findings import Finding
from sixwright.kernel.topic import Tools, Topic
from sixwright.topics.likeness.model import Answer, Inputs, as_json
from sixwright.topics.likeness.rules import RULES, TOPIC

# Raised whenever the same heads and stills would be answered otherwise.
VERSION = 6


def _answer(inputs: Inputs, tools: Tools) -> Answer:
    def solve() -> Answer:
        from sixwright.topics.likeness import compute

        return compute.answer(inputs)

    return tools.memo(TOPIC, VERSION, inputs, Answer, solve)


def _findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    from sixwright.topics.likeness import checks

    return checks.findings(inputs, answer)


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
