"""Voices as a topic; what it counts with is imported only where a line has polls or comments."""

from sixwright.kernel.findings import Finding
from sixwright.kernel.topic import Tools, Topic
from sixwright.topics.voices.as_json import as_json
from sixwright.topics.voices.model import Answer, Heard, Inputs
from sixwright.topics.voices.rules import RULES, TOPIC


def _answer(inputs: Inputs, tools: Tools) -> Answer:
    from sixwright.topics.voices import compute

    heard = tools.memo(TOPIC, inputs.told, Heard, lambda: compute.hear(inputs.told))
    return compute.answer(inputs, heard)


def _findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    from sixwright.topics.voices import checks

    return checks.findings(inputs, answer)


def _is_empty(inputs: Inputs) -> bool:
    return not (inputs.told.polls or inputs.told.comments)


VOICES = Topic(
    TOPIC,
    "The sale",
    "What do buyers want?",
    RULES,
    _answer,
    _findings,
    as_json,
    needs=("lineup",),
    is_slow=True,
    see="See the votes",
    is_empty=_is_empty,
)
