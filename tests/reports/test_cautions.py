"""Cautions stand where the hazard is: in the line-up and on the sheet for buyers."""

from datetime import date
from pathlib import Path

import pytest

from reports.lines import real_size
from sixwright.project.apply import apply
from sixwright.project.records import Change
from sixwright.reports.document import Heading, Paragraph, Table
from sixwright.reports.pages import document
from sixwright.reports.report_files import report_files
from sixwright.reports.sheets.buyers_sheet import buyers_sheet
from sixwright.reports.wording.words import say, text_of
from sixwright.storage.folder import read
from sixwright.topics.lineup.topic import LINEUP
from sixwright.workflows.review import review

DEMO = Path(__file__).resolve().parents[2] / "examples/sluice-keeper"
TODAY = date(2026, 9, 14)
ASKED = ("lineup", "care")


@pytest.fixture(scope="module")
def demo():
    return review(read(DEMO, large=False).project, today=TODAY, only=ASKED)


def test_the_line_up_has_the_caution_on_the_part_and_on_the_box(demo):
    shown = next(b for b in document(demo, "lineup").blocks if isinstance(b, Table))
    rows = {text_of(row.cells[0].value, "en-GB"): row.cells for row in shown.rows}
    said = {name: cells[0].detail and say(cells[0].detail, "en-GB") for name, cells in rows.items()}
    assert said["Magnet, 6 × 3 mm"] == "Caution: magnet, small part"
    assert said["Open hand"] is None
    boxes = [cell.detail for cell in rows["Cautions"][1:-1]]
    assert boxes[1].startswith("small magnets, button cells, sharp edges")
    assert boxes[0] == "sharp edges, small parts; 4 not stated"


def sheet(judged):
    return buyers_sheet(judged.project, judged.of(LINEUP))


def cautions(shown):
    blocks = list(shown.blocks)
    at = [i for i, b in enumerate(blocks) if isinstance(b, Heading) and b.text == "Cautions"]
    if not at:
        return []
    after = [b for b in blocks[at[0] + 1 :] if isinstance(b, Paragraph | Heading)]
    end = next((i for i, b in enumerate(after) if isinstance(b, Heading)), len(after))
    return [" ".join(say(s, "en-GB") for s in block.sentences) for block in after[:end]]


def test_the_sheet_for_buyers_warns_of_what_is_in_each_box(demo):
    said = cautions(sheet(demo))
    assert said[0].startswith(
        "Muster Long Watch, Low Water Long Watch and Both Tides: Contains small magnets and button "
        "cells. Dangerous if swallowed. Keep away from children."
    )
    assert "Every box: Contains small parts, on which a child can choke." in said[1]


def test_where_nothing_is_known_the_sheet_says_nothing_and_the_producer_is_told():
    bare = review(real_size(), today=TODAY, only=ASKED)
    text = " ".join(cautions(sheet(bare)))
    assert "safe" not in text
    assert "magnet" not in text
    told = report_files(bare, folder="line", inputs={}).notices
    assert any("of 60 parts nothing is stated yet" in notice for notice in told)


def test_a_hazard_that_is_stated_reaches_the_sheet(demo):
    project = apply(demo.project, [Change("parts", "plnt", "hazards", value="magnet mains")])
    again = review(project, today=TODAY, only=ASKED)
    assert any("Connects to the mains." in each for each in cautions(sheet(again)))
    assert not any("mains" in each for each in cautions(sheet(demo)))
