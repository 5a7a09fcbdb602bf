"""Who changed what, and when; taken back, done again, and brought back to any moment."""

import json
import os
import subprocess
import sys
import tempfile
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sixwright.kernel.errors import ChangeError
from sixwright.project.records import Change
from sixwright.storage.edits.changed_files import all_rows
from sixwright.storage.edits.write import write
from sixwright.storage.files.disk import REAL_DISK
from sixwright.storage.folder import Folder, read
from sixwright.storage.history.log import history
from sixwright.storage.history.log_text import Edit
from sixwright.storage.history.undo import restore, steps, undo
from storage.small_line import CHOICE, START, CountingClock, bytes_of, small_line


class Desk:
    """A folder and one who works in it."""

    def __init__(self, path: Path, clock=None) -> None:
        self.path, self.clock = path, clock or CountingClock()

    def put(self, *changes: Change, undoes: str | None = None) -> Edit:
        """Write; the latest edit of the history."""
        write(read(self.path), changes, who="Ann", clock=self.clock, undoes=undoes)
        return (history(self.path) or [None])[-1]

    def take_back(self, edit: Edit) -> Edit:
        return self.put(*undo(read(self.path), edit), undoes=edit.id)

    def cell(self, table: str, id_: str, column: str) -> str:
        return read(self.path).records[table][id_].cells.get(column, "")

    def rows(self) -> dict:
        return stated(read(self.path))


def stated(folder: Folder) -> dict:
    """Every table's rows in their order, and every choice; empty cells left out."""
    rows = all_rows(folder.files, folder.records)
    return {
        table: [(id_, {n: t for n, t in row.cells.items() if t}) for id_, row in those.items()]
        for table, those in rows.items()
    }


@pytest.fixture
def desk(tmp_path) -> Desk:
    return Desk(small_line(tmp_path / "line"))


def oar(value: str) -> Change:
    return Change("parts", "oar", "mass_g", value=value)


def test_a_line_of_the_file_says_who_what_and_when(desk):
    desk.put(oar("17"), Change("looks", "sun", add={"name": "Sun"}))
    desk.put(Change("orders", "crossing", remove=True))
    (file,) = (desk.path / "history").glob("*.jsonl")
    lines = [json.loads(line) for line in file.read_text("utf-8").splitlines()]
    common = {"who": "Ann", "when": (START + timedelta(seconds=1)).isoformat()}
    edit = lines[0]["edit"]
    assert lines[:2] == [
        {"table": "looks", "id": "sun", "column": None, "before": None,
         "after": {"id": "sun", "name": "Sun"}, **common, "behind": "rain", "edit": edit},
        {"table": "parts", "id": "oar", "column": "mass_g", "before": "16", "after": "17",
         **common, "edit": edit},
    ]  # fmt: skip
    assert lines[2]["before"] == {"sells": "crossing", "quantity": "300", "note": "assumed"}
    assert lines[2]["after"] is None
    assert lines[2]["behind"] == ""
    assert lines[2]["edit"] != edit


def test_the_history_is_of_the_same_moment_as_the_files(desk):
    assert history(desk.path) == ()
    edit = desk.put(oar("17"))
    assert edit.who == "Ann"
    assert edit.when == START + timedelta(seconds=1)
    assert [line.after for line in edit.lines] == ["17"]


def test_each_writer_has_a_file_of_its_own(desk, tmp_path, monkeypatch):
    desk.put(oar("17"))
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "another machine"))
    desk.put(oar("18"))
    assert len(list((desk.path / "history").glob("*.jsonl"))) == 2
    assert [edit.lines[0].after for edit in history(desk.path)] == ["17", "18"]


def test_one_writers_edits_stay_in_their_order_when_its_clock_is_put_back(desk):
    moments = iter([START, START - timedelta(hours=1), START + timedelta(hours=1)])
    desk.clock = lambda: next(moments)
    for value in ("17", "18", "19"):
        desk.put(oar(value))
    assert [edit.lines[0].after for edit in history(desk.path)] == ["17", "18", "19"]


