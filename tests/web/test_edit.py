"""Edits asked of the server: what is written, what is refused and why, what the page then says."""

import os
import re
import threading
import time

import pytest

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.storage.folder import read
from sixwright.web.app import make_app
from web.asking import Client, asks, clock


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(parts=14, boxes=3), tmp_path / "flood")


@pytest.fixture
def client(folder):
    return Client(make_app(folder, clock, who="Ines"))


def cells(folder, table, id_):
    return read(folder).records[table][id_].cells


def test_a_price_is_written_and_the_page_follows(client, folder):
    answer = client.edit("editions", "box-0", "price", "420 USD", "433 USD", page="/money")
    assert answer.status_code == 200
    assert cells(folder, "editions", "box-0")["price"] == "433 USD"
    assert "433.00" in answer.json()["page"]
    assert "433.00" in client.get("/money").text
    assert answer.json()["said"] == "Price of Harbour Watch was 420 USD and is now 433 USD."


def test_a_save_that_keeps_time_and_size_is_seen_and_keeps_nobody_from_editing(client, folder):
    """As on a memory card, whose times are of two seconds, or by a sync program."""
    client.get("/money")
    file = folder / "orders.csv"
    stat, text = file.stat(), file.read_text("utf-8")
    file.write_text(text.replace("box-0,120", "box-0,555"), encoding="utf-8", newline="")
    os.utime(file, ns=(stat.st_atime_ns, stat.st_mtime_ns))
    assert file.stat().st_size == stat.st_size
    assert 'data-was="555"' in client.get("/tables/orders").text
    assert client.edit("orders", "box-0", "quantity", "555", "556").status_code == 200


@pytest.mark.parametrize("pause_s", [0.1, 0.5])
def test_an_edit_in_the_middle_of_a_save_in_place_takes_no_rows_away(client, folder, pause_s):
    """A program that writes a table from its start holds half of it for a moment.

    What it wrote then went into the file that the edit had replaced: six rows of twelve.
    """
    file = folder / "orders.csv"
    file.write_text("sells,quantity\nbox-0,120\nbox-1,80\nbox-2,60\n", encoding="utf-8")
    client.get("/money")
    begun = threading.Event()

    def save() -> None:
        with file.open("wb") as saving:
            saving.write(b"sells,quantity\nbox-0,120\n")
            saving.flush()
            begun.set()
            time.sleep(pause_s)
            saving.write(b"box-1,80\nbox-2,61\n")

    program = threading.Thread(target=save)
    program.start()
    assert begun.wait(60)
    answer = client.edit("orders", "box-0", "quantity", "120", "121")
    program.join()
    assert answer.status_code == 200
    assert file.read_text("utf-8") == "sells,quantity\nbox-0,121\nbox-1,80\nbox-2,61\n"


def test_where_nothing_tells_of_a_save_the_refusal_has_the_folder_read_again(
    client, folder, monkeypatch
):
    client.get("/money")
    monkeypatch.setattr("sixwright.web.watched_folder._stamps_of", lambda _: ())
    client.get("/money")
    file = folder / "orders.csv"
    text = file.read_text("utf-8").replace("box-0,120", "box-0,555")
    file.write_text(text, encoding="utf-8", newline="")
    answer = client.edit("orders", "box-0", "quantity", "120", "121")
    assert (answer.status_code, answer.json()["theirs"]) == (409, "555")
    assert client.edit("orders", "box-0", "quantity", "555", "556").status_code == 200


def test_an_edit_from_a_page_that_is_none_is_refused_before_it_is_written(client, folder):
    for page in ("parts", "tables/parts", "/tables/", "//money"):
        answer = client.edit("editions", "box-0", "price", "420 USD", "433 USD", page=page)
        assert (answer.status_code, answer.json()["said"]) == (404, "There is no such page.")
        assert client.post("/try", page=page, changes=[]).status_code == 404
    assert cells(folder, "editions", "box-0")["price"] == "420 USD"


@pytest.mark.parametrize(
    ("table", "id_", "column", "was", "value", "stated"),
    [
        ("editions", "box-0", "price", "420 USD", "433", "433 USD"),
        ("editions", "box-0", "price", "420 USD", "433.50", "433.50 USD"),
        ("editions", "box-0", "price", "420 USD", "433USD", "433USD"),
        ("editions", "box-0", "price", "420 USD", "", ""),
        ("orders", "box-0", "quantity", "120", "130", "130"),
        ("editions", "box-0", "name", "Harbour Watch", "1840", "1840"),
    ],
)
def test_a_bare_number_over_an_amount_keeps_its_currency(
    client, folder, table, id_, column, was, value, stated
):
    assert client.edit(table, id_, column, was, value).status_code == 200
    assert cells(folder, table, id_).get(column, "") == stated


