"""What is said of a write is so: whatever was emptied, undone, redone or restored can be told.

The truth of each step is the folder's own files, read anew from the disk.
"""

import json
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reports.folders import write_folder
from reports.lines import real_size
from sixwright.project.records import Change
from sixwright.reports.wording.changes import Manner, told
from sixwright.storage.files.writer_lock import writer_name
from sixwright.storage.folder import files_of, read
from sixwright.web.app import make_app
from web.asking import Client, asks, clock

CELLS = (
    ("editions", "box-0", "price", ("420 USD", "389", "", "12.5 EUR")),
    ("editions", "box-1", "assembly_minutes", ("34", "", "0")),
    ("orders", "box-0", "quantity", ("150", "", "0", "700")),
    ("parts", "part-01", "name", ("Head, level", "", "Kopf “laut”")),
    ("line", "line", "name", ("Flood", "The flood")),
)
PRICE = {"table": "editions", "id": "box-0", "column": "price"}


@pytest.fixture
def folder(tmp_path):
    return write_folder(real_size(parts=6, boxes=2), tmp_path / "flood")


@pytest.fixture
def client(folder):
    return Client(make_app(folder, clock, who="Ines"))


def price(folder):
    return read(folder).records["editions"]["box-0"].cells.get("price", "")


def undo(client):
    """Press Undo, as the button at the foot of the page does."""
    page = client.get("/money").text
    button = re.search(r'data-back="undo" data-does="undo" data-asks="([^"]+)"', page)
    return client.post("/undo", page="/money", **json.loads(button[1].replace("&#34;", '"')))


@pytest.mark.parametrize(
    ("table", "id_", "column"),
    [("editions", "box-0", "price"), ("orders", "box-0", "quantity")],
    ids=["a price", "a count"],
)
def test_an_emptied_cell_can_be_undone_and_the_history_shown(client, folder, table, id_, column):
    stood = read(folder).records[table][id_].cells[column]
    assert client.edit(table, id_, column, stood, "", page="/money").status_code == 200
    assert read(folder).records[table][id_].cells.get(column, "") == ""
    back = undo(client)
    assert (back.status_code, back.json()["kind"]) == (200, "written")
    assert f"is {stood} again" in back.json()["said"].replace("\N{NO-BREAK SPACE}", " ")
    assert read(folder).records[table][id_].cells[column] == stood
    assert client.get("/history").status_code == 200
    assert Client(make_app(folder, clock)).get("/history").status_code == 200


@pytest.mark.parametrize("manner", Manner)
@pytest.mark.parametrize(("was", "value"), [("420 USD", ""), ("", "420 USD"), ("1 USD", "2 USD")])
def test_every_change_of_a_cell_has_words(folder, manner, was, value):
    records = read(folder).records
    said = told(Change(**PRICE, was=was, value=value), records, records, manner=manner)
    assert said.template.count("{") == len(said.values)


steps = st.lists(
    st.one_of(
        st.tuples(st.just("edit"), st.integers(0, len(CELLS) - 1), st.integers(0, 3)),
        st.tuples(st.just("undo"), st.just(0), st.just(0)),
        st.tuples(st.just("redo"), st.just(0), st.just(0)),
        st.tuples(st.just("back"), st.integers(0, 9), st.just(0)),
        st.tuples(st.just("restore"), st.integers(0, 9), st.just(0)),
    ),
    min_size=3,
    max_size=12,
)


def take(client, folder, step):
    """One action of a user: what was asked, and the answer; None where there is nothing to do."""
    name, which, value = step
    if name == "edit":
        table, id_, column, texts = CELLS[which]
        row = read(folder).records[table].get(id_)
        if row is None:
            return None
        was = row.cells.get(column, "")
        return client.edit(table, id_, column, was, texts[value % len(texts)], page="/history")
    page = client.get("/history").text
    if name in {"undo", "redo"}:
        found = re.search(rf'data-back="{name}" data-does="undo" data-asks="([^"]+)"', page)
        asked = [json.loads(found[1].replace("&#34;", '"'))] if found else []
    else:
        asked = asks(page, {"back": "undo", "restore": "restore"}[name])
    if not asked:
        return None
    path = "/restore" if name == "restore" else "/undo"
    return client.post(path, page="/history", **asked[which % len(asked)])


@settings(max_examples=12)
@given(steps)
def test_any_sequence_of_edits_and_ways_back_is_told_as_it_was(tmp_path_factory, taken):
    folder = write_folder(real_size(parts=3, boxes=2), tmp_path_factory.mktemp("line") / "flood")
    client = Client(make_app(folder, clock, who="Ines"))
    for step in taken:
        before = read(folder).files
        answer = take(client, folder, step)
        if answer is None:
            continue
        after = read(folder).files
        said = answer.json()
        if said["kind"] != "written" or said["said"].endswith("nothing was written."):
            assert after == before, (step, said["said"])
            assert answer.status_code in {200, 409, 422}
        else:
            assert answer.status_code == 200
            assert after != before, (step, said["said"])
        assert client.get("/history").status_code == 200
    assert Client(make_app(folder, clock)).get("/history").status_code == 200