@pytest.mark.parametrize("torn", ['{"table": "parts", "id": "o', "\x00\x00\x00", "[]\n", "\xff"])
def test_a_line_that_was_cut_short_is_passed_over(desk, torn):
    desk.put(oar("17"))
    (file,) = (desk.path / "history").glob("*.jsonl")
    file.write_bytes(file.read_bytes() + torn.encode("latin-1"))
    assert [edit.lines[0].after for edit in history(desk.path)] == ["17"]
    desk.put(oar("18"))
    assert [edit.lines[0].after for edit in history(desk.path)] == ["17", "18"]


def test_a_copy_that_a_sync_program_made_counts_once(desk):
    desk.put(oar("17"))
    (file,) = (desk.path / "history").glob("*.jsonl")
    file.with_name("copy of it.jsonl").write_bytes(file.read_bytes())
    assert len(history(desk.path)) == 1


@pytest.mark.parametrize("name", ["a copy of it", "{} (conflicted copy)", "{}-LAPTOP", "{} (1)"])
def test_a_copy_that_lacks_lines_hides_none_and_no_writer(desk, name):
    desk.put(oar("17"))
    (file,) = (desk.path / "history").glob("*.jsonl")
    desk.put(oar("18"), Change("orders", "crossing", "quantity", value="5"))
    cut = file.read_bytes().rindex(b"\n", 0, -1) + 1  # the copy was made in the middle of an edit
    file.with_name(f"{name.format(file.stem)}.jsonl").write_bytes(file.read_bytes()[:cut])
    first, second = history(desk.path)
    assert {first.writer, second.writer} == {file.stem}
    assert len(second.lines) == 2
    desk.take_back(second)
    assert read(desk.path).records["orders"]["crossing"].cells["quantity"] == "300"


def test_lines_that_a_sync_program_joined_twice_count_once(desk):
    edit = desk.put(oar("17"), Change("orders", "crossing", "quantity", value="5"))
    (file,) = (desk.path / "history").glob("*.jsonl")
    written = file.read_bytes()
    file.write_bytes(written * 2)
    assert [each.lines for each in history(desk.path)] == [edit.lines]
    file.write_bytes(written)
    assert len(history(desk.path)) == 1
    file.write_bytes(written * 3)  # read on from where it was
    (again,) = history(desk.path)
    assert again.lines == edit.lines
    desk.take_back(again)
    assert desk.cell("parts", "oar", "mass_g") == "16"


def test_an_edit_is_taken_back_byte_for_byte_and_done_again(desk):
    before = read(desk.path).files
    edit = desk.put(
        oar("17"),
        Change("line", "line", "seed", value="9"),
        Change("editions", "crossing", "price", value="171 USD"),
        Change("accepted", "x", add={"by": "A", "date": "2026-01-01", "reason": "so"}),
        Change("contents", "crossing/oar", remove=True),
        Change("choices", "coat", "text", value=CHOICE + "# seen\n"),
        Change("choices", "hat", "text", value=CHOICE),
    )
    after = read(desk.path).files
    back = desk.take_back(edit)
    kept = {name: content for name, content in read(desk.path).files.items() if name in before}
    assert kept == before
    assert (
        read(desk.path).files["accepted.csv"] == b"finding,by,date,reason,verdict,value,low,high\n"
    )
    assert back.undoes == edit.id
    desk.take_back(back)
    assert read(desk.path).files == after


def test_an_edit_is_not_taken_back_where_the_cell_has_moved_since(desk):
    edit = desk.put(oar("17"), Change("line", "line", "seed", value="9"))
    desk.put(oar("18"))
    before = bytes_of(desk.path)
    with pytest.raises(ChangeError) as refused:
        undo(read(desk.path), edit)
    assert str(refused.value) == (
        "parts.csv, row 8, column oar, mass_g: expected “17”, as it was left, found “18”."
    )
    assert bytes_of(desk.path) == before


