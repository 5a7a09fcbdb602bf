"""Money as a topic."""

from sixwright.kernel.findings import Finding
from sixwright.kernel.topic import Tools, Topic
from sixwright.topics.money import checks, compute
from sixwright.topics.money.as_json import as_json
from sixwright.topics.money.chances import chances
from sixwright.topics.money.model import Answer, Inputs
from sixwright.topics.money.rules import RULES, TOPIC


def _answer(inputs: Inputs, _tools: Tools) -> Answer:
    return compute.answer(inputs)


def _findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    return checks.findings(inputs, answer)


MONEY = Topic(
    TOPIC,
    "The sale",
    "What must it sell for?",
    RULES,
    _answer,
    _findings,
    as_json,
    needs=("lineup",),
    see="See the money",
    chances=chances,
)
