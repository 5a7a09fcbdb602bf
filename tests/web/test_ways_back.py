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
from sixwright.workflows.shown import shown_choice
from web.asking import Client, asks
from web.demo import demo_without_heads


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")


@pytest.fixture
def client(folder):
    return Client(make_app(folder, ticking(), who="Ines"))


def ticking():
    """A clock that goes on by a minute whenever it is asked."""
    minutes = count()
    begun = datetime(2026, 9, 14, 9, tzinfo=UTC)
    return lambda: begun + timedelta(minutes=next(minutes))


def history_of(client) -> list[str]:
    """The rows of the history's page as text, the latest first."""
    page = client.get("/history").text
    rows = re.findall(r"<tr id=[^>]*>(.*?)</tr>", page, re.DOTALL)
    return [" ".join(html.unescape(re.sub(r"<[^>]+>", " ", row)).split()) for row in rows]


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
    assert ["since taken back" in row for row in history_of(client)] == [False, True]
    told = client.post("/undo", **back(client, "redo")).json()["said"]
    again, undone, first = history_of(client)
    assert "since" not in first  # the first edit is in effect
    assert "since done again" in undone
    assert "Orders assumed of Harbour Watch was 120 and is now 130." in first
    assert "Undone: Orders assumed of Harbour Watch is 120 again, not 130." in undone
    assert "Done again: Orders assumed of Harbour Watch is 130 again, not 120." in again
    assert told == "Done again: Orders assumed of Harbour Watch is 130 again, not 120."


def test_the_buttons_say_what_was_changed_at_first(client):
    client.edit("orders", "box-0", "quantity", "120", "130")
    what = "Orders assumed of Harbour Watch was 120 and is now 130."
    assert f'aria-label="Undo: {what}"' in client.get("/").text
    client.post("/undo", **back(client, "undo"))
    assert f'aria-label="Redo: {what}"' in client.get("/").text


def test_a_part_that_is_back_is_said_to_be_back(client, folder):
    name = read(folder).records["parts"]["part-00"].cells["name"]
    client.post("/take-out", table="parts", id="part-00")
    client.post("/undo", **back(client, "undo"))
    client.post("/undo", **back(client, "redo"))
    again, undone, first = history_of(client)
    assert f"The part {name} was taken out." in first
    assert f"The part {name} is back." in undone
    assert f"The part {name} is out again." in again
    assert "was added" not in undone


def test_the_folder_goes_back_to_a_moment_and_forth_again(client, folder):
    client.edit("orders", "box-0", "quantity", "120", "130")
    client.edit("orders", "box-0", "quantity", "130", "140")
    client.post("/take-out", table="parts", id="part-00")
    after = {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}
    moment = asks(client.get("/history").text, "restore")[-1]
    at = datetime.fromisoformat(moment["moment"])
    assert client.post("/restore", **moment).status_code == 200
    assert orders(folder) == "130"
    assert "part-00" in read(folder).records["parts"]
    gone_back = history_of(client)[0]
    assert f"Gone back to 14 September 2026, {at:%H:%M}." in gone_back
    assert "Orders assumed of Harbour Watch is 130 again, not 140." in gone_back
    assert client.post("/undo", **back(client, "undo")).status_code == 200
    assert {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file()} == after


def test_a_way_that_is_taken_is_told_with_its_question_and_its_reason(tmp_path):
    folder = demo_without_heads(tmp_path)
    client = Client(make_app(folder, ticking(), who="Ines"))
    said = {"choice": "cape-cloth", "alternative": "stock", "by": "Ines", "reason": "it hangs well"}
    said["seen"] = shown_choice(read(folder).project.choices["cape-cloth"])
    told = client.post("/take", page="/choices", **said).json()["said"]
    taken = (
        "“Stock cloth” was taken for the question “Which cloth for the cape?”, by Ines, who said: "
        "“it hangs well”. "
    )
    assert told.startswith(taken)
    assert " and is now Kit & Hem Workshop" in told or "Quote of " in told
    client.post("/undo", **back(client, "undo"))
    undone, first = history_of(client)
    assert taken in first
    assert "Quote of " in first
    assert "Undone: The question “Which cloth for the cape?” is open again. Quote of " in undone
    client.post("/undo", **back(client, "redo"))
    assert f"Done again: {taken}" in history_of(client)[0]


def test_a_way_that_is_kept_is_told(tmp_path):
    client = Client(make_app(demo_without_heads(tmp_path), ticking(), who="Ines"))
    change = {"table": "parts", "id": "cape", "column": "way", "was": "cape-wool",
              "value": "cape-stock"}  # fmt: skip
    said = {"name": "Stock, again", "choice": "cape-cloth", "changes": [change]}
    kept = "“Stock, again” was kept as an option of the question “Which cloth for the cape?”."
    assert client.post("/keep", **said).json()["said"] == kept
    assert kept in history_of(client)[0]


def test_a_history_that_names_itself_is_shown_all_the_same(client, folder):
    client.edit("orders", "box-0", "quantity", "120", "130")
    (file,) = (folder / "history").glob("*.jsonl")
    line = json.loads(file.read_text("utf-8"))
    file.write_text(json.dumps({**line, "undoes": line["edit"]}) + "\n", "utf-8")
    assert len(history_of(client)) == 1


@pytest.mark.parametrize("edit", ["", "nothing", "../x"])
def test_an_edit_that_is_not_there_cannot_be_taken_back(client, edit):
    assert client.post("/undo", edit=edit).status_code == 422