def test_a_row_that_was_changed_or_went_or_came_since_is_named(desk):
    came = desk.put(Change("parts", "gaff", add={"kind": "prop"}))
    desk.put(Change("parts", "gaff", "name", value="Gaff"))
    with pytest.raises(ChangeError, match="the row “gaff” as it was left, found another"):
        undo(read(desk.path), came)
    desk.put(Change("parts", "gaff", remove=True))
    with pytest.raises(ChangeError, match="the row “gaff” as it was left, found no such row"):
        undo(read(desk.path), came)
    went = history(desk.path)[-1]
    desk.put(Change("parts", "gaff", add={"kind": "prop"}))
    with pytest.raises(ChangeError, match="expected no row “gaff”, found one"):
        undo(read(desk.path), went)


def test_the_next_steps_back_and_forward(desk):
    def next_steps() -> tuple[str | None, str | None]:
        found = steps(history(desk.path))
        return (found.undo and found.undo.id), (found.redo and found.redo.id)

    assert next_steps() == (None, None)
    first, second = desk.put(oar("17")), desk.put(oar("18"))
    assert next_steps() == (second.id, None)
    back = desk.take_back(second)
    assert next_steps() == (first.id, back.id)
    further = desk.take_back(first)
    assert next_steps() == (None, further.id)
    assert desk.cell("parts", "oar", "mass_g") == "16"
    again = desk.take_back(further)
    assert next_steps() == (again.id, back.id)
    assert desk.cell("parts", "oar", "mass_g") == "17"
    desk.take_back(again)
    third = desk.put(oar("20"))
    assert next_steps() == (third.id, None)


def test_an_id_that_was_changed_is_changed_back_with_its_row(desk):
    before = read(desk.path).files
    names = [id_ for id_ in read(desk.path).records["contents"] if "/oar" in id_]
    edit = desk.put(
        Change("parts", "oar", "id", value="long-oar"),
        Change("parts", "long-oar", "mass_g", value="20"),
        Change("ways", "oar-yard", "part", value="long-oar"),
        *[Change("contents", id_, "part", value="long-oar") for id_ in names],
    )
    assert "oar" not in read(desk.path).records["parts"]
    desk.take_back(edit)
    assert read(desk.path).files == before


def test_the_tables_are_brought_back_to_a_moment(desk):
    states = [(START, desk.rows())]
    for change in (
        oar("17"),
        Change("accepted", "x", add={"by": "A", "date": "2026-01-01", "reason": "so"}),
        Change("accepted", "x", "reason", value="more so"),
        Change("contents", "crossing/oar", remove=True),
        Change("parts", "oar", "note", value="=sawn"),
        Change("accepted", "x", remove=True),
        Change("choices", "coat", remove=True),
        Change("contents", "crossing/oar", add={"quantity": "3"}),
    ):
        edit = desk.put(change)
        states.append((edit.when, desk.rows()))
    for moment, rows in states:
        found = read(desk.path)
        back = restore(found, history(desk.path), moment)
        assert back.outside == ()
        edit = desk.put(*back.changes) if back.changes else None
        assert sorted_rows(desk.rows()) == sorted_rows(rows), moment
        if edit:
            desk.take_back(edit)
        assert sorted_rows(desk.rows()) == sorted_rows(states[-1][1])


def sorted_rows(rows: dict) -> dict:
    return {table: sorted(those, key=lambda pair: pair[0]) for table, those in rows.items()}


