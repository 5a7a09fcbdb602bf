"""Exports taken into a line: once, as one edit, byte for byte around what is new."""

import pytest

from sixwright.importer.voices.into_line import VoicesImport, take_in
from sixwright.kernel.errors import BusyError, CallError, FolderError
from sixwright.storage.edits.write import write
from sixwright.storage.folder import read
from sixwright.storage.history.log import history
from sixwright.storage.history.undo import steps, undo
from storage.small_line import CountingClock, bytes_of, small_line

EXPORT = "Email,Level,Counting aloud,backer\nann@home.example,5,1,yes\nbob@home.example,4,,no\n"


@pytest.fixture(autouse=True)
def config(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CONFIG", str(tmp_path / "config"))


@pytest.fixture
def line(tmp_path):
    path = small_line(tmp_path / "line")
    (path / "polls.csv").write_text("id,kind,least,most\nheads,rate,1,5\n", encoding="utf-8")
    (path / "options.csv").write_text(
        "poll,option,name\nheads,hd-m1,Level\nheads,hd-m2,Counting aloud\n", encoding="utf-8"
    )
    return path


def export(tmp_path, text=EXPORT, name="export.csv"):
    (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path / name


def take(path, file, *, table="votes", poll="heads", **more):
    wanted = VoicesImport(file, table, poll if table == "votes" else "", **more)
    return take_in(read(path), wanted, who="Jo", clock=CountingClock())


def answers(path):
    return {(v.option, v.answer, v.backer) for v in read(path).project.voices.votes}


TAKEN = {("hd-m1", 5, True), ("hd-m2", 1, True), ("hd-m1", 4, False)}


def test_votes_come_in_under_a_hash_and_the_import_is_noted(line, tmp_path):
    outcome = take(line, export(tmp_path))
    assert (outcome.new, outcome.known) == (3, 0)
    assert answers(line) == TAKEN
    assert b"home.example" not in b"".join(bytes_of(line).values())
    (noted,) = read(line).project.imports.values()
    assert (noted.table, noted.poll, noted.file, noted.rows) == ("votes", "heads", "export.csv", 3)


def test_importing_twice_changes_nothing(line, tmp_path):
    take(line, export(tmp_path))
    before = bytes_of(line)
    outcome = take(line, export(tmp_path))
    assert (outcome.new, outcome.known) == (0, 3)
    assert bytes_of(line) == before


def test_a_longer_export_adds_what_is_new_and_leaves_every_byte_before_it(line, tmp_path):
    take(line, export(tmp_path))
    before = bytes_of(line)["votes.csv"]
    outcome = take(line, export(tmp_path, EXPORT + "cy@home.example,2,2,no\n"))
    assert (outcome.new, outcome.known) == (2, 3)
    assert bytes_of(line)["votes.csv"].startswith(before)


def test_columns_are_said_once_and_remembered(line, tmp_path):
    text = "Wer,Kopf,Note\nann,Level,5\n"
    with pytest.raises(CallError, match="voter"):
        take(line, export(tmp_path, text))
    said = {"Wer": "voter", "Kopf": "option", "Note": "answer"}
    take(line, export(tmp_path, text), said=said)
    outcome = take(line, export(tmp_path, text + "bob,Level,4\n", "june.csv"))
    assert outcome.new == 1
    assert dict(outcome.columns.means) == said


def test_undo_takes_an_import_back_and_redo_brings_it_again(line, tmp_path):
    take(line, export(tmp_path))
    folder = read(line)
    (edit,) = history(line)
    write(folder, undo(folder, edit), who="Jo", clock=CountingClock(), undoes=edit.id)
    assert answers(line) == set()
    assert read(line).project.voices.left == 3
    folder = read(line)
    again = steps(history(line)).redo
    write(folder, undo(folder, again), who="Jo", clock=CountingClock(), undoes=again.id)
    assert answers(line) == TAKEN


def test_what_was_taken_back_comes_again_with_another_export(line, tmp_path):
    take(line, export(tmp_path))
    folder = read(line)
    (edit,) = history(line)
    write(folder, undo(folder, edit), who="Jo", clock=CountingClock(), undoes=edit.id)
    outcome = take(line, export(tmp_path, EXPORT + "cy@home.example,2,,\n"))
    assert outcome.new == 4
    assert answers(line) == TAKEN | {("hd-m1", 2, None)}
    assert read(line).project.voices.left == 0


def test_an_import_can_be_switched_off(line, tmp_path):
    take(line, export(tmp_path))
    file = line / "imports.csv"
    file.write_text(file.read_text("utf-8").replace(",yes,", ",no,"), encoding="utf-8")
    assert answers(line) == set()


def test_rows_of_ones_own_stay_as_they_are(line, tmp_path):
    mine = "voter;id;poll;option;answer;mine\r\nv-1;a;heads;hd-m1;3;keep"
    (line / "votes.csv").write_bytes(mine.encode())
    take(line, export(tmp_path))
    told = bytes_of(line)["votes.csv"].decode()
    assert told.startswith("voter;id;poll;option;answer;mine;backer;date;source\r\nv-1;a;heads")
    assert "keep\r\nv-" in told
    assert answers(line) == TAKEN | {("hd-m1", 3, None)}


def test_comments_come_in_and_never_start_a_formula(line, tmp_path):
    text = "user,comment,when\nann,=HYPERLINK(1),2026-09-01\nbob,@ann_b nice,\n,first,\n"
    outcome = take(line, export(tmp_path, text), table="comments", where="forum")
    assert outcome.new == 3
    told = [comment.text for comment in read(line).project.voices.comments]
    assert told[0] == "'=HYPERLINK(1)"
    assert told[1].startswith("'@v-")
    assert {c.where for c in read(line).project.voices.comments} == {"forum"}


def test_names_are_kept_where_the_line_says_so(line, tmp_path):
    toml = line / "line.toml"
    toml.write_text(toml.read_text("utf-8") + '\n[voices]\nnames = "keep"\n', encoding="utf-8")
    take(line, export(tmp_path))
    assert {v.voter for v in read(line).project.voices.votes} == {
        "ann@home.example", "bob@home.example",
    }  # fmt: skip
    assert not (tmp_path / "config").exists()


def test_rows_that_cannot_be_read_are_told_and_nothing_is_written(line, tmp_path):
    before = bytes_of(line)
    broken = export(tmp_path, EXPORT + "cy@home.example,9,,\n")
    with pytest.raises(FolderError, match="row 4, column hd-m1: expected a whole number from 1"):
        take(line, broken)
    assert bytes_of(line) == before
    assert take(line, broken, anyway=True).new == 3


def test_no_poll_is_said_with_the_polls_there_are(line, tmp_path):
    with pytest.raises(CallError, match="--poll ID; the line's polls are heads"):
        take(line, export(tmp_path), poll="")


def test_a_table_held_open_in_a_spreadsheet_is_not_written(line, tmp_path):
    take(line, export(tmp_path))
    before = bytes_of(line)
    (line / ".~lock.votes.csv#").write_text("", encoding="utf-8")
    with pytest.raises(BusyError, match=r"votes.csv is open in a spreadsheet"):
        take(line, export(tmp_path, EXPORT + "cy,2,,\n"))
    (line / ".~lock.votes.csv#").unlink()
    assert bytes_of(line) == before


def test_large_tables_are_read_only_where_they_are_asked_for(line, tmp_path):
    take(line, export(tmp_path))
    assert read(line, large=False).project.voices.votes == ()
    assert "votes.csv" not in read(line, large=False).files
    (line / "votes.csv").write_text("not,a,table\n", encoding="utf-8")
    read(line, large=False)
    with pytest.raises(FolderError, match=r"votes.csv, row 1, column id"):
        read(line)


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
@pytest.mark.parametrize("before", ["", "\n\n"])
def test_rows_come_behind_others_however_their_lines_end(line, tmp_path, line_end, before):
    """A cell of two lines among lines that end as old spreadsheets end them; empty ones first."""
    text = 'id,date,where,voter,text,language,answered\nc1,2026-09-01,shop,,"one,\ntwo",en,\n'
    stands = (before + text).replace("\n", line_end).encode()
    (line / "comments.csv").write_bytes(stands)
    said = export(tmp_path, 'Date,Comment\n2026-09-02,"three\nand"\n2026-09-03,four\n')
    assert take(line, said, table="comments").new == 2
    said = export(tmp_path, "Date,Comment\n2026-09-04,five\n", "more.csv")
    assert take(line, said, table="comments").new == 1
    texts = [each.text for each in read(line).project.voices.comments]
    assert [" ".join(text.split()) for text in texts] == ["one, two", "three and", "four", "five"]
    body = stands.partition(b"answered")[2]
    assert body.rstrip(b"\r\n") in (line / "comments.csv").read_bytes()
