"""A new line is complete and reads; a folder that holds anything is left alone."""

import csv
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sixwright.importer.guess import guess_parts
from sixwright.importer.new_line import is_empty, new_from_parts, new_line
from sixwright.kernel.errors import CallError, FolderError
from sixwright.line.making import MoneyRules
from sixwright.storage.folder import read

TODAY = date(2026, 9, 14)
SHEET = (
    "Part,Maker,MOQ,Price CNY,Watch,Long,Shelf\nHead,Yard,300,17,1,1,007\nOar,Loft,500,9.2,,1,\n"
)


def everything(folder: Path) -> set[str]:
    return {path.name for path in folder.rglob("*")}


def sheet_in(folder: Path, text: str = SHEET) -> Path:
    path = folder / "bill.csv"
    path.write_text(text, encoding="utf-8", newline="")
    return path


def test_a_new_line_reads_and_has_all_that_a_line_has(tmp_path):
    new_line(tmp_path / "The Ferry Line", today=TODAY)
    project = read(tmp_path / "The Ferry Line").project
    assert project.id == "the-ferry-line"
    assert (len(project.looks), len(project.sells), len(project.parts)) == (1, 2, 11)
    assert {content.part for content in project.contents} == set(project.parts)
    assert {part.way for part in project.parts.values()} == set(project.ways)
    assert {price.way for price in project.prices} == set(project.ways)
    assert all(order.quantity for order in project.orders.values())
    assert all(way.valid_until and way.valid_until > TODAY for way in project.ways.values())


@pytest.mark.parametrize("today", [TODAY, date(2028, 2, 29), date(2031, 12, 31)])
def test_a_new_line_checks_without_fails_on_the_day_it_is_made(tmp_path, today):
    from sixwright.workflows.review import review

    new_line(tmp_path / "line", today=today)
    found = review(read(tmp_path / "line").project, today=today).findings
    assert len(found) > 20
    assert [f for f in found if f.verdict.value in {"fails", "unchecked"}] == []


@pytest.mark.parametrize("name", ["new", "deep/er/new", "empty", "mac"])
def test_a_new_or_empty_folder_is_taken(tmp_path, name):
    (tmp_path / "empty").mkdir()
    (tmp_path / "mac").mkdir()
    (tmp_path / "mac/.DS_Store").write_bytes(b"x")
    new_line(tmp_path / name, today=TODAY)
    assert everything(tmp_path / name) - {".DS_Store"} == {
        "line.toml", "parts.csv", "contents.csv", "orders.csv", "ways.csv", "prices.csv",
    }  # fmt: skip


def test_a_folder_that_holds_anything_is_refused_and_left_alone(tmp_path):
    sheet = sheet_in(tmp_path)
    for make in (
        lambda: new_line(tmp_path, today=TODAY),
        lambda: new_from_parts(tmp_path, sheet, {}, today=TODAY),
    ):
        with pytest.raises(CallError, match=r"must be a new or empty folder; it holds bill\.csv"):
            make()
    with pytest.raises(CallError, match="it is a file"):
        new_line(sheet, today=TODAY)
    assert everything(tmp_path) == {"bill.csv"}


@pytest.mark.parametrize("existed", [True, False])
@pytest.mark.parametrize("step", range(13))
def test_a_fault_at_any_step_leaves_nothing(tmp_path, monkeypatch, step, existed):
    if existed:
        (tmp_path / "line").mkdir()
    count = [0]

    def failing(real):
        def call(file, *args, **kwargs):
            count[0] += file.is_relative_to(tmp_path / "line")
            if count[0] > step and file.is_relative_to(
                tmp_path / "line"
            ):  # a disk that is full stays so
                raise OSError(28, "No space left on device")
            return real(file, *args, **kwargs)

        return call

    for name in ("write_text", "hardlink_to", "open", "mkdir"):
        monkeypatch.setattr(Path, name, failing(getattr(Path, name)))
    with pytest.raises(CallError, match="No space left"):
        new_line(tmp_path / "line", today=TODAY)
    assert everything(tmp_path) == ({"line"} if existed else set())


