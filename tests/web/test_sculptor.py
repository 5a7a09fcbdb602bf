"""From a head to the sculptor's page: picked, written as one edit, saved, and taken back."""

import csv
import json
import re
import shutil

import pytest

from architecture.reading import ROOT
from sixwright.project.tables.dates import DATES
from sixwright.project.tables.voices import VOICES
from sixwright.storage.tables.large_tables import LARGE
from sixwright.web.app import make_app
from web.asking import Client, clock
from web.test_pages import barriers

ROUND = "m1-level-2"
STILLS = {"s01-quay", "s03-window", "s05-gate"}
UNPROVEN = "The stills do not prove that any of these is off"
FEW = {"exocanthion", "subnasale", "cheilion", "gnathion", "pronasale", "endocanthion", "sellion",
       "stomion", "alare"}  # fmt: skip


@pytest.fixture
def folder(tmp_path):
    """The demo without dates and votes."""
    left = {table.file for table in (*DATES.tables, *VOICES.tables)} | set(LARGE)
    ignore = shutil.ignore_patterns(*left)
    return shutil.copytree(ROOT / "examples/sluice-keeper", tmp_path / "line", ignore=ignore)


def test_what_is_found_becomes_one_page_for_the_sculptor(page_of, served, folder, tmp_path):
    page = page_of(f"{served(folder)}/likeness", width=1280)
    page.get_by_role("link", name="Choose what to ask the sculptor").first.click()
    page.locator("input[data-pick]").first.wait_for()  # the head is worked out meanwhile
    assert UNPROVEN not in page.content()
    assert barriers(page) == []
    page.screenshot(path=str(tmp_path / "choose.png"), full_page=True)
    page.get_by_role("button", name="Put on the sculptor’s page").click()
    page.foreseen = ("422 (Unprocessable Content)", "422 (Unprocessable Entity)")
    page.get_by_text("Pick what the sculptor is to change; nothing was written.").wait_for()
    # By the keyboard alone: the boxes, then the button.
    boxes = page.locator("input[data-pick]")
    names = [box.get_attribute("aria-label") for box in boxes.all()]
    assert "right ear" in names[0].lower()
    assert any("nose tip" in name.lower() for name in names)
    for box in boxes.all():
        box.focus()
        page.keyboard.press("Space")
    page.get_by_role("button", name="Put on the sculptor’s page").focus()
    page.keyboard.press("Enter")
    page.get_by_role("heading", name="The page for the sculptor").wait_for()
    assert page.locator(".ask-cards li").count() == len(names)
    assert barriers(page) == []
    page.screenshot(path=str(tmp_path / "kept.png"), full_page=True)
    with (folder / "asks.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {row["round"] for row in rows} == {ROUND}
    assert next(row["subject"] for row in rows) == "right ear"
    assert {row["state"] for row in rows} == {"open"}
    edits = {json.loads(line)["edit"] for file in folder.glob("history/*.jsonl")
             for line in file.read_text("utf-8").splitlines()}  # fmt: skip
    assert len(edits) == 1
    for kind, start in (("pdf", b"%PDF"), ("png", b"\x89PNG"), ("html", b"")):
        link = page.get_by_role("link", name=f"Save as {kind.upper()}")
        answer = page.request.get(link.evaluate("link => link.href"))
        assert answer.ok, kind
        assert answer.body().startswith(start)
        assert ROUND in answer.headers["content-disposition"]
    head = page.request.get(f"{page.url.partition('/sculptor')[0]}/likeness/m1-level").text()
    assert "Asked about m1-level" in head
    assert "no later round yet" in head
    page.set_viewport_size({"width": 390, "height": 860})
    assert barriers(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    page.screenshot(path=str(tmp_path / "narrow.png"), full_page=True)
    page.get_by_role("button", name="Undo").click()
    page.get_by_role("heading", name="The page for the sculptor").wait_for(state="detached")
    with (folder / "asks.csv").open(encoding="utf-8", newline="") as file:
        assert list(csv.DictReader(file)) == []


def test_where_nothing_is_proven_the_page_says_so_before_anything_is_asked(folder):
    def rewritten(name, kept):
        with (folder / name).open(encoding="utf-8", newline="") as file:
            columns, *rows = csv.reader(file)
        with (folder / name).open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([columns, *kept(columns.index, rows)])

    def less_sure(at, rows):
        for row in rows:
            if row[at("still")] in STILLS and row[at("landmark")] in FEW:
                row[at("sd_px")] = "4" if row[at("sd_px")] else ""
                yield row

    rewritten("sightings.csv", less_sure)
    rewritten("outlines.csv", lambda at, rows: ())  # noqa: ARG005
    rewritten("landmarks.csv", lambda at, rows: [r for r in rows if r[at("landmark")] in FEW])
    page = Client(make_app(folder, clock)).get(f"/sculptor/{ROUND}").text
    verdicts = set(re.findall(r"\b(unchecked|doubtful|fails)\b", page.partition("<tbody>")[2]))
    assert verdicts
    assert "fails" not in verdicts
    assert UNPROVEN in page
