"""Undo, redo, the page of the history, and going back to a moment."""

import html
import json
import re
from datetime import UTC, datetime, timedelta
from itertools import count

import pytest

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.storage.folder import read
from sixwright.web.app import make_app
from web.asking import Client, asks


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")


@pytest.fixture
def client(folder):
    minutes = count()
    begun = datetime(2026, 9, 14, 9, tzinfo=UTC)
    return Client(make_app(folder, lambda: begun + timedelta(minutes=next(minutes)), who="Ines"))


def orders(folder):
    return read(folder).records["orders"]["box-0"].cells["quantity"]


def back(client, way):
    """What the page's button would ask for; None where it is not to be pressed."""
    button = re.search(rf'<button[^>]*data-back="{way}"[^>]*>', client.get("/").text)[0]
    found = re.search(r'data-asks="([^"]+)"', button)
    return json.loads(html.unescape(found[1])) if found else None


def test_there_is_nothing_to_undo_at_first(client):
    assert back(client, "undo") is None
    assert back(client, "redo") is None


def test_undo_and_redo_walk_back_and_forth(client, folder):
    client.edit("orders", "box-0", "quantity", "120", "130")
    client.edit("orders", "box-0", "quantity", "130", "140")
    seen = []
    for way in ("undo", "undo", "redo", "redo"):
        assert client.post("/undo", **back(client, way)).status_code == 200
        seen.append(orders(folder))
    assert seen == ["130", "120", "130", "140"]
    assert back(client, "redo") is None


def test_undo_gives_the_bytes_back(client, folder):
    before = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    client.post("/take-out", table="parts", id="part-00")
    assert {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()} != before
    assert client.post("/undo", **back(client, "undo")).status_code == 200
    assert {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()} == before


def test_an_undo_is_refused_with_the_reason_where_the_cell_moved_since(client, folder):
    client.edit("orders", "box-0", "quantity", "120", "130")
    asks = back(client, "undo")
    file = folder / "orders.csv"
    file.write_text(file.read_text("utf-8").replace("box-0,130", "box-0,777"), "utf-8")
    answer = client.post("/undo", **asks)
    assert answer.status_code == 422
    assert "It has moved since" in answer.json()["said"]
    assert "777" in answer.json()["said"]
    assert orders(folder) == "777"


def test_an_edit_that_is_not_the_last_is_taken_back_alone(client, folder):
    client.edit("orders", "box-0", "quantity", "120", "130")
    first = back(client, "undo")
    client.edit("orders", "box-1", "quantity", "130", "140")
    assert client.post("/undo", **first).status_code == 200
    rows = read(folder).records["orders"]
    assert [rows[box].cells["quantity"] for box in ("box-0", "box-1")] == ["120", "140"]


def test_the_history_says_who_when_and_what(client):
    client.edit("orders", "box-0", "quantity", "120", "130")
    client.post("/take-out", table="parts", id="part-00")
    page = html.unescape(re.sub(r"<[^>]+>", " ", client.get("/history").text))
    assert "Ines" in page
    assert "14 September 2026" in page
    assert "Orders assumed of Harbour Watch was 120 and is now 130." in " ".join(page.split())
    assert "was taken out." in page


def test_an_edit_that_was_done_again_is_in_effect_again(client):
    client.edit("orders", "box-0", "quantity", "120", "130")
    client.post("/undo", **back(client, "undo"))
    assert client.get("/history").text.count("since taken back") == 1
    client.post("/undo", **back(client, "redo"))
    page = client.get("/history").text
    row = page[page.rindex("<tr id=") :]  # the first edit is the last row
    assert "since taken back" not in row[: row.index("</tr>")]
    assert page.count("since taken back") == 1  # the undo is


def test_the_folder_goes_back_to_a_moment_and_forth_again(client, folder):
    client.edit("orders", "box-0", "quantity", "120", "130")
    client.edit("orders", "box-0", "quantity", "130", "140")
    client.post("/take-out", table="parts", id="part-00")
    after = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    moment = asks(client.get("/history").text, "restore")[-1]
    assert client.post("/restore", **moment).status_code == 200
    assert orders(folder) == "130"
    assert "part-00" in read(folder).records["parts"]
    assert client.post("/undo", **back(client, "undo")).status_code == 200
    assert {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()} == after


@pytest.mark.parametrize("edit", ["", "nothing", "../x"])
def test_an_edit_that_is_not_there_cannot_be_taken_back(client, edit):
    assert client.post("/undo", edit=edit).status_code == 422