def test_what_was_changed_by_other_means_is_named_and_not_lost(desk):
    desk.put(oar("17"), Change("parts", "gaff", add={"kind": "prop"}))
    desk.put(Change("orders", "crossing", "quantity", value="12"))
    file = desk.path / "parts.csv"
    text = file.read_text("utf-8").replace(",17,240,", ",19,240,").replace("gaff,", "gaff,", 1)
    file.write_text(text.replace("Open hand", "Flat hand"), encoding="utf-8", newline="")
    found = read(desk.path)
    back = restore(found, history(desk.path), START)
    (moved,) = back.outside
    assert (moved.table, moved.id, moved.column) == ("parts", "oar", "mass_g")
    assert (moved.was, moved.now, moved.wanted) == ("17", "19", "16")
    edit = desk.put(*back.changes)
    assert desk.cell("parts", "oar", "mass_g") == "16"
    assert desk.cell("parts", "hand-open", "name") == "Flat hand"
    desk.take_back(edit)
    assert desk.cell("parts", "oar", "mass_g") == "19"


def test_a_row_that_went_or_came_by_other_means_is_named(desk):
    desk.put(Change("parts", "gaff", add={"kind": "prop", "name": "Gaff"}))
    desk.put(Change("parts", "gaff", "name", value="Long gaff"))
    desk.put(Change("orders", "crossing", remove=True))
    file = desk.path / "parts.csv"
    lines = file.read_bytes().splitlines(keepends=True)
    file.write_bytes(b"".join(line for line in lines if not line.startswith(b"gaff")))
    with (desk.path / "orders.csv").open("ab") as orders:
        orders.write(b"crossing,7,\n")
    found = read(desk.path)
    back = restore(found, history(desk.path), START)
    named = {(d.table, d.id, d.column, d.now) for d in back.outside}
    assert named == {
        ("orders", "crossing", None, "crossing, 7"),
        ("parts", "gaff", "name", None),
        ("parts", "gaff", None, None),
    }
    desk.put(*back.changes)
    assert desk.cell("orders", "crossing", "quantity") == "300"


CHANGES = st.lists(
    st.one_of(
        st.tuples(st.just("mass"), st.sampled_from(["oar", "coat", "boot"]), st.integers(1, 4)),
        st.tuples(st.just("note"), st.sampled_from(["oar", "coat"]), st.sampled_from(["", "=a"])),
        st.tuples(st.just("come"), st.sampled_from(["a", "b", "c"]), st.integers(1, 3)),
        st.tuples(st.just("go"), st.sampled_from(["a", "b", "c"]), st.none()),
        st.tuples(st.just("cap"), st.sampled_from(["crossing", "night-crossing"]),
                  st.sampled_from(["", "5", "6"])),
        st.tuples(st.just("look"), st.sampled_from(["sun", "snow"]), st.none()),
        st.tuples(st.just("back"), st.none(), st.none()),
        st.tuples(st.just("forward"), st.none(), st.none()),
    ),
    min_size=1, max_size=7,
)  # fmt: skip


def step(desk: Desk, kind: str, id_: str | None, value: object) -> None:
    """One thing that a producer does; what cannot be done now is passed by."""
    records = read(desk.path).records
    if kind in {"back", "forward"}:
        found = steps(history(desk.path))
        edit = found.undo if kind == "back" else found.redo
        if edit is not None:
            desk.take_back(edit)
    elif kind == "mass":
        desk.put(Change("parts", id_, "mass_g", value=str(value)))
    elif kind == "note":
        desk.put(Change("parts", id_, "note", value=str(value)))
    elif kind == "cap":
        desk.put(Change("editions", id_, "cap", value=str(value)))
    elif kind == "come" and id_ not in records["accepted"]:
        cells = {"by": "A", "date": "2026-01-01", "reason": str(value)}
        desk.put(Change("accepted", id_, add=cells))
    elif kind == "go" and id_ in records["accepted"]:
        desk.put(Change("accepted", id_, remove=True))
    elif kind == "look" and id_ not in records["looks"]:
        desk.put(Change("looks", id_, add={"name": "x"}, behind=""))


@settings(max_examples=10, deadline=None,
          suppress_health_check=[HealthCheck.too_slow])  # fmt: skip
