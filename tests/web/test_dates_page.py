"""The page of dates in a browser: a date is typed or dragged, and what happened is one click."""

import csv
import shutil
from pathlib import Path

import pytest

from sixwright.web.app import make_app
from web.asking import Client, clock

DEMO = Path(__file__).resolve().parents[2] / "examples/sluice-keeper"
# Of heads only what tasks rest on: solving for likeness takes seconds and is tested elsewhere.
LEFT = ("landmarks.csv", "sightings.csv", "stills.csv", "outlines.csv", "targets.csv", "stills",
        "comments.csv", "votes.csv", "tallies.csv")  # fmt: skip


@pytest.fixture(scope="module")
def line(tmp_path_factory):
    folder = tmp_path_factory.mktemp("dates") / "sluice-keeper"
    return shutil.copytree(DEMO, folder, ignore=shutil.ignore_patterns(*LEFT))


@pytest.fixture(scope="module")
def client(line):
    return Client(make_app(line, clock))


def row_of(file, id_):
    with file.open(encoding="utf-8", newline="") as text:
        return next(row for row in csv.DictReader(text) if row["id"] == id_)


def test_a_date_that_is_asked_for_is_answered_in_a_sentence(client):
    answer = client.get("/chance?milestone=in-hands&day=2027-08-15")
    assert answer.status_code == 200
    assert answer.json()["said"].startswith("In buyers’ hands by 15 August 2027: 1 chance in 10")


def test_a_milestone_that_is_none_is_not_known(client):
    answer = client.get("/chance?milestone=nowhere&day=2027-08-15")
    assert answer.json() == {"said": "That is not known just now."}
    assert client.get("/chance?milestone=in-hands&day=soon").status_code == 422


def test_the_calendar_can_be_saved(client):
    answer = client.get("/report/dates.ics")
    assert answer.status_code == 200
    assert answer.text.startswith("BEGIN:VCALENDAR")


@pytest.mark.browser
def test_a_date_is_typed_and_dragged_and_its_chance_follows(line, served, new_page):
    page = new_page()
    page.goto(f"{served(line)}/dates")
    page.wait_for_selector("html[data-client=ready]")
    said, day = page.locator(".date-ask output"), page.locator("input[type=date]")
    assert "15 August 2027" in said.inner_text()
    day.fill("2027-09-30")
    said.get_by_text("30 September 2027: more than 99 chances in 100").wait_for()
    slider = page.get_by_label("Drag the date")
    slider.focus()
    page.keyboard.press("Home")
    assert day.input_value() == slider.get_attribute("data-first")
    said.get_by_text("less than 1 chance in 100").wait_for()
    page.locator("select[name=milestone]").select_option("production-starts")
    said.get_by_text("Production starts by").wait_for()


@pytest.mark.browser
def test_what_happened_is_one_click_and_the_rest_is_drawn_anew(line, served, new_page, tmp_path):
    folder = shutil.copytree(line, tmp_path / "line")
    page = new_page()
    page.goto(f"{served(folder)}/dates")
    page.wait_for_selector("html[data-client=ready]")
    page.get_by_role("button", name="Round 3 of Sculpt of M1, level came today").click()
    page.wait_for_selector("button[aria-label='Round 4 of Sculpt of M1, level came today']")
    new = row_of(folder / "rounds.csv", "m1-level-3")
    assert (new["sculpt"], new["number"], new["date"], new["maker"]) == (
        "m1-level", "3", "2026-09-14", "SC",
    )  # fmt: skip
    page.get_by_role("button", name="Tools of the base began today").click()
    page.wait_for_selector("button[aria-label='Tools of the base began today']", state="detached")
    assert row_of(folder / "tasks.csv", "tools-base")["started"] == "2026-09-14"
