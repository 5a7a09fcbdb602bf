"""Home: what moved since the visit before, what waits on whom, and the choice that moves most."""

import html
import re
from datetime import UTC, datetime, timedelta

import pytest

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.web.app import make_app
from web.asking import Client, clock
from web.demo import demo_without_heads

BEGUN = datetime(2026, 9, 11, 9, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")


def words(answer) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", answer.text)).split())


class Clock:
    def __init__(self) -> None:
        self.now = BEGUN

    def __call__(self) -> datetime:
        return self.now


def test_a_first_visit_has_nothing_to_compare(folder):
    assert "Since you last looked" not in words(Client(make_app(folder, clock)).get("/"))


def test_what_moved_overnight_is_told_until_the_next_night(folder):
    at = Clock()
    client = Client(make_app(folder, at))
    client.get("/")
    at.now = BEGUN + timedelta(days=3)
    orders = folder / "orders.csv"
    orders.write_text(orders.read_text("utf-8").replace("box-0,120", "box-0,9"), "utf-8")
    for hours in (0, 3, 6, 9):  # a visit goes on as long as somebody looks
        at.now = BEGUN + timedelta(days=3, hours=hours)
        told = words(client.get("/"))
        assert "Since 11 September 2026," in told
        assert "1 value was changed" in told
        assert "Orders assumed of Harbour Watch was 120 and is now 9." in told
    at.now = BEGUN + timedelta(days=4, hours=9)
    assert "Nothing has moved since 14 September 2026." in words(client.get("/"))


def test_a_finding_that_turned_overnight_is_counted(folder):
    at = Clock()
    at.now = datetime(2026, 8, 30, 9, tzinfo=UTC)
    client = Client(make_app(folder, at))
    client.get("/")
    at.now = datetime(2026, 9, 14, 9, tzinfo=UTC)  # two quotes run out in between
    told = words(client.get("/"))
    assert re.search(r"Since 30 August 2026, \d+ more things need you", told)


def test_what_was_last_seen_is_kept_outside_the_folder(folder):
    before = sorted(path.name for path in folder.rglob("*"))
    Client(make_app(folder, clock)).get("/")
    assert sorted(path.name for path in folder.rglob("*")) == before


def test_a_cache_that_cannot_be_written_is_a_first_visit(folder, monkeypatch, tmp_path):
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(blocked))
    assert Client(make_app(folder, clock)).get("/").status_code == 200


def test_a_kept_look_that_is_torn_is_a_first_visit(folder, monkeypatch, tmp_path):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "cache"))
    Client(make_app(folder, clock)).get("/")
    (kept,) = (tmp_path / "cache/looks").glob("*.json")
    kept.write_text('{"before": nul')
    assert "Since you last looked" not in words(Client(make_app(folder, clock)).get("/"))


def test_quotes_wait_on_their_makers_and_the_rest_on_you(folder):
    page = Client(make_app(folder, clock)).get("/").text
    table = page[page.index("Who has to act") :]
    rows = re.findall(r"<tr[^>]*>(.*?)</tr>", table[: table.index("</table>")], re.DOTALL)
    said = [" ".join(re.sub(r"<[^>]+>", " ", row).split()) for row in rows[1:]]
    assert any(row.startswith("Maker 0 1 quote to renew ") for row in said)
    assert any(row.startswith("You ") for row in said)
    assert [row.split()[0] for row in said] == sorted(
        (row.split()[0] for row in said), key=lambda who: who == "You"
    )


def test_the_open_choice_that_moves_the_most_is_named(tmp_path):
    told = words(Client(make_app(demo_without_heads(tmp_path), clock)).get("/"))
    assert "One open choice moves the most" in told
    assert "Keys in bronze or in zinc?" in told
