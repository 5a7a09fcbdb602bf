"""Nothing that takes long is waited for: a page shows the last answer, says so, and follows."""

import re
import threading
import time
from shutil import copytree

import pytest

from architecture.reading import ROOT
from sixwright.storage.durations import Durations
from sixwright.storage.folder import read
from sixwright.web import background
from sixwright.web.app import make_app
from sixwright.web.background import Background
from sixwright.workflows import review as reviewing
from sixwright.workflows.topics import JOINED
from web.asking import Client, clock

WORD = "This is being worked out with your last change."
PATIENCE_S = 240


class Gate:
    """A topic's answer that waits until it is let through; counts how often it was worked out."""

    def __init__(self, answer) -> None:
        self.answer, self.open, self.begun, self.asked = answer, threading.Event(), 0, []

    def __call__(self, inputs, tools):
        self.begun += 1
        self.asked.append(inputs)
        assert self.open.wait(PATIENCE_S)
        return self.answer(inputs, tools)


def gated(monkeypatch, topic="likeness"):
    from dataclasses import replace

    (joined,) = [each for each in JOINED if each.topic.id == topic]
    gate = Gate(joined.topic.answer)
    slow = replace(joined, topic=replace(joined.topic, answer=gate))
    listed = tuple(slow if each is joined else each for each in JOINED)
    monkeypatch.setattr(reviewing, "JOINED", listed)
    return gate


@pytest.fixture
def whole(tmp_path):
    return copytree(ROOT / "examples/sluice-keeper", tmp_path / "keeper")


@pytest.fixture
def folder(whole):
    """The demo line with four of its twelve stills: to wait for, any head will do."""
    for table in ("stills", "sightings", "outlines"):
        file = whole / f"{table}.csv"
        head, *rows = file.read_text(encoding="utf-8").splitlines(keepends=True)
        kept = [row for row in rows if row.startswith(("s01", "s02", "s03", "s05"))]
        assert 0 < len(kept) < len(rows)
        file.write_text(head + "".join(kept), encoding="utf-8")
    return whole


def until(true) -> None:
    end = time.monotonic() + PATIENCE_S
    while not true():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.01)


def moved(client, folder, by):
    """A sighting moved by so many pixels, on the page of the heads."""
    row = next(iter(read(folder).records["sightings"].values()))
    was = row.cells["x_px"]
    return client.edit("sightings", row.id, "x_px", was, str(float(was) + by), page="/likeness")


def test_pages_and_edits_go_on_while_a_head_is_worked_out(monkeypatch, folder):
    gate = gated(monkeypatch)
    client = Client(make_app(folder, clock, waits=False))
    page = client.get("/likeness").text
    assert "This is being worked out; the answer follows here by itself." in page
    assert "Accept with a reason" not in page
    home = client.get("/").text
    assert "still being worked out." in home
    assert "is being worked out; the answer follows" not in home
    for path in ("/", "/money", "/lineup", "/tables/parts", "/history"):
        assert client.get(path).status_code == 200
    written = client.edit("orders", "muster-watch", "quantity", "180", "190", page="/money")
    assert written.json()["kind"] == "written"
    assert gate.begun == 1
    version = client.get("/since?version=x&window=w").json()["version"]
    gate.open.set()
    until(lambda: "This is being worked out" not in client.get("/likeness").text)
    since = client.get(f"/since?version={version}&window=w").json()
    assert since["version"] != version
    assert since["moves"] == []
    assert gate.begun == 1


def test_the_choices_wait_for_every_answer_and_the_page_does_not(monkeypatch, folder):
    gate = gated(monkeypatch)
    client = Client(make_app(folder, clock, waits=False))
    page = client.get("/choices").text  # what each option does to a head is worked out from it
    assert "This is being worked out; the answer follows here by itself." in page
    assert "side by side" not in page
    assert gate.begun <= 1
    gate.open.set()


