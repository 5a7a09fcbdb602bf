"""The page of choices: sentences that read well, tables whose differences add up, JSON."""

import json
import re
from datetime import date
from pathlib import Path

import pytest

from sixwright.kernel.pictures import Chart, Point, Polyline
from sixwright.kernel.sentences import Count
from sixwright.project.apply import apply
from sixwright.project.records import Change
from sixwright.reports.as_json.review import check_json
from sixwright.reports.document import Answer, Paragraph, Plate, Table
from sixwright.reports.pages import document
from sixwright.reports.prompt.text import document_text
from sixwright.reports.wording.words import say
from sixwright.storage.cache import TOOLS
from sixwright.storage.folder import read
from sixwright.topics.money.compute import rival_ways
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.review import review
from workflows.open_lines import bolt_and_nut, cell, choice, with_choices

ROOT = Path(__file__).resolve().parents[2]
TODAY = date(2026, 9, 14)


@pytest.fixture(scope="module")
def demo():
    return review(read(ROOT / "examples/sluice-keeper").project, today=TODAY, tools=TOOLS)


def page(project):
    return document(review(project, today=TODAY, tools=TOOLS), "choices")


def text(project):
    shown = document_text(page(project), styled=False)
    return re.sub(r"\s+", " ", shown.replace("\N{NO-BREAK SPACE}", " "))


def test_the_answer_says_how_many_are_open_and_what_moves_the_most(demo):
    answer = document(demo, "choices").blocks[0]
    assert isinstance(answer, Answer)
    assert answer.verdict is None
    said = " ".join(say(sentence, "en-GB") for sentence in answer.sentences)
    assert said.startswith("Three choices are open. The one that moves the most: Keys in bronze")
    assert (
        "Of 8 combinations, 6 are no better on anything and worse on something than another" in said
    )


def test_all_three_choices_and_all_eight_ways_are_on_the_page(demo):
    tables = [block for block in document(demo, "choices").blocks if isinstance(block, Table)]
    assert [len(table.rows) for table in tables][-1] == 8
    assert tables[0].name == "Wool with hem wire or Stock cloth, side by side"
    first, *rest = (row.cells[-1] for row in tables[-1].rows)
    assert first.nothing
    assert rest[0].value == "1"


def figure(text_):
    return float(text_.replace(",", "").replace("\N{MINUS SIGN}", "-"))


def test_the_differences_shown_are_those_of_the_values_shown(demo):
    tables = [block for block in document(demo, "choices").blocks if isinstance(block, Table)]
    seen = 0
    for table in tables[:-1]:
        for row in table.rows:
            first, second = row.cells[1], row.cells[2]
            if second.detail == "the same":
                assert first.value == second.value
            else:
                gap = figure(second.value) - figure(first.value)
                assert figure(second.detail) == pytest.approx(gap, abs=1e-9)
                seen += 1
    assert seen > 12


def test_the_picture_marks_where_one_falls_back(demo):
    plates = [block for block in document(demo, "choices").blocks if isinstance(block, Plate)]
    chart = plates[0].picture
    assert isinstance(chart, Chart)
    points = [mark for mark in chart.marks if isinstance(mark, Point)]
    assert [mark.label for mark in points] == [Count(1658, "box", "boxes"), "orders assumed"]
    lines = {mark.label for mark in chart.marks if isinstance(mark, Polyline)}
    assert lines == {"Wool with hem wire", "Stock cloth"}
    assert "USD" in chart.y.label
    assert "boxes" in chart.x.label
    assert "up to 1658 boxes" in chart.summary


def test_the_sentence_of_a_size_is_the_pictures(demo):
    said = [
        say(sentence, "en-GB")
        for block in document(demo, "choices").blocks
        if isinstance(block, Paragraph)
        for sentence in block.sentences
    ]
    assert said[0] == (
        "“Stock cloth” earns more than “Wool with hem wire” up to 1,658 boxes, "
        "with today's proportions between boxes."
    )


def test_no_choice_says_so():
    nothing = "This line has nothing yet that this question is about."
    assert nothing in text(with_choices(bolt_and_nut(), {}))


def test_a_way_that_cannot_be_tried_says_why_and_unchecks_the_answer():
    project = apply(bolt_and_nut(), [Change("parts", "bolt", "way", value="brass")])
    shown = text(project)
    assert "unchecked: Two choices are open." in shown
    assert "“brass” cannot be tried" in shown


def test_ways_that_exclude_each_other_are_named():
    documents = {
        "a": choice("A?", "now", ("dear", [cell("editions", "box", "price", "100", "120")])),
        "b": choice("B?", "now", ("cheap", [cell("editions", "box", "price", "100", "90")])),
    }
    assert "“dear” and “cheap” cannot be combined: both set one cell, Price of box." in text(
        bolt_and_nut(documents)
    )


def test_an_interaction_names_its_amount_and_its_cause():
    ways = [
        {"id": "steel", "part": "bolt"}, {"id": "hex", "part": "nut"},
        {"id": "brass", "part": "bolt", "tool": "press", "tooling": "500"},
        {"id": "wing", "part": "nut", "tool": "press", "tooling": "500"},
    ]  # fmt: skip
    assert (
        "“brass” and “wing” together earn 500.00 USD more than the two apart: "
        "the tooling of bolt and nut is shared, and paid once."
    ) in text(bolt_and_nut(ways=ways))


def test_too_many_ways_are_said_to_be_too_many():
    documents = {
        f"c{i}": choice("?", "a", ("b", [cell("parts", "bolt", "note", "", str(i))]))
        for i in range(7)
    }
    assert "There are 128 combinations, too many to try" in text(bolt_and_nut(documents))


def test_the_json_has_the_documented_form(demo):
    found = check_json(demo, version="0", inputs={})["answers"]["choices"]
    assert json.loads(json.dumps(found, allow_nan=False)) == found
    assert set(found["open"]) == {"cape-cloth", "key-metal", "muster-hair"}
    wool, stock = found["open"]["cape-cloth"]["alternatives"].values()
    assert {"measures", "difference"} <= set(stock)
    assert stock["difference"]["profit"] == "4870.8"
    assert stock["measures"]["lead_days"] is None
    assert stock["measures"]["margin_after_fixed_share"]["both-tides"] == "138.721530194567"
    assert wool["difference"]["profit"] == "0"
    assert stock["ahead"][0]["from"] == 0
    assert len(found["combinations"]) == 8
    assert {"choose", "measures", "beaten_by"} == set(found["combinations"][0])
    assert found["combinations"][1]["beaten_by"] == [
        {"cape-cloth": "stock", "key-metal": "zinc", "muster-hair": "sculpted"}
    ]
    assert found["interactions"] == []
    assert (found["extent"], found["possible"]) == ("all", 8)


def test_the_demos_effects_are_what_its_rival_ways_say(demo):
    """The page of money works the same rivals out on its own, without choices."""
    open_ = check_json(demo, version="0", inputs={})["answers"]["choices"]["open"]
    zinc = float(open_["key-metal"]["alternatives"]["zinc"]["difference"]["profit"])
    changes = {
        option.ways: float(option.profit_change)
        for rivalry in rival_ways(demo.inputs_of(MONEY))
        for option in rivalry.options
        if not option.chosen
    }
    (pooled,) = [gain for ways, gain in changes.items() if "key-01-zinc" in ways]
    assert zinc == pytest.approx(pooled, abs=1e-6)
    stock = float(open_["cape-cloth"]["alternatives"]["stock"]["difference"]["profit"])
    assert stock == pytest.approx(changes[("cape-stock",)], abs=1e-6)