@given(CHANGES)
def test_stepping_back_all_the_way_and_forward_again_comes_to_the_same(done):
    with tempfile.TemporaryDirectory() as place:
        desk = Desk(small_line(Path(place) / "line"))
        first = stated(read(desk.path))
        for what in done:
            step(desk, *what)
        last = stated(read(desk.path))
        back = 0
        while steps(history(desk.path)).undo is not None:
            step(desk, "back", None, None)
            back += 1
        assert stated(read(desk.path)) == first
        for _ in range(back):
            step(desk, "forward", None, None)
        assert stated(read(desk.path)) == last
        check_accounts(first, history(desk.path), last)


def check_accounts(first: dict, edits: tuple[Edit, ...], last: dict) -> None:
    """The lines of the history, each upon the one before, lead from the first rows to the last."""
    rows = {table: dict(those) for table, those in first.items()}
    for line in (line for edit in edits for line in edit.lines):
        those = rows.setdefault(line.table, {})
        if line.column is not None:
            cells = dict(those[line.id])
            assert cells.pop(line.column, "") == line.before
            those[line.id] = cells | ({line.column: line.after} if line.after else {})
        else:
            assert those.pop(line.id, None) == line.before
            if line.after is not None:
                those[line.id] = dict(line.after)
    assert rows == {table: dict(those) for table, those in last.items()}


def _write_at_once(path: Path, writers: int, seconds: float) -> int:
    first = stated(read(path))
    worker = Path(__file__).with_name("writing_process.py")
    started = [
        subprocess.Popen(
            [sys.executable, str(worker), "for", str(path), f"w{number}", str(seconds)],
            stdout=subprocess.PIPE,
            env=os.environ | {"PYTHONPATH": str(worker.parent.parent)},
        )
        for number in range(writers)
    ]
    accepted = sum(int(process.communicate(timeout=seconds + 200)[0]) for process in started)
    assert [process.returncode for process in started] == [0] * writers
    edits = history(path)
    assert len(edits) == accepted
    assert {edit.who for edit in edits} == {f"w{number}" for number in range(writers)}
    check_accounts(first, edits, stated(read(path)))
    return accepted


def test_ten_windows_at_once_and_the_history_accounts_for_every_edit(desk):
    assert _write_at_once(desk.path, 10, 1.5) > 10


@pytest.mark.slow
def test_ten_windows_for_a_minute_and_the_history_accounts_for_every_edit(desk):
    assert _write_at_once(desk.path, 10, 60) > 200


def test_going_back_goes_by_the_order_of_edits_where_the_clock_was_put_back(tmp_path):
    """The second edit was written while the clock was an hour ahead."""
    seconds = iter([1, 3600, 60, 120, 180])
    desk = Desk(small_line(tmp_path / "line"), lambda: START + timedelta(seconds=next(seconds)))
    states = []
    for value in ("17", "18", "19", "20"):
        edit = desk.put(oar(value))
        states.append((edit, value))
    for edit, value in states[:-1]:
        back = restore(read(desk.path), history(desk.path), edit.when)
        assert back.outside == ()
        assert [change.value for change in back.changes] == [value]


@pytest.mark.skipif(not hasattr(os, "link"), reason="a file has one name only")
def test_a_history_that_bears_a_second_name_is_not_written_through(desk, tmp_path):
    """As in a backup of hard links, or one that somebody laid to a file of the user's."""
    desk.put(oar("17"))
    (file,) = (desk.path / "history").glob("*.jsonl")
    outside = tmp_path / "backup.jsonl"
    os.link(file, outside)
    before = outside.read_bytes()
    desk.put(oar("18"))
    assert outside.read_bytes() == before
    assert len(history(desk.path)) == 2
    os.link(file, tmp_path / "second.jsonl")
    longer = file.read_bytes()
    REAL_DISK.truncate(file, len(before))
    assert (file.read_bytes(), (tmp_path / "second.jsonl").read_bytes()) == (before, longer)
    assert [each.name for each in file.parent.iterdir()] == [file.name]
