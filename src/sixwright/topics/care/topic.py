"""Care as a topic."""

from sixwright.kernel.findings import Finding
from sixwright.kernel.topic import Tools, Topic
from sixwright.topics.care import checks, compute
from sixwright.topics.care.model import Answer, Inputs, as_json
from sixwright.topics.care.rules import RULES, TOPIC


def _answer(inputs: Inputs, _tools: Tools) -> Answer:
    return compute.answer(inputs)


def _findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    return checks.findings(inputs, answer)


def _is_empty(inputs: Inputs) -> bool:
    return not inputs.parts


CARE = Topic(
    TOPIC,
    "The send-off",
    "What could hurt someone?",
    RULES,
    _answer,
    _findings,
    as_json,
    needs=("lineup",),
    see="See the cautions",
    is_empty=_is_empty,
)
