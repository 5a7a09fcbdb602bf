"""What a folder may hold that is odd is a place in the folder, and no fault of sixwright.

Nested arrays, long numbers and names that are not UTF-8 ended the command with status 4 and each
page with 500 before (faults.md, 15); what was ignored unmentioned is named (16).
"""

import os
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from sixwright.kernel.errors import FolderError, Problem, shown
from sixwright.project.records import Change
from sixwright.storage.edits.write import write
from sixwright.storage.folder import folder_name, read
from sixwright.storage.history.log import history, read_history
from sixwright.storage.history.log_text import parse_history
from sixwright.web.app import make_app
from storage.small_line import CountingClock, in_three_files, small_line
from web.asking import Client, clock

PAGES = ("/", "/history", "/money", "/tables/parts")
NOT_UTF8 = os.fsdecode(b"\xff\xfe")


@pytest.fixture
def line(tmp_path):
    return small_line(tmp_path / "line")


def said(line):
    """What is said of a folder, by the reading and by every page."""
    with pytest.raises(FolderError) as refused:
        read(line)
    client = Client(make_app(line, clock))
    for page in PAGES:
        assert client.get(page).status_code == 503
    return refused.value.problems


def nest(open_, close, depth):
    return open_ * depth + close * depth


TOML = {
    "arrays": f"x = {nest('[', ']', 900)}",
    "very many arrays": f"x = {nest('[', ']', 100_000)}",
    "arrays that do not end": "x = " + "[" * 100_000,
    "inline tables": f"x = {'{a=' * 900}1{'}' * 900}",
    "a name of thousands of parts": ".".join("a" * 20_000) + " = 1",
    "a heading of thousands of parts": f"[{'.'.join('a' * 20_000)}]",
    "a number of 5,000 digits": f"x = {'9' * 5000}",
    "a hexadecimal number of 20,000 digits": f"x = 0x{'f' * 20_000}",
}


@pytest.mark.parametrize("case", TOML)
@pytest.mark.parametrize("name", ["line.toml", "choices/odd.toml"])
def test_toml_beyond_all_measure_is_a_place(line, name, case):
    (line / name).write_text(TOML[case] + "\n", encoding="utf-8")
    assert name in [problem.file for problem in said(line)]


def test_a_choice_whose_name_is_not_utf8_is_a_place(line):
    (line / "choices" / f"{NOT_UTF8}.toml").write_text("question = 'x'")
    assert said(line)[0].file == "choices/??.toml"


def test_a_history_whose_name_is_not_utf8_is_shown_as_far_as_it_can_be(line):
    write(read(line), in_three_files(7), who="Mira", clock=CountingClock())
    (own,) = (line / "history").iterdir()
    shutil.copy(own, line / "history" / f"{NOT_UTF8}.jsonl")
    (line / "history" / f"z{NOT_UTF8}.jsonl").mkdir()
    found = read_history(line)
    assert len(found.edits) == 1
    assert found.passed == {"history/z??.jsonl": "the whole file (a folder, not a file)"}
    client = Client(make_app(line, clock))
    assert client.get("/history").status_code == 200


def test_a_folder_whose_name_is_not_utf8_is_worked_in(tmp_path):
    line = small_line(tmp_path / NOT_UTF8)
    client = Client(make_app(line, clock, who="Ines"))
    for page in PAGES:
        assert client.get(page).status_code == 200
    answer = client.edit("orders", "crossing", "quantity", "120", "121", page="/money")
    assert answer.status_code in {200, 409, 422}
    assert client.get("/report/report.html").status_code == 200
    assert folder_name(line) == "??"


def test_a_text_that_cannot_be_shown_is_made_one_that_can():
    problem = Problem(NOT_UTF8, "x" * 1000, "\ud800", column="y" * 301)
    assert problem.file == "??"
    assert problem.found == "?"
    assert len(problem.expected) == len(problem.column) == 300
    assert shown("Größe 漢字 😀") == "Größe 漢字 😀"
    assert shown("a\nb\u2028c\td\x1b[2J") == "a b c d [2J"
    assert shown("head\u202egpj.exe\u2069") == "head?gpj.exe?"


