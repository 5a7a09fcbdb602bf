"""The page of likeness: every landmark of every head once, worst first, with what to do."""

import re
from dataclasses import replace
from datetime import date

import pytest

from architecture.reading import ROOT
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.pictures import Drawing
from sixwright.kernel.sentences import Sentence
from sixwright.reports.as_json.review import check_json
from sixwright.reports.document import Answer, Fold, Items, Plate, Table
from sixwright.reports.html import report_html
from sixwright.reports.pages import document, documents, to_read
from sixwright.reports.prompt.text import document_text
from sixwright.reports.wording.evidence import anchor, open_findings
from sixwright.reports.wording.words import say, text_of
from sixwright.storage.cache import TOOLS
from sixwright.storage.folder import read
from sixwright.topics.likeness.topic import LIKENESS
from sixwright.workflows.review import review

TODAY = date(2026, 9, 14)
RANK = {"fails": 0, "doubtful": 1, "holds": 2, "unchecked": 3}


@pytest.fixture(scope="module")
def judged():
    project = read(ROOT / "examples/sluice-keeper").project
    return review(project, today=TODAY, tools=TOOLS)


@pytest.fixture(scope="module")
def page(judged):
    return document(judged, "likeness")


def all_blocks(blocks):
    for block in blocks:
        yield block
        if isinstance(block, Fold):
            yield from all_blocks(block.blocks)


def of_kind(page, kind):
    return [block for block in all_blocks(page.blocks) if isinstance(block, kind)]


def landmark_tables(page):
    return [table for table in of_kind(page, Table) if re.match(r"Where .* is off", table.name)]


def words(value) -> str:
    if isinstance(value, Sentence):
        return say(value, "en-GB")
    return value if isinstance(value, str) else text_of(value, "en-GB")


def test_each_head_has_its_two_drawings_and_all_its_landmarks(judged, page):
    latest = [one for one in judged.of(LIKENESS).rounds if one.latest]
    assert len(latest) == 5
    assert [len(t.rows) for t in landmark_tables(page)] == [len(o.landmarks) for o in latest]
    drawings = [plate.picture for plate in of_kind(page, Plate)]
    assert len(drawings) == 2 * len(latest)
    assert all(isinstance(d, Drawing) and d.scale_bar_mm > 0 for d in drawings)


def test_the_worst_landmarks_come_first(page):
    for table in landmark_tables(page):
        ranks = [RANK[row.cells[-1].value] for row in table.rows]
        assert ranks == sorted(ranks)


def test_the_answer_says_what_is_off_and_counts_every_landmark(judged, page):
    said = [say(sentence, "en-GB") for sentence in page.blocks[0].sentences]
    assert isinstance(page.blocks[0], Answer)
    first = said[0].replace("\N{NO-BREAK SPACE}", " ")
    assert re.match(
        r"m1-level, round 2: the right ear 0\.\d mm down .*as a whole \(0\.\d mm to 0\.\d mm\); "
        r"the nose tip alone 0\.\d mm in \(0\.\d mm to 0\.\d mm\)[;.] .*Leave the rest as it is\.",
        first,
    )
    marks = [m for one in judged.of(LIKENESS).rounds if one.latest for m in one.landmarks]
    counted = [int(number) for number in re.findall(r"\b\d+\b", said[-1])]
    assert counted[0] == len(marks)
    assert sum(counted[2:]) == len(marks)


def test_only_heads_on_which_something_fails_are_laid_open(judged, page):
    failing = {
        one.sculpt
        for one in judged.of(LIKENESS).rounds
        if one.latest and any(mark.verdict is Verdict.FAILS for mark in one.landmarks)
    }
    folded = {b.anchor for b in page.blocks if isinstance(b, Fold) and b.anchor[:5] == "head-"}
    sculpts = {one.sculpt for one in judged.of(LIKENESS).rounds}
    assert failing == {"m1-level"}
    assert folded == {f"head-{sculpt}" for sculpt in sculpts - failing}