def test_a_page_shows_the_last_answer_and_says_that_it_is_the_last(monkeypatch, folder):
    gate = gated(monkeypatch)
    gate.open.set()
    client = Client(make_app(folder, clock, waits=False))
    until(lambda: "This is being worked out" not in client.get("/likeness").text)
    before = client.get("/likeness").text
    gate.open.clear()
    answer = moved(client, folder, 40).json()
    assert answer["kind"] == "written"
    assert WORD in answer["page"]
    assert "Nose tip" in answer["page"]
    gate.open.set()
    until(lambda: WORD not in client.get("/likeness").text)
    assert client.get("/likeness").text != before


def test_only_the_newest_of_several_edits_is_worked_out_next(monkeypatch, folder):
    gate = gated(monkeypatch)
    client = Client(make_app(folder, clock, waits=False))
    client.get("/")
    for by in (1, 2, 3, 4):
        assert moved(client, folder, by).json()["kind"] == "written"
    gate.open.set()
    until(lambda: "This is being worked out" not in client.get("/likeness").text)
    assert gate.begun == 2  # the first, which was under way, and the last
    wanted = read(folder).project.sightings
    assert gate.asked[-1].sightings == wanted


def test_a_report_waits_for_every_answer(monkeypatch, folder):
    gate = gated(monkeypatch)
    client = Client(make_app(folder, clock, waits=False))
    client.get("/")
    threading.Timer(0.5, gate.open.set).start()
    report = client.get("/report/report.html")
    assert report.status_code == 200
    assert "being worked out" not in report.text
    assert "Nose tip" in report.text


def test_an_answer_that_fails_in_the_background_is_one_fault(monkeypatch, folder):
    from dataclasses import replace

    def broken(_inputs, _tools):
        raise ZeroDivisionError("inner words")

    listed = tuple(
        replace(each, topic=replace(each.topic, answer=broken))
        if each.topic.id == "likeness" else each for each in JOINED
    )  # fmt: skip
    monkeypatch.setattr(reviewing, "JOINED", listed)
    client = Client(make_app(folder, clock, waits=False))
    until(lambda: "could not be answered" in client.get("/likeness").text)
    assert "inner words" not in client.get("/likeness").text
    assert client.get("/money").status_code == 200


def test_the_same_question_asked_by_many_is_worked_out_once(tmp_path):
    begun, gate = [], threading.Event()

    def make():
        begun.append(1)
        gate.wait(PATIENCE_S)
        return 42

    done = threading.Event()
    later = Background(done.set, Durations(tmp_path))
    asked = [threading.Thread(target=later, args=("x", ("same",), make)) for _ in range(8)]
    for each in asked:
        each.start()
    for each in asked:
        each.join()
    gate.set()
    assert done.wait(PATIENCE_S)
    assert later("x", ("same",), make) == 42
    assert len(begun) == 1
    assert later.wait(PATIENCE_S)


def test_an_answer_in_a_queue_is_not_waited_for(monkeypatch, tmp_path):
    """Each edit waited a tenth of a second for each answer that stood behind a long one."""
    gate = threading.Event()
    later = Background(lambda: None, Durations(tmp_path))
    monkeypatch.setattr(background, "WAIT_S", 0.01)
    assert later("long", (1,), lambda: gate.wait(PATIENCE_S)) is None
    monkeypatch.setattr(background, "WAIT_S", PATIENCE_S)
    begun = time.monotonic()
    for _ in range(3):
        assert later("short", (1,), lambda: 42) is None
        assert later("long", (1,), lambda: 43) is None
    assert time.monotonic() - begun < PATIENCE_S / 2
    gate.set()
    assert later.wait(PATIENCE_S)
    assert later("short", (1,), lambda: 44) == 42


def test_answers_on_their_way_do_not_count_as_settled_since_the_last_look(whole, monkeypatch):
    seen = Client(make_app(whole, clock, who="Ines"))
    seen.get("/")
    gate = gated(monkeypatch)
    client = Client(make_app(whole, clock, who="Ines", waits=False))
    moved(client, whole, 1)
    home = client.get("/").text
    assert "still being worked out." in home
    assert "Since you last looked" not in home
    gate.open.set()
    until(lambda: "still being worked out." not in client.get("/").text)
    assert not re.search(r"\d\d+ are settled", client.get("/").text)
