"""The page of voices in use: one click asks about a subject, one makes a word a subject."""

import csv
import shutil

import pytest

from architecture.reading import ROOT
from sixwright.web.app import make_app
from web.asking import Client, asks, clock

# What heads and dates rest on: solving those takes seconds and is tested elsewhere.
LEFT = ("landmarks.csv", "sightings.csv", "stills.csv", "outlines.csv", "targets.csv", "stills",
        "tasks.csv", "links.csv", "people.csv", "away.csv", "milestones.csv", "promises.csv",
        "slots.csv", "choices")  # fmt: skip


@pytest.fixture
def folder(tmp_path):
    demo = ROOT / "examples/sluice-keeper"
    return shutil.copytree(demo, tmp_path / "keeper", ignore=shutil.ignore_patterns(*LEFT))


def table(folder, name):
    with (folder / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_one_click_asks_about_a_subject_and_nobody_waits_unasked_any_more(folder):
    client = Client(make_app(folder, clock))
    before = client.get("/voices").text
    asked = next(a for a in asks(before, "add") if a["cells"].get("subject") == "batteries")
    answer = client.post("/add", page="/voices", **asked).json()
    assert answer["kind"] == "written"
    (ask,) = table(folder, "asks.csv")
    assert (ask["subject"], ask["part"], ask["from"], ask["state"]) == (
        "batteries", "lant", "voices", "open",
    )  # fmt: skip
    after = client.get("/voices").text
    assert "and none of them has an answer" in before
    assert "and none of them has an answer" not in after


def test_one_click_makes_a_word_that_several_share_a_subject(folder):
    client = Client(make_app(folder, clock))
    found = [a for a in asks(client.get("/voices").text, "add") if a["table"] == "subjects"]
    assert {a["cells"]["name"] for a in found} >= {"tide", "photos"}
    tide = next(a for a in found if a["cells"]["name"] == "tide")
    assert client.post("/add", page="/voices", **tide).json()["kind"] == "written"
    assert table(folder, "subjects.csv")[-1]["id"] == "tide"
    assert "subject-tide" in client.get("/voices").text


def test_originals_are_on_the_page_and_no_voter_is(folder):
    client = Client(make_app(folder, clock))
    page = client.get("/voices").text
    assert "are the lantern batteries replaceable" in page
    voters = {row["voter"] for row in table(folder, "comments.csv") if row["voter"]}
    assert not [voter for voter in voters if voter in page]