def test_a_length_is_told_with_its_unit_behind_the_number(client):
    client.edit("parts", "part-00", "length_mm", "", "255")
    said = client.edit("parts", "part-00", "length_mm", "255", "10 in").json()["said"]
    assert said.startswith("Length of ")
    assert said.endswith(" was 255 mm and is now 10 in.")


def test_one_edit_is_one_cell_of_one_file(client, folder):
    before = {path.name: path.read_bytes() for path in folder.glob("*.csv")}
    client.edit("orders", "box-0", "quantity", "120", "125")
    after = {path.name: path.read_bytes() for path in folder.glob("*.csv")}
    assert {name for name in before if before[name] != after[name]} == {"orders.csv"}
    assert after["orders.csv"] == before["orders.csv"].replace(b"box-0,120", b"box-0,125")


def test_what_was_written_is_told_by_name(client, folder):
    client.post("/add", table="looks", cells={"name": "Bare, at night"})
    was = cells(folder, "parts", "part-03")["look"]
    told = client.edit("parts", "part-03", "look", was, "bare-at-night").json()["said"]
    assert told.endswith("is now Bare, at night.")


@pytest.mark.parametrize(
    ("column", "value", "reason"),
    [
        ("price", "4x0 USD", "“4x0”"),
        ("price", "420 USX", "ISO 4217"),
        ("assembly_minutes", '12"', "quote"),
        ("look", "mooster", "Did you mean"),
        ("price", "-4 USD", "0 or more"),
    ],
)
def test_a_wrong_value_is_refused_with_its_reason(client, folder, column, value, reason):
    was = cells(folder, "editions", "box-0").get(column, "")
    bytes_before = (folder / "line.toml").read_bytes()
    answer = client.edit("editions", "box-0", column, was, value)
    assert answer.status_code == 422
    assert answer.json()["kind"] == "refused"
    assert reason in answer.json()["said"] or value.split()[0] in answer.json()["said"]
    assert (folder / "line.toml").read_bytes() == bytes_before


def test_a_value_that_another_wrote_meanwhile_is_not_overwritten(client, folder):
    client.edit("orders", "box-0", "quantity", "120", "150")
    answer = client.edit("orders", "box-0", "quantity", "120", "130")
    assert answer.status_code == 409
    assert (answer.json()["theirs"], answer.json()["mine"]) == ("150", "130")
    assert "150" in answer.json()["said"]
    assert "130" in answer.json()["said"]
    assert cells(folder, "orders", "box-0")["quantity"] == "150"


def test_writing_what_stands_there_already_is_no_conflict(client, folder):
    client.edit("orders", "box-0", "quantity", "120", "150")
    answer = client.edit("orders", "box-0", "quantity", "120", "150")
    assert answer.status_code == 200
    assert answer.json()["said"] == "It already says that; nothing was written."


def test_a_number_of_pieces_where_there_were_none_adds_the_row(client, folder):
    held = read(folder).records["contents"]
    part = next(id_ for id_ in read(folder).project.parts if f"box-0/{id_}" not in held)
    assert client.edit("contents", f"box-0/{part}", "quantity", "", "2").status_code == 200
    assert cells(folder, "contents", f"box-0/{part}")["quantity"] == "2"


def test_a_part_is_added_with_an_id_of_its_name(client, folder):
    said = {"kind": "prop", "name": "Lantern, dark", "look": "all"}
    assert client.post("/add", table="parts", cells=said).status_code == 200
    assert cells(folder, "parts", "lantern-dark")["name"] == "Lantern, dark"
    client.post("/add", table="parts", cells=said)
    assert cells(folder, "parts", "lantern-dark-2")["name"] == "Lantern, dark"


@pytest.mark.parametrize(
    ("table", "said", "id_"),
    [
        ("ways", {"part": "part-00", "maker": "FZ", "process": "resin"}, "part-00-fz-resin"),
        ("editions", {"name": "Low Tide"}, "low-tide"),
        ("sets", {"name": "Both", "editions": "box-0 box-1"}, "both"),
        ("looks", {"name": "Bare"}, "bare"),
        ("rates", {"currency": "JPY", "per_unit": "150"}, "JPY"),
    ],
)
def test_a_row_is_added_and_taken_out_again(client, folder, table, said, id_):
    before = read(folder).records
    assert client.post("/add", table=table, cells=said).status_code == 200
    added = read(folder).records[table][id_].cells
    assert {name: added[name] for name in said} == said
    assert client.post("/take-out", table=table, id=id_).status_code == 200
    after = read(folder).records
    assert {name: list(rows) for name, rows in after.items()} == {
        name: list(rows) for name, rows in before.items()
    }