def test_a_line_made_of_a_spreadsheet_reads_with_its_quantities(tmp_path):
    guess = new_from_parts(tmp_path / "line", sheet_in(tmp_path), {}, today=TODAY)
    folder = read(tmp_path / "line")
    project = folder.project
    assert {(c.sells, c.part): c.quantity for c in project.contents} == {
        ("watch", "head"): 1, ("long", "head"): 1, ("long", "oar"): 1,
    }  # fmt: skip
    assert project.currency == guess.currency == "CNY"
    assert [(way.id, way.minimum) for way in project.ways.values()] == [
        ("head-yard", 300), ("oar-loft", 500),
    ]  # fmt: skip
    assert all(sold.price is None for sold in project.sells.values())
    assert [order.quantity for order in project.orders.values()] == [None, None]
    assert folder.records["parts"]["head"].cells["Shelf"] == "007"


def test_a_spreadsheet_that_leaves_questions_writes_nothing(tmp_path):
    sheet = sheet_in(tmp_path, "Part,Watch\nHN-OP,1\n")
    with pytest.raises(FolderError, match="the currency you sell in") as caught:
        new_from_parts(tmp_path / "line", sheet, {}, today=TODAY)
    assert "1 part of no stated kind: “HN-OP” (row 2)" in str(caught.value)
    assert caught.value.what == "The spreadsheet bill.csv cannot be made into a line yet"
    assert everything(tmp_path) == {"bill.csv"}


def test_what_a_parts_list_does_not_say_stands_in_line_toml_to_be_filled_in(tmp_path):
    text = SHEET.replace("Price CNY", "Price CNY,RRP USD").replace(",300,17", ",300,17,199")
    new_from_parts(tmp_path / "line", sheet_in(tmp_path, text), {}, today=TODAY, currency="USD")
    file = tmp_path / "line/line.toml"
    assert (read(tmp_path / "line").project.money, read(tmp_path / "line").project.rates) == (
        MoneyRules(), {},
    )  # fmt: skip
    # With every mark taken away it reads, each rule is there, and each edition has its four.
    lines = file.read_text("utf-8").splitlines()
    file.write_text("\n".join(line.removeprefix("#") if line[:2] != "# " else line
                              for line in lines), "utf-8")  # fmt: skip
    project = read(tmp_path / "line").project
    rules = project.money
    assert [name for name in rules.__slots__ if getattr(rules, name) is None] == []
    assert set(project.rates) == {"CNY"}
    assert all(sold.price and sold.box_mm and sold.assembly_minutes and sold.figures
               for sold in project.sells.values())  # fmt: skip
    # Each example has a sentence of its own before it.
    examples = [at for at, line in enumerate(lines) if line[:1] == "#" and line[1:2].islower()]
    assert len(examples) >= 15 + 4 * 2


def test_own_columns_are_kept_byte_for_byte(tmp_path):
    hard = ["007", "=1+1", " a ", "1e5", "a\nb", "1,5", "ä;頭", "'x", '"q"', "-", "a\r\nb"]
    rows = [["Part", "Watch", "Mine", "note", "Name of mine"]]
    rows += [[f"Head {n}", "1", text, "", text] for n, text in enumerate(hard)]
    with (tmp_path / "bill.csv").open("w", encoding="utf-8", newline="") as out:
        csv.writer(out).writerows(rows)
    new_from_parts(tmp_path / "line", tmp_path / "bill.csv", {}, today=TODAY, currency="USD")
    with (tmp_path / "line/parts.csv").open(encoding="utf-8", newline="") as made:
        assert [row["Mine"] for row in csv.DictReader(made)] == hard
    records = read(tmp_path / "line").records["parts"]
    assert [row.cells["Name of mine"] for row in records.values()] == hard


HEADERS = ["Part", "No", "kind", "look", "Maker", "MOQ", "Price", "Price @500", "Tooling EUR",
           "Size (mm)", "Weight (g)", "note", "id", "group", "fits", "yield", "Lead time (days)",
           "Currency", "Valid until", "A", "Qty B", "way", "X", "X", "", "Total",
           "tool"]  # fmt: skip
CELLS = ["", "1", "2", "0", "-", "?", "x", "1,5", "1.250", "17@300/14@500", "Head", "HEADS",
         "Total",
         "hand", "all", "258x84x42", "12 g", "82%", "EUR", "cny", "2027-03-31", "03/04/2027",
         "=1+1",         "neck-8 wrist-4", "頭", "a\nb", "1e5", "-3", "99999", "tbc",
         " ", "Ärmel", "no", "yes"]  # fmt: skip