def test_choices_that_are_no_folder_are_said(line):
    shutil.rmtree(line / "choices")
    (line / "choices").write_text("x")
    (problem,) = said(line)
    assert (problem.file, problem.found) == ("choices", "a file, not a folder")


def test_choices_that_may_not_be_listed_are_said(line, monkeypatch):
    real = os.scandir

    def refuse(path):
        if Path(path).name == "choices":
            raise PermissionError(13, "Permission denied", str(path))
        return real(path)

    monkeypatch.setattr("sixwright.storage.files.within.os.scandir", refuse)
    with pytest.raises(FolderError) as refused:
        read(line)
    (problem,) = refused.value.problems
    assert (problem.file, problem.found) == ("choices", "Permission denied")


@pytest.mark.parametrize("name", ["orders.csv", "parts.csv", "line.toml", "choices", "votes.csv"])
def test_a_name_in_other_letters_is_named(line, name):
    if not (line / name).exists():
        (line / name).write_text("id\n")
    (line / name).rename(line / name.capitalize())
    problem = said(line)[0]
    assert (problem.file, problem.suggestion) == (name.capitalize(), name)


def test_a_name_in_other_letters_beside_the_right_one_is_the_producers_own(line):
    (line / "Orders.csv").write_text("mine")
    assert read(line).records["orders"]


def test_a_row_of_very_many_columns_is_one_place(line):
    (line / "orders.csv").write_text("sells,quantity\n" + "," * 5_000_000)
    assert [problem.row for problem in said(line)] == [2]


def test_ten_thousand_rows_and_more_are_read(line):
    text = "".join(f"s1,nose,{at},{at % 1900}.5,{at % 1000},1\n" for at in range(25_000))
    (line / "stills.csv").write_text("id,file,width_px,height_px\ns1,s1.png,1920,1080\n")
    (line / "outlines.csv").write_text(f"still,outline,point,x_px,y_px,sd_px\n{text}")
    assert len(read(line).records["outlines"]) == 25_000


def test_a_history_is_read_on_from_where_it_was(line):
    """What is added to a file is read alone, and gives what reading all of it gives."""
    folder = read(line)
    for number in range(5):
        folder = write(folder, in_three_files(number), who="Mira", clock=CountingClock())
    (file,) = (line / "history").iterdir()
    content = file.read_bytes()
    whole = tuple(replace(edit, writer="part") for edit in parse_history(content, "whole")[0])
    lines = content.splitlines(keepends=True)
    for cut in range(len(lines) + 1):
        text = b"".join(lines[:cut]) + b"odd\n"
        assert parse_history(text, "part")[1] == 1
        assert parse_history(text + b"".join(lines[cut:]), "part") == (whole, 1)
    for cut in range(0, len(content), 97):  # also within a line, and a file that became shorter
        parse_history(content[:cut], "part")
        assert parse_history(content, "part") == (whole, 0)
    assert [edit.id for edit in history(line)] == [edit.id for edit in whole]


def test_undoing_and_doing_again_thousands_of_times_takes_no_longer(line):
    """Work, not time: each of the lines is read once, whatever was taken back before."""
    from sixwright.storage.history.log_text import Edit, EditLine
    from sixwright.storage.history.undo import steps

    at = CountingClock()
    edits, last = [], None
    for number in range(20_000):
        lines = (EditLine("orders", "crossing", "quantity", "1", "2"),)
        edits.append(Edit(str(number), "Mira", at(), lines, undoes=last))
        last = str(number)
    found = steps(edits)
    assert (found.undo, found.redo) == (None, edits[-1])
    found = steps(edits[:-1])
    assert (found.undo, found.redo) == (edits[-2], None)


def test_a_change_that_would_go_beyond_a_limit_is_refused(line):
    folder = read(line)
    long = Change("parts", "oar", "note", value="x" * 40_000)
    with pytest.raises(Exception, match="at most 32767 characters in a cell"):
        write(folder, [long], who="Mira", clock=CountingClock())
    assert read(line).files == folder.files