HUGE = ["9" * 320, "9" * 3990, "1e99", "0." + "0" * 40 + "1", "1" + "0" * 15, "0.0000000000001"]


@pytest.mark.parametrize("value", HUGE, ids=lambda text: f"{text[:6]}, {len(text)} digits")
@pytest.mark.parametrize(
    ("table", "id_", "column"),
    [
        ("editions", "box-0", "price"),
        ("orders", "box-0", "quantity"),
        ("contents", None, "quantity"),
        ("line", "line", "money.spares"),
        ("line", "line", "money.development"),
        ("rates", "CNY", "per_unit"),
    ],
)
def test_a_number_beyond_the_stated_digits_is_refused_and_nothing_is_written(
    client, folder, table, id_, column, value
):
    before = read(folder).files
    id_ = id_ or next(iter(read(folder).records[table]))
    row = read(folder).records[table][id_]
    answer = client.edit(table, id_, column, row.cells.get(column, ""), value, page="/")
    assert answer.status_code == 422
    assert read(folder).files == before
    for path in ("/", "/money", "/history"):
        assert client.get(path).status_code == 200


def test_a_line_that_cannot_be_judged_is_written_told_and_undone(client, folder, monkeypatch):
    """A fault of ours in judging takes neither the edit nor its undo away."""

    def broken(*_args, **_options):
        raise ZeroDivisionError

    stood = price(folder)
    client.get("/")
    monkeypatch.setattr("sixwright.web.watched_folder.review", broken)
    answer = client.edit("editions", "box-0", "price", stood, "433 USD", page="/money")
    assert (answer.status_code, answer.json()["kind"]) == (200, "written")
    assert price(folder) == "433 USD"
    page = client.get("/money")
    assert page.status_code == 503
    assert "undo takes the last edit back" in page.text
    assert undo(client).json()["kind"] == "written"
    assert price(folder) == stood
    monkeypatch.undo()
    assert Client(make_app(folder, clock)).get("/money").status_code == 200


def test_a_page_that_cannot_be_drawn_does_not_deny_the_edit(client, folder, monkeypatch):
    def broken(*_args, **_options):
        raise ZeroDivisionError

    stood = price(folder)
    monkeypatch.setattr("sixwright.web.routes.worded", broken)
    answer = client.edit("editions", "box-0", "price", stood, "433 USD", page="/money")
    assert (answer.status_code, answer.json()["kind"]) == (200, "written")
    assert answer.json()["said"].startswith("It was written.")
    assert price(folder) == "433 USD"


def test_an_edit_is_told_as_written_though_a_file_is_taken_away_just_then(
    client, folder, monkeypatch
):
    """A sync program that moved a file between the write and the look behind it: the edit was
    answered with 503, and stood in the folder."""
    stood = price(folder)
    client.get("/")

    def taken_away(path):
        (folder / "parts.csv").rename(folder / ".parts.part")
        return files_of(path)

    monkeypatch.setattr("sixwright.web.watched_folder.files_of", taken_away)
    answer = client.edit("editions", "box-0", "price", stood, "433 USD", page="/money")
    monkeypatch.undo()
    assert (answer.status_code, answer.json()["kind"]) == (200, "written")
    assert answer.json()["said"].startswith("It was written.")
    assert client.get("/money").status_code == 503
    (folder / ".parts.part").rename(folder / "parts.csv")
    assert price(folder) == "433 USD"
    assert undo(client).json()["kind"] == "written"
    assert price(folder) == stood


def test_a_line_of_another_writer_dated_later_does_not_take_over_undo(client, folder):
    stood = price(folder)
    client.edit("editions", "box-0", "price", stood, "433 USD", page="/money")
    line = PRICE | {
        "column": "cap", "before": "", "after": "7", "who": "Otto", "edit": "f" * 16,
        "when": "2036-01-01T00:00:00+00:00",
    }  # fmt: skip
    (folder / "history" / "otto-1.jsonl").write_text(json.dumps(line) + "\n", encoding="utf-8")
    assert writer_name() != "otto-1"
    assert undo(client).json()["kind"] == "written"
    assert price(folder) == stood


