"""The line-up as a topic."""

from sixwright.kernel.findings import Finding
from sixwright.kernel.topic import Tools, Topic
from sixwright.topics.lineup import checks, compute
from sixwright.topics.lineup.model import Answer, Inputs, as_json
from sixwright.topics.lineup.rules import RULES, TOPIC


def _answer(inputs: Inputs, _tools: Tools) -> Answer:
    return compute.answer(inputs)


def _findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    return checks.findings(inputs, answer)


LINEUP = Topic(
    TOPIC,
    "The boxes",
    "What is in each box?",
    RULES,
    _answer,
    _findings,
    as_json,
    see="See the box",
)