def test_what_is_off_is_told_with_the_numbers_of_the_json(judged, page):
    data = check_json(judged, version="0", inputs={})["answers"]["likeness"]
    (nose,) = [
        mark
        for one in data
        if one["round"] == "m1-level-2"
        for mark in one["landmarks"]
        if mark["landmark"] == "pronasale"
    ]
    rows = landmark_tables(page)[0].rows
    row = next(row for row in rows if words(row.cells[0].value) == "Nose tip (pronasale)")
    length = sum(value**2 for value in nose["ask_mm"]) ** 0.5
    assert float(words(row.cells[2].value)) == pytest.approx(length, abs=0.02)
    low, high = (float(text) for text in words(row.cells[3].value).split(" to "))
    assert low <= length <= high
    assert words(row.cells[1].value).endswith(" in")
    assert nose["chance_off"] > 0.95
    assert words(row.cells[5].value) == "more than 9 in 10"


def test_features_are_told_with_the_numbers_of_the_json(judged, page):
    data = check_json(judged, version="0", inputs={})["answers"]["likeness"]
    (features,) = [one["features"] for one in data if one["round"] == "m1-level-2"]
    ear = features[0]
    assert (ear["feature"], ear["verdict"]) == ("right ear", "fails")
    (table,) = [t for t in of_kind(page, Table) if t.name == "m1-level, round 2, by feature"]
    assert [words(row.cells[0].value).lower() for row in table.rows] == [
        feature["feature"] for feature in features
    ]
    assert f"{-ear['move_mm'][1]:.1f}" in words(table.rows[0].cells[1].value)
    nose = next(feature for feature in features if feature["feature"] == "nose")
    assert (nose["move_mm"], nose["verdict"]) == (None, "doubtful")  # the tip alone


def test_rounds_tell_what_moved_unasked(page):
    (table,) = [table for table in of_kind(page, Table) if "from round to round" in table.name]
    told = {words(row.cells[0].value): row for row in table.rows}
    assert {"Nose tip (pronasale)", "Right ear notch (tragion)"} <= set(told)
    moved = float(words(told["Right ear notch (tragion)"].cells[-1].value))
    assert moved > 0.5


def test_a_still_that_is_not_what_its_row_says_stands_out(page):
    (table,) = [t for t in of_kind(page, Table) if t.name == "The stills of keeper"]
    assert [words(r.cells[0].value) for r in table.rows if r.verdict] == ["s05-gate", "s06-rain"]
    rain = next(row for row in table.rows if words(row.cells[0].value) == "s06-rain")
    assert float(words(rain.cells[6].value)) == 1.0
    assert float(words(rain.cells[7].value)) == pytest.approx(0.75, abs=0.01)


def test_every_finding_has_one_place_in_the_report_and_can_be_dealt_with_on_the_page(judged, page):
    findings = [f for f in judged.findings if f.topic == "likeness"]
    html = report_html(judged, folder="sluice-keeper", inputs={})
    for finding in open_findings(tuple(findings)):
        assert html.count(f'id="{anchor(finding)}"') == 1, finding.id
    listed = {item.finding.id for block in of_kind(page, Items) for item in block.items}
    assert listed == {finding.id for finding in findings}


def test_what_is_only_to_be_worked_on_is_not_printed(judged):
    shown = {each.topic: each for each in documents(judged)}["likeness"]
    assert not [block for block in shown.blocks if isinstance(block, Fold) and block.to_work]


def test_what_is_only_to_be_worked_on_is_not_printed_however_deep_it_is_folded_away(page):
    kept = Fold(Sentence("kept"), ())
    inner = (Fold(Sentence("left out"), (), to_work=True), kept)
    shown = to_read(replace(page, blocks=(Fold(Sentence("a head"), inner),)))
    assert shown.blocks == (Fold(Sentence("a head"), (kept,)),)


def test_the_page_as_text_keeps_its_tables_together(page):
    text = document_text(page, styled=False)
    assert "Does the head look right from every side?" in text
    assert max(len(line) for line in text.splitlines()) <= 100