@given(
    header=st.lists(st.sampled_from(HEADERS), min_size=2, max_size=10),
    data=st.data(),
    mark=st.sampled_from(",;\t"),
)
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_whatever_a_sheet_holds_a_line_made_of_it_reads(tmp_path_factory, header, data, mark):
    folder = tmp_path_factory.mktemp("any")
    cell = st.one_of(st.sampled_from(CELLS), st.integers(0, 3).map(str))
    row = st.lists(cell, min_size=len(header), max_size=len(header))
    rows = data.draw(st.lists(row, min_size=1, max_size=6))
    with (folder / "bill.csv").open("w", encoding="utf-8", newline="") as out:
        csv.writer(out, delimiter=mark).writerows(
            [["Part", *header], *([["Cape", *r] for r in rows])]
        )
    guess = guess_parts(folder / "bill.csv", {}, currency="USD", kind="prop")
    if not guess.problems:
        new_from_parts(folder / "line", folder / "bill.csv", {}, today=TODAY, currency="USD",
                       kind="prop")  # fmt: skip
        assert len(read(folder / "line").project.parts) == len(guess.tables.parts)


def arrives(monkeypatch, name: str, text: str):
    """Another program saves a file just before a table takes its place."""
    real = Path.hardlink_to

    def link(place, made):
        if place.name == name:
            place.write_text(text)
        real(place, made)

    monkeypatch.setattr(Path, "hardlink_to", link)


@pytest.mark.parametrize("name", ["contents.csv", "parts.csv", "line.toml"])
def test_what_came_to_the_folder_meanwhile_stands_and_nothing_is_written(
    tmp_path, monkeypatch, name
):
    (tmp_path / "line").mkdir()
    arrives(monkeypatch, name, "a week's work\n")
    with pytest.raises(CallError, match=rf"{name} came to .* meanwhile\. Nothing written"):
        new_line(tmp_path / "line", today=TODAY)
    assert everything(tmp_path / "line") == {name}
    assert (tmp_path / "line" / name).read_text() == "a week's work\n"


def test_on_a_disk_where_a_file_has_one_name_nothing_is_replaced_either(tmp_path, monkeypatch):
    def refused(place, _made):
        if place.name == "ways.csv":
            place.write_text("a week's work\n")
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(Path, "hardlink_to", refused)
    (tmp_path / "line").mkdir()
    with pytest.raises(CallError, match=r"ways\.csv came to"):
        new_line(tmp_path / "line", today=TODAY)
    assert everything(tmp_path / "line") == {"ways.csv"}


def test_of_windows_that_make_a_line_at_once_one_makes_it_whole(tmp_path):
    from concurrent.futures import ThreadPoolExecutor

    def make(_):
        try:
            new_line(tmp_path / "line", today=TODAY)
        except CallError as error:
            return str(error)
        return "made"

    (tmp_path / "line").mkdir()
    with ThreadPoolExecutor(4) as pool:
        told = list(pool.map(make, range(4)))
    assert told.count("made") == 1
    assert all("must be a new or empty folder" in each for each in told if each != "made")
    assert len(read(tmp_path / "line").project.parts) == 11


KILLED = """
import os, signal, sys
from datetime import date
from pathlib import Path
from sixwright.importer import new_line
real, left = Path.hardlink_to, [int(sys.argv[2])]
def link(place, made):
    if left[0] == 0:
        os.kill(os.getpid(), signal.SIGKILL)
    left[0] -= 1
    real(place, made)
Path.hardlink_to = link
new_line.new_line(Path(sys.argv[1]), today=date(2026, 9, 14))
"""


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal")
def test_what_a_killed_make_left_is_no_content_but_what_was_changed_since_is(tmp_path):
    line = tmp_path / "line"
    line.mkdir()
    killed = subprocess.run([sys.executable, "-c", KILLED, str(line), "3"], check=False)
    assert killed.returncode == -9
    assert len(everything(line)) > 3
    assert is_empty(line)
    table = line / "contents.csv"
    as_made = table.read_text("utf-8")
    table.write_text(as_made + "mine\n", "utf-8")
    with pytest.raises(CallError, match=r"it holds contents\.csv\. Nothing written"):
        new_line(line, today=TODAY)
    assert table.read_text("utf-8") == as_made + "mine\n"
    table.write_text(as_made, "utf-8")
    new_line(line, today=TODAY)
    assert len(everything(line)) == 6
    assert not is_empty(line)
