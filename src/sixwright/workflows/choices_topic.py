"""“Which way should we go?” as a topic: what each open choice would do to the profit.

What a morning needs is worked out here: does each alternative still fit, and what does it do to
the profit. All combinations with all measures are a detail of one page: `compare`.
"""

from sixwright.kernel.errors import ChangeError
from sixwright.kernel.findings import Finding
from sixwright.kernel.topic import Json, Tools, Topic
from sixwright.project.apply import apply
from sixwright.project.choices import Alternative, Choice, open_choices
from sixwright.topics.money.line_sums import sheet
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.choices_model import Choices, Effect, Inputs
from sixwright.workflows.choices_rules import RULES, TOPIC
from sixwright.workflows.choose_checks import findings
from sixwright.workflows.choose_measures import kinds, measures


def _answer(inputs: Inputs, _tools: Tools) -> Choices:
    project = inputs.project
    open_ = open_choices(project.choices)
    return Choices(
        project=project,
        open=open_,
        effects=tuple(
            _effect(inputs, choice, alternative)
            for choice in open_.values()
            for alternative in choice.alternatives[1:]
        ),
        measures=measures(project, inputs.stands),
        kinds=kinds(project),
    )


def _effect(inputs: Inputs, choice: Choice, alternative: Alternative) -> Effect:
    try:
        project = apply(inputs.project, alternative.changes)
    except ChangeError as error:
        return Effect(choice.id, alternative.id, problems=error.problems)
    was, now = inputs.stands.get(MONEY), sheet(inputs.inputs_on(project, MONEY.id))
    missing = tuple(name for sums in (was, now) if sums is not None for name in sums.missing)
    if was is None or was.profit is None or now.profit is None:
        return Effect(choice.id, alternative.id, missing=tuple(dict.fromkeys(missing)))
    return Effect(choice.id, alternative.id, now.profit - was.profit)


def _findings(_inputs: Inputs, answer: Choices) -> tuple[Finding, ...]:
    return findings(answer)


def _as_json(answer: Choices) -> Json:
    """Which choices are open; the comparison is a detail that `compare` makes of a review."""
    return {"open": {id_: {} for id_ in answer.open}}


def _is_empty(inputs: Inputs) -> bool:
    return not inputs.project.choices


CHOICES = Topic(
    TOPIC,
    "Open choices",
    "Which way should we go?",
    RULES,
    _answer,
    _findings,
    _as_json,
    needs=("lineup", "money"),
    takes_all=True,
    see="See the choice",
    is_empty=_is_empty,
)
