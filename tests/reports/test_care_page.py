"""The page of care: what to print on each box, what is asked, what the rules say of themselves."""

from datetime import date
from pathlib import Path

import pytest

from reports.lines import real_size
from sixwright.kernel.sentences import Sentence
from sixwright.reports.document import Fold, Table
from sixwright.reports.pages import document
from sixwright.reports.wording.words import say, text_of
from sixwright.storage.folder import read
from sixwright.workflows.review import review

DEMO = Path(__file__).resolve().parents[2] / "examples/sluice-keeper"
TODAY = date(2026, 9, 14)
ASKED = ("lineup", "care")


@pytest.fixture(scope="module")
def demo():
    return review(read(DEMO, large=False).project, today=TODAY, only=ASKED)


@pytest.fixture(scope="module")
def page(demo):
    return document(demo, "care")


def cell(value):
    if value is None:
        return ""
    return say(value, "en-GB") if isinstance(value, Sentence) else text_of(value, "en-GB")


def rows(document_, name):
    (found,) = [b for b in document_.blocks if isinstance(b, Table) and b.name == name]
    return {cell(row.cells[0].value): row for row in found.rows}


def test_the_answer_leaves_the_last_word_to_codes_and_tests(page):
    answer = page.blocks[0]
    said = [say(sentence, "en-GB") for sentence in answer.sentences]
    assert said[-1] == "Local codes and accredited testing decide; nothing here is a test."
    assert "must not come loose" in said[1]


def test_each_box_says_what_to_print_on_it(page):
    boxes = rows(page, "Cautions on each box")
    assert len(boxes) == 5
    assert cell(boxes["Muster Long Watch"].cells[1].value).startswith(
        "Contains small magnets and button cells. Dangerous if swallowed. Keep away from children."
    )
    assert "magnets" not in cell(boxes["Muster Watch"].cells[1].value)
    assert boxes["Muster Watch"].cells[2].value.value == 4


def test_what_is_asked_stands_first_and_can_be_answered_there(page):
    parts = rows(page, "Part by part")
    first = next(iter(parts.values()))
    assert cell(first.cells[2].value)
    assert first.cells[1].place.column == "hazards"
    assert cell(parts["Base plate"].cells[2].value) == "Are there magnets in it?"
    assert cell(parts["Open hand"].cells[1].value) == "none"
    assert parts["Base plate"].cells[1].value is None


def test_the_workshop_is_told_of_resin_and_metal(page):
    work = rows(page, "In the workshop")
    assert set(work) == {"Resin", "Paint and solvents", "Dust", "Metal", "Electrics"}
    assert cell(work["Resin"].cells[2].value) == "Slate; and Pool, clear resin"
    assert "others" in cell(work["Metal"].cells[2].value)


def test_the_rules_say_how_they_are_known_and_how_old_that_is(page):
    (rules,) = [b for b in page.blocks if isinstance(b, Fold) and b.anchor == "care-regulations"]
    table = next(block for block in rules.blocks if isinstance(block, Table))
    known = {cell(row.cells[0].value): cell(row.cells[4].value) for row in table.rows}
    assert known["16 CFR part 1262"] == "read in its text"
    assert known["EN 71-1 and ASTM F963, mechanical safety of toys"] == "from memory, not read"
    assert say(table.rows[0].cells[4].detail, "en-GB") == "25 November 2026, 0 months ago"


def test_a_line_that_states_nothing_at_all_is_never_called_sound():
    bare = review(real_size(), today=TODAY, only=("care",))
    page = document(bare, "care")
    assert page.blocks[0].verdict.value == "unchecked"