ODD = {
    "no who": '{"table":"parts","id":"part-1","column":"name","before":"a","after":"b",'
    '"when":"2026-01-01T00:00:00+00:00","edit":"e"}',
    "a number as id": '{"table":"parts","id":7,"column":"name","before":"a","after":"b","who":"x",'
    '"when":"2026-01-01T00:00:00+00:00","edit":"e"}',
    "NaN": '{"table":"parts","id":NaN,"column":null,"before":null,"after":{},"who":"x",'
    '"when":"2026-01-01T00:00:00+00:00","edit":"e"}',
    "a list in undoes": '{"table":"parts","id":"p","column":"name","before":"a","after":"b",'
    '"who":"x","when":"2026-01-01T00:00:00+00:00","edit":"e","undoes":[1]}',
    "brackets": "[" * 200_000,
    "a lone surrogate": '{"table":"parts","id":"p","column":"name","before":"\\ud800","after":"b",'
    '"who":"x","when":"2026-01-01T00:00:00+00:00","edit":"e"}',
    "a row of numbers": '{"table":"parts","id":"p","column":null,"before":{"a":1},"after":null,'
    '"who":"x","when":"2026-01-01T00:00:00+00:00","edit":"e"}',
    "a cell both nothing": '{"table":"parts","id":"p","column":"name","before":null,"after":null,'
    '"who":"x","when":"2026-01-01T00:00:00+00:00","edit":"e"}',
    "a year beyond the calendar": '{"table":"parts","id":"p","column":"name","before":"a",'
    '"after":"b","who":"x","when":"0001-01-01T00:00:00+14:00","edit":"e"}',
    "a day without a zone": '{"table":"parts","id":"p","column":"name","before":"a","after":"b",'
    '"who":"x","when":"2026-01-01","edit":"e"}',
    "a string": '"text"',
    "nothing": "null",
}


@pytest.mark.parametrize("case", ODD)
def test_an_odd_line_of_the_history_is_passed_over_and_said(client, folder, case):
    client.edit("editions", "box-0", "price", price(folder), "433 USD", page="/money")
    (folder / "history" / "otto-1.jsonl").write_text(ODD[case] + "\n", encoding="utf-8")
    for path in ("/", "/money", "/report"):
        assert client.get(path).status_code == 200
    page = client.get("/history")
    assert page.status_code == 200
    assert "Passed over in <b>history/otto-1.jsonl</b>" in page.text
    assert "could not be read: 1 line." in page.text
    assert undo(client).json()["kind"] == "written"


@pytest.mark.parametrize("id_", ["x", "", "a/b/c"])
def test_a_row_whose_id_lacks_a_part_is_shown_and_its_undo_refused(client, folder, id_):
    line = {
        "table": "contents", "id": id_, "column": "part", "before": "a", "after": "b",
        "who": "Otto", "edit": "f" * 16, "when": "2026-01-01T00:00:00+00:00",
    }  # fmt: skip
    (folder / "history").mkdir(exist_ok=True)
    (folder / "history" / "otto-1.jsonl").write_text(json.dumps(line) + "\n", encoding="utf-8")
    (asked,) = asks(client.get("/history").text, "undo")
    answer = client.post("/undo", page="/history", **asked)
    assert (answer.status_code, answer.json()["kind"]) == (422, "refused")


@pytest.mark.parametrize("blank", [" ", "\n", "\u2028", "\u00a0 "])
@pytest.mark.parametrize(("column", "was"), [("group", ""), ("note", ""), ("name", None)])
def test_a_blank_more_is_no_edit_and_leaves_each_byte(client, folder, column, was, blank):
    was = read(folder).records["parts"]["part-00"].cells["name"] if was is None else was
    before = files_of(folder)
    cell = {"table": "parts", "id": "part-00", "column": column, "was": was, "value": was + blank}
    for answer in (
        client.post("/write-tried", changes=[cell]),
        client.edit("parts", "part-00", column, was, was + blank),
    ):
        assert answer.json()["said"] == "It already says that; nothing was written."
        assert files_of(folder) == before


def test_a_blank_that_stands_in_a_file_stays_where_the_cell_is_not_changed(client, folder):
    path = folder / "parts.csv"
    path.write_bytes(path.read_bytes().replace(b",head,all,", b", head ,all,", 1))
    before = files_of(folder)
    answer = client.edit("parts", "part-00", "kind", "head", "head")
    assert answer.json()["said"] == "It already says that; nothing was written."
    assert files_of(folder) == before


def test_a_cell_changed_and_changed_back_in_one_write_is_as_it_was(client, folder):
    there, back = ({"table": "orders", "id": "box-0", "column": "quantity", "was": was,
                    "value": value} for was, value in (("120", "121"), ("121", "120")))  # fmt: skip
    before = files_of(folder)
    assert client.post("/write-tried", changes=[there, back]).status_code in {200, 422}
    assert files_of(folder) == before