def test_a_price_break_is_added_and_taken_out(client, folder):
    way = next(iter(read(folder).project.ways))
    said = {"way": way, "from_quantity": "77777", "unit_price": "1.5"}
    assert client.post("/add", table="prices", cells=said).status_code == 200
    assert cells(folder, "prices", f"{way}/77777")["unit_price"] == "1.5"
    assert client.post("/take-out", table="prices", id=f"{way}/77777").status_code == 200
    assert f"{way}/77777" not in read(folder).records["prices"]


def test_a_part_goes_with_all_that_is_nothing_without_it(client, folder):
    before = read(folder).records
    assert client.post("/take-out", table="parts", id="part-00").status_code == 200
    after = read(folder).records
    gone = {table: set(before[table]) - set(after[table]) for table in before}
    ways = {id_ for id_, row in before["ways"].items() if row.cells["part"] == "part-00"}
    assert ways
    assert gone["parts"] == {"part-00"}
    assert gone["ways"] == ways
    assert gone["contents"] == {id_ for id_ in before["contents"] if id_.endswith("/part-00")}
    assert gone["prices"] == {id_ for id_ in before["prices"] if id_.split("/")[0] in ways}
    assert gone["editions"] == set()


def test_what_may_be_empty_forgets_a_row_that_goes(client, folder):
    """A part loses its way, a set its edition, and both stay."""
    way = cells(folder, "parts", "part-00")["way"]
    assert client.post("/take-out", table="ways", id=way).status_code == 200
    assert cells(folder, "parts", "part-00")["way"] == ""
    client.post("/add", table="sets", cells={"name": "Both", "editions": "box-0 box-1"})
    assert client.post("/take-out", table="editions", id="box-0").status_code == 200
    assert cells(folder, "sets", "both")["editions"] == "box-1"


def test_what_a_row_needs_is_asked_for(client):
    answer = client.post("/add", table="parts", cells={"name": "Nothing"})
    assert answer.status_code == 422
    assert "a kind of part" in answer.json()["said"]


def test_every_cell_of_the_folder_stands_in_a_table_as_a_field(client, folder):
    """Every value of every table, held against the files; ids and the line's format are fixed."""
    shown = set()
    for table in ("line", "looks", "editions", "sets", "rates", "parts", "contents", "orders",
                  "ways", "prices"):  # fmt: skip
        text = client.get(f"/tables/{table}").text
        shown |= set(
            re.findall(r'data-table="([^"]*)" data-row="([^"]*)" data-column="([^"]*)"', text)
        )
    stated = {
        (table, id_, column)
        for table, rows in read(folder).records.items()
        for id_, row in rows.items()
        for column, value in row.cells.items()
        if value
        and column != "id"
        and (table, column) not in {("line", "format"), ("line", "seed")}
    }
    assert len(stated) > 150
    assert stated - shown == set()


def test_a_finding_is_accepted_with_a_reason_and_comes_back_when_it_moves(client, folder):
    assert not (folder / "accepted.csv").exists()
    way, minimum = next(
        (id_, row.cells["minimum"])
        for id_, row in read(folder).records["ways"].items()
        if row.cells["minimum"]
    )
    client.edit("ways", way, "minimum", minimum, "9000")
    shown = next(
        each
        for each in asks(client.get("/money").text, "accept")
        if each["finding"].startswith("money.minimum")
    )
    finding = shown["finding"]
    said = {**shown, "by": "Ines", "reason": "the price was promised"}
    assert client.post("/accept", **said).status_code == 200
    home = client.get("/").text
    assert {"finding": finding} in asks(home, "take-back")
    assert "Accepted by Ines on 14 September 2026: the price was promised." in home
    part = finding.rpartition("/")[2]
    way = read(folder).records["parts"][part].cells["way"]
    minimum = cells(folder, "ways", way)["minimum"]
    client.edit("ways", way, "minimum", minimum, str(2 * int(minimum)))
    moved = client.get("/").text
    assert finding in [each["finding"] for each in asks(moved, "accept")]
    assert "What Ines accepted has moved: " in moved


def test_an_acceptance_is_taken_back(client):
    finding = asks(client.get("/").text, "accept")[0]
    said = {"by": "Ines", "reason": "the price was promised"}
    assert client.post("/accept", **finding, **said).status_code == 200
    (back,) = asks(client.get("/").text, "take-back")
    assert back["finding"] == finding["finding"]
    assert client.post("/take-back", **back).status_code == 200
    home = client.get("/").text
    assert finding in asks(home, "accept")
    assert asks(home, "take-back") == []


