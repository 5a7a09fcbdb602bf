"""An answer that takes seconds says how far it is, is stopped, and goes on when asked."""

import re
import threading

import pytest

from sixwright.storage.durations import Durations
from sixwright.storage.files.writer_lock import cache_path, folder_key
from sixwright.web.app import make_app
from sixwright.web.background import Background
from storage.small_line import small_line
from web import test_background
from web.asking import Client, clock
from web.test_background import gated, moved, until
from web.test_marking import running
from web.test_pages import barriers

whole, folder = test_background.whole, test_background.folder
STOPPED = "Working this out was stopped; there is no answer yet."


def post(client, path, topic, page="/likeness"):
    return client.post(path, page=page, topic=topic).json()


def test_what_is_under_way_says_for_how_long(monkeypatch, folder):
    gate = gated(monkeypatch)
    client = Client(make_app(folder, clock, waits=False))
    client.get("/likeness")
    until(lambda: (client.get("/under-way").json().get("likeness") or {}).get("so_far_s"))
    first = client.get("/under-way").json()["likeness"]
    assert first["last_s"] is None
    gate.open.set()
    until(lambda: "likeness" not in client.get("/under-way").json())
    gate.open.clear()
    moved(client, folder, 40)
    until(lambda: client.get("/under-way").json().get("likeness"))
    again = client.get("/under-way").json()["likeness"]
    assert again["last_s"] >= first["so_far_s"]
    gate.open.set()


def test_what_waits_behind_another_is_stopped_before_it_begins(tmp_path):
    """What cannot be sent to another process is worked out here: the gate holds the first."""
    gate, told = threading.Event(), []
    later = Background(lambda: told.append(1), Durations(tmp_path))
    assert later("a", 1, lambda: gate.wait(60)) is None
    assert later("b", 2, lambda: 5) is None
    until(lambda: later.progress()["a"].so_far_s is not None)
    assert later.progress()["b"].so_far_s is None
    assert later.stop("b")
    assert "b" not in later.progress()
    gate.set()
    until(lambda: later("a", 1, lambda: None) is True)
    with pytest.raises(Exception, match="stopped"):
        later("b", 2, lambda: 5)
    assert later("b", 3, lambda: 6) in {None, 6}  # other inputs are another answer
    later.go_on("b")
    until(lambda: later("b", 2, lambda: 5) == 5)


@pytest.mark.browser
def test_a_hand_stops_it_and_goes_on_with_it(page_of, folder):
    """The server itself, whose other process is ended in the middle of its work."""
    with running(folder) as (_, address):
        page = page_of(f"{address}/likeness", width=1280)
        page.get_by_text(re.compile(r"seconds? so far")).wait_for()
        page.get_by_role("button", name="Stop").click()
        page.get_by_text(STOPPED).wait_for()
        page.get_by_text(re.compile(r"seconds? so far")).wait_for(state="detached")
        assert barriers(page) == []
        home = page.request.get(f"{address}/").text()
        assert "stopped on the way" in home
        page.get_by_role("button", name="Work it out").click()
        page.get_by_text("the answer follows here by itself").wait_for()
        page.get_by_role("heading", name="Head by head").wait_for(timeout=120_000)
        assert "stopped" not in page.request.get(f"{address}/").text()
        page.close()


def test_a_report_works_out_what_was_stopped(monkeypatch, folder):
    gate = gated(monkeypatch)
    client = Client(make_app(folder, clock, waits=False))
    client.get("/likeness")
    until(lambda: client.get("/under-way").json().get("likeness"))
    assert post(client, "/stop", "likeness")["said"].startswith("It was stopped")
    assert STOPPED in client.get("/likeness").text
    gate.open.set()
    assert client.get("/report/report.html").status_code == 200
    until(lambda: STOPPED not in client.get("/likeness").text)


def test_what_is_no_question_or_is_done_says_so(tmp_path):
    client = Client(make_app(small_line(tmp_path), clock, waits=False))
    assert post(client, "/stop", "nothing", "/")["said"] == "It is worked out already."
    assert client.get("/under-way").json() == {}


def test_how_long_it_took_is_known_to_the_next_server(tmp_path):
    Durations(tmp_path / "a").put("likeness", 7.5)
    assert Durations(tmp_path / "a").get("likeness") == 7.5
    assert Durations(tmp_path / "b").get("likeness") is None


@pytest.mark.parametrize("text", ["", "[1]", "{", '{"likeness": "x"}', '{"likeness": NaN}'])
def test_a_cache_that_says_nothing_makes_it_unknown(tmp_path, text):
    kept = Durations(tmp_path)
    kept.put("likeness", 1.0)
    (file,) = (cache_path() / "durations").glob(f"{folder_key(tmp_path)}.json")
    file.write_text(text, encoding="utf-8")
    assert Durations(tmp_path).get("likeness") is None
