"""The page of dates says the promise first; its calendar can be read by another library."""

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest
from icalendar import Calendar

from sixwright.reports.date_ask import DateAsk
from sixwright.reports.document import Answer, Plate, Table
from sixwright.reports.pages import document, to_read
from sixwright.reports.sheets.calendar_file import calendar_file
from sixwright.reports.wording.words import say
from sixwright.storage.cache import TOOLS
from sixwright.storage.folder import read
from sixwright.topics.dates.topic import DATES
from sixwright.workflows.review import review

DEMO = Path(__file__).resolve().parents[2] / "examples/sluice-keeper"
TODAY = dt.date(2026, 9, 14)


@pytest.fixture(scope="module")
def judged():
    return review(read(DEMO).project, today=TODAY, only=("dates",), tools=TOOLS)


def test_the_first_screen_says_the_month_and_how_sure_it_is(judged):
    first = document(judged, "dates").blocks[0]
    assert isinstance(first, Answer)
    said = " ".join(say(each, "en-GB") for each in first.sentences)
    said = said.replace("\N{NO-BREAK SPACE}", " ")
    found = judged.of(DATES)
    month = found.milestones["in-hands"].by(dt.date(2027, 9, 30)) / found.draws
    august = found.promises["august"].chance.value
    assert month > 0.99
    assert said == (
        "In buyers’ hands: the end of September 2027 has more than 99 chances in 100. "
        f"15 August 2027, which was promised, has 1 chance in 10 ({100 * august:.0f} %)."
    )


def test_the_promise_of_august_cannot_be_kept_and_the_plan_shows_why(judged):
    found = judged.of(DATES)
    assert found.plan.finish > dt.date(2027, 8, 15)
    assert found.plan.proven
    assert (found.plan.finish - found.start).days + 1 == found.plan.bound_days
    factory = [each for each in judged.inputs_of(DATES).away if each.who == "fa"]
    new_year = dt.date(2027, 2, 6)
    assert any(each.from_day <= new_year <= each.until and each.share == 0 for each in factory)


def test_the_page_has_bands_a_date_to_try_and_its_tables(judged):
    blocks = document(judged, "dates").blocks
    titles = [block.picture.title for block in blocks if isinstance(block, Plate)]
    assert titles == ["When each milestone is reached", "When each task is under way"]
    names = [block.name for block in blocks if isinstance(block, Table)]
    assert names == [
        "What was promised", "Task by task", "What slipped, and why", "What buys most time",
        "Where the chain waits for whom",
    ]  # fmt: skip
    assert any(isinstance(block, DateAsk) for block in blocks)
    assert not any(
        isinstance(block, DateAsk) for block in to_read(document(judged, "dates")).blocks
    )


def test_the_calendar_is_read_back_with_every_day_it_states(judged):
    content = calendar_file(judged)
    events = {str(each["uid"]): each for each in Calendar.from_ical(content).walk("VEVENT")}
    found = judged.of(DATES)
    production = events["task-production@sluice-keeper"]
    planned = found.plan.tasks["production"]
    assert production.decoded("dtstart") == planned.start
    assert production.decoded("dtend") == planned.finish + dt.timedelta(days=1)
    hands = events["milestone-in-hands@sluice-keeper"]
    assert hands.decoded("dtstart") == found.milestones["in-hands"].p80
    assert "promise-august@sluice-keeper" in events
    assert "promise-summer@sluice-keeper" not in events
    assert "away-fa-new-year@sluice-keeper" in events
    assert b"\r\n" in content
    assert max(map(len, content.split(b"\r\n"))) <= 75  # RFC 5545, 3.1: lines of at most 75 octets
    assert calendar_file(judged) == content


def test_a_line_without_dates_has_no_calendar(judged):
    assert calendar_file(review(replace(judged.project, tasks={}), today=TODAY)) is None
