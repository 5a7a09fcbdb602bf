"""What an open choice does to the demand for a box, by the votes: stated, and moving no sum."""

from dataclasses import replace

from sixwright.project.apply import apply
from sixwright.project.records import Change
from sixwright.project.voices_rows import Voices
from sixwright.reports.as_json.choices import choices_json
from sixwright.reports.pages import document
from sixwright.reports.prompt.text import document_text
from sixwright.workflows.choices_topic import CHOICES
from sixwright.workflows.compare import compare
from sixwright.workflows.review import review
from topics.voices.builders import votes
from workflows.open_lines import TODAY, cell, line, with_choices

PARTS = [{"id": "loud", "name": "Loud"}, {"id": "calm", "name": "Calm"}]
HELD = [{"sells": "box", "part": part, "quantity": "1", "optional": "no"} for part in
        ("loud", "calm")]  # fmt: skip
WAYS = {
    "question": "Must everybody take the loud head?",
    "alternatives": [
        {"id": "all", "name": "For all"},
        {"id": "extra", "name": "As an extra",
         "changes": [cell("contents", "box/loud", "optional", "no", "yes")]},
    ],
}  # fmt: skip
# Six like the loud head alone, ten like the calm one and hate the loud one, four like both.
TOLD = votes(
    {f"a{i}": {"loud": 5, "calm": 3} for i in range(6)}
    | {f"b{i}": {"loud": 1, "calm": 5} for i in range(10)}
    | {f"c{i}": {"loud": 5, "calm": 4} for i in range(4)}
)


def judged():
    project = line({}, parts=PARTS, held=HELD)
    cells = {"kind": "rate", "least": "1", "most": "5", "closed": "2026-09-01"}
    project = apply(project, [
        Change("polls", "heads", add=cells | {"question": "Which head?"}),
        *(Change("options", f"heads/{part}", add={"part": part}) for part in ("loud", "calm")),
    ])  # fmt: skip
    project = with_choices(replace(project, voices=Voices(TOLD)), {"loud-head": WAYS})
    return review(project, today=TODAY)


def test_a_way_states_what_it_multiplies_the_demand_by_between_two_suppositions():
    first, extra = compare(judged()).weighed["loud-head"]
    assert first.demand == {}
    factor = extra.demand["heads"]["box"]
    # All 20 are reached either way; made to take it 10 are put off, left to choose nobody is.
    assert (factor.low, factor.high) == (1.0, 2.0)
    money = {"profit", "fixed", "cash_asked", "tied_up"}
    assert all(not extra.difference[measure] for measure in money)


def test_the_page_and_the_json_state_it():
    found = judged()
    shown = " ".join(document_text(document(found, CHOICES.id), styled=False).split())
    assert "“As an extra” multiplies the demand for box by 1.00 to 2.00" in shown
    stated = choices_json(found)["open"]["loud-head"]["alternatives"]["extra"]["demand"]
    assert stated == {"heads": {"box": {"low": 1.0, "high": 2.0}}}