@pytest.mark.parametrize(("by", "reason"), [("", "why"), ("Ines", "  ")])
def test_an_acceptance_needs_a_name_and_a_reason(client, folder, by, reason):
    finding = asks(client.get("/").text, "accept")[0]
    assert client.post("/accept", **finding, by=by, reason=reason).status_code == 422
    assert not (folder / "accepted.csv").exists()


def test_a_value_that_moved_before_the_click_is_not_accepted(client, folder):
    ways = read(folder).records["ways"]
    way, minimum = next(
        (id_, row.cells["minimum"]) for id_, row in ways.items() if row.cells["minimum"]
    )
    client.edit("ways", way, "minimum", minimum, "9000")
    shown = next(
        each
        for each in asks(client.get("/money").text, "accept")
        if each["finding"].startswith("money.minimum")
    )
    client.edit("ways", way, "minimum", "9000", "90000")
    refused = client.post("/accept", **shown, by="Ines", reason="it is small")
    assert refused.status_code == 422
    assert "has moved since this page showed it" in refused.json()["said"]
    assert not (folder / "accepted.csv").exists()
    again = next(
        each
        for each in asks(client.get("/money").text, "accept")
        if each["finding"] == shown["finding"]
    )
    assert client.post("/accept", **again, by="Ines", reason="so it is").status_code == 200


def test_a_button_writes_what_it_said_or_nothing(client, folder):
    """What would settle a finding may be another by the time of the click."""
    fix = asks(client.get("/").text, "fix")[0]
    before = {file.name: file.read_bytes() for file in folder.glob("*.csv")}
    other = {**fix, "seen": "0" * len(fix["seen"])}
    assert client.post("/fix", **other).status_code == 422
    assert {file.name: file.read_bytes() for file in folder.glob("*.csv")} == before


def test_a_fix_is_one_button(client):
    fix = asks(client.get("/").text, "fix")[0]
    assert client.post("/fix", **fix).status_code == 200
    assert fix not in asks(client.get("/").text, "fix")


def test_other_windows_are_told_what_was_written_and_the_writer_is_not(client):
    version = re.search(r'name="sixwright-version" content="([^"]+)"', client.get("/").text)[1]
    client.edit("orders", "box-0", "quantity", "120", "150", window="one")
    told = client.get(f"/since?version={version}&window=two").json()
    assert told["version"] != version
    assert [move["said"] for move in told["moves"]] == [
        ["Orders assumed of Harbour Watch was 120 and is now 150."]
    ]
    assert not told["moves"][0]["outside"]
    assert client.get(f"/since?version={version}&window=one").json()["moves"] == []


def test_a_change_by_another_program_is_told(client, folder):
    version = re.search(r'name="sixwright-version" content="([^"]+)"', client.get("/").text)[1]
    orders = folder / "orders.csv"
    orders.write_text(orders.read_text("utf-8").replace("box-0,120", "box-0,1500"), "utf-8")
    told = client.get(f"/since?version={version}&window=one").json()
    assert told["moves"][0]["outside"]
    assert told["moves"][0]["said"] == ["Orders assumed of Harbour Watch was 120 and is now 1500."]


def test_a_file_that_a_spreadsheet_holds_open_is_left_alone_and_said(client, folder):
    lock = folder / ".~lock.orders.csv#"
    lock.write_text(",Ines,desk,14.09.2026 09:00,file:///;", "utf-8")
    before = (folder / "orders.csv").read_bytes()
    answer = client.edit("orders", "box-0", "quantity", "120", "125")
    assert answer.status_code == 423
    assert answer.json()["kind"] == "busy"
    assert "orders.csv" in answer.json()["said"]
    assert (folder / "orders.csv").read_bytes() == before
    lock.unlink()
    assert client.edit("orders", "box-0", "quantity", "120", "125").status_code == 200


def test_a_folder_that_cannot_be_read_just_now_is_not_written(client, folder):
    client.get("/")
    parts = folder / "parts.csv"
    good = parts.read_bytes()
    parts.write_bytes(good.replace(b",head,", b",hed,"))
    before = (folder / "orders.csv").read_bytes()
    answer = client.edit("orders", "box-0", "quantity", "120", "125")
    assert answer.status_code == 503
    assert "cannot be read just now" in answer.json()["said"]
    assert (folder / "orders.csv").read_bytes() == before
    parts.write_bytes(good)
    assert client.edit("orders", "box-0", "quantity", "120", "125").status_code == 200
