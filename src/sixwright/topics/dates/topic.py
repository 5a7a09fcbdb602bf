"""Dates as a topic."""

from sixwright.kernel.findings import Finding
from sixwright.kernel.topic import Tools, Topic
from sixwright.topics.dates.as_json import as_json
from sixwright.topics.dates.model import Answer, Inputs
from sixwright.topics.dates.rules import RULES, TOPIC


def _answer(inputs: Inputs, tools: Tools) -> Answer:
    from sixwright.topics.dates import compute

    return tools.memo(TOPIC, inputs, Answer, lambda: compute.answer(inputs))


def _findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    from sixwright.topics.dates import checks

    return checks.findings(inputs, answer)


def _is_empty(inputs: Inputs) -> bool:
    return not inputs.tasks


DATES = Topic(
    TOPIC,
    "The sale",
    "What date can we promise?",
    RULES,
    _answer,
    _findings,
    as_json,
    is_slow=True,
    see="See the dates",
    is_empty=_is_empty,
)
