"""What writing does, and what it refuses: with the reason, and before anything is written."""

import sys
import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest

from sixwright.kernel.errors import (
    BusyError,
    ChangeError,
    ConflictError,
    DiskError,
    FolderError,
    InputError,
    InternalError,
)
from sixwright.project.records import Change
from sixwright.storage.edits.write import write
from sixwright.storage.files.journal import settled
from sixwright.storage.files.writer_lock import folder_lock
from sixwright.storage.folder import read
from sixwright.storage.workbooks.export import to_xlsx
from sixwright.storage.workbooks.take_back import from_xlsx
from storage.small_line import (
    CHOICE,
    CountingClock,
    StoppingDisk,
    bytes_of,
    in_three_files,
    numbers_in,
    small_line,
)

CLOCK = CountingClock()


@pytest.fixture
def line(tmp_path) -> Path:
    return small_line(tmp_path / "line")


def put(path: Path, *changes: Change, **options):
    return write(read(path), changes, who="Ann", clock=CLOCK, **options)


def test_what_is_returned_is_the_folder_read_again(line):
    after = put(line, *in_three_files(12))
    again = read(line)
    assert after == again
    assert after.project.orders["crossing"].quantity == 12


def test_changes_in_one_edit_build_on_each_other(line):
    after = put(
        line,
        Change("looks", "sun", add={"name": "In the sun"}),
        Change("editions", "noon", add={"look": "sun", "name": "Noon"}),
        Change("editions", "noon", "price", was="", value="99 USD"),
        Change("orders", "noon", add={"quantity": "5"}),
        Change("orders", "noon", "quantity", was="5", value="6"),
    )
    assert after.project.sells["noon"].price.amount == 99
    assert after.project.orders["noon"].quantity == 6


def test_a_part_goes_with_all_that_names_it(line):
    records = read(line).records
    gone = [Change("parts", "oar", remove=True), Change("ways", "oar-yard", remove=True)]
    gone += [Change("contents", id_, remove=True) for id_ in records["contents"] if "/oar" in id_]
    gone += [Change("prices", id_, remove=True) for id_ in records["prices"] if "oar-" in id_]
    assert len(gone) > 3
    after = put(line, *gone)
    assert "oar" not in after.project.parts
    assert b"oar" not in (line / "contents.csv").read_bytes()


def test_nothing_to_change_writes_nothing(line):
    before = bytes_of(line)
    put(line, Change("parts", "oar", "mass_g", was="16", value="16"))
    put(line)
    assert bytes_of(line) == before


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (Change("parts", "our", "name", value="x"), r"parts\.csv: expected a row .* “oar”\?"),
        (Change("parts", "oar", "nome", value="x"), r"column .* “nome”\. Did you mean"),
        (Change("part", "oar", "name", value="x"), r"table .* “part”.* “parts”\?"),
        (Change("parts", "oar", "mass_g", was="15", value="17"), r"row 8.*“15”, as it was.*“16”"),
        (Change("parts", "oar", "mass_g", value="heavy"), r"mass_g: expected a number.*“heavy”"),
        (Change("parts", "oar", add={"kind": "prop"}), r"not there yet, found “oar”"),
        (Change("parts", "gaff", add={"kind": "prop", "colour": "red"}), r"colour: .*column"),
        (Change("parts", "gaff", add={}), r"kind: expected a kind of part, found an empty cell"),
        (Change("parts", "Gaff", add={"kind": "prop"}), r"an id .*“Gaff”"),
        (Change("parts", "oar", remove=True), r"contents\.csv, row .*“oar”"),
        (Change("line", "line", remove=True), r"line\.toml: expected the one row"),
        (Change("line", "line", "currency", value=""), r"line\.toml, currency: .*empty"),
        (Change("parts", "oar", "name", value="a\0b"), r"parts\.csv, column name: expected text"),
        (Change("parts", "oar", "name", value="\ud800"), r"expected text"),
        (Change("choices", "../hat", "text", value=CHOICE), r"an id, found “\.\./hat”"),
        (Change("choices", "hat", "text", value="question = "), r"choices/hat\.toml.*TOML"),
        (Change("choices", "hat", "name", value="x"), r"“text”, found “name”"),
        (Change("choices", "coat", "text", was="other", value="x"), r"as it was read"),
    ],
)
def test_a_change_that_does_not_fit_is_refused_with_the_reason(line, change, said):
    before = bytes_of(line)
    with pytest.raises(ChangeError, match=f"(?s){said}"):
        put(line, change)
    assert bytes_of(line) == before


def test_every_reason_is_given_at_once_and_nothing_is_half_written(line):
    before = bytes_of(line)
    with pytest.raises(ChangeError) as refused:
        put(
            line,
            Change("parts", "oar", "name", value="Long oar"),
            Change("parts", "oar", "mass_g", was="1", value="2"),
            Change("editions", "dawn", "cap", value="3"),
            Change("ways", "oar-yard", "colour", value="3"),
        )
    assert len(refused.value.problems) == 3
    assert bytes_of(line) == before


def test_somebody_must_have_done_it(line):
    with pytest.raises(InputError, match="who must be a name; received ' '"):
        write(read(line), [], who=" ", clock=CLOCK)


def test_a_file_that_moved_is_a_conflict_with_both_values(line):
    folder = read(line)
    parts = (line / "parts.csv").read_bytes()
    (line / "parts.csv").write_bytes(parts.replace(b",16,240,", b",19,240,"))
    before = bytes_of(line)
    changes = [
        Change("parts", "oar", "mass_g", was="16", value="17"),
        Change("parts", "gaff", add={"kind": "prop", "name": "Gaff"}),
        Change("line", "line", "seed", value="9"),
    ]
    with pytest.raises(ConflictError, match=r"parts\.csv has changed since it was read") as met:
        write(folder, changes, who="Ann", clock=CLOCK)
    first, added = met.value.differences
    assert (first.table, first.id, first.column) == ("parts", "oar", "mass_g")
    assert (first.was, first.wanted, first.now) == ("16", "17", "19")
    assert (added.was, added.wanted, added.now) == (None, "prop, Gaff", None)
    assert "parts, oar, mass_g: “19” stands there now; “17” was to be." in str(met.value)
    assert bytes_of(line) == before


def test_a_conflict_over_a_row_that_went_or_a_file_half_written_is_one_still(line):
    folder = read(line)
    (line / "orders.csv").write_bytes(b"sells,quantity\nnight-crossing,4\n")
    change = Change("orders", "crossing", "quantity", value="7")
    with pytest.raises(ConflictError) as met:
        write(folder, [change], who="Ann", clock=CLOCK)
    assert [d.now for d in met.value.differences] == [None]
    (line / "orders.csv").write_bytes(b'sells,quantity\n"night-')
    with pytest.raises(ConflictError) as met:
        write(folder, [change], who="Ann", clock=CLOCK)
    assert met.value.differences == ()


def test_a_file_that_moved_and_is_not_touched_is_no_conflict(line):
    folder = read(line)
    parts = (line / "parts.csv").read_bytes().replace(b"Seamless body", b"Body")
    (line / "parts.csv").write_bytes(parts)
    after = write(folder, [Change("line", "line", "seed", value="9")], who="Ann", clock=CLOCK)
    assert after.records["parts"]["body"].cells["name"] == "Body"
    assert after == read(line)


def test_a_folder_that_cannot_be_read_as_it_stands_is_not_written(line):
    folder = read(line)
    (line / "orders.csv").write_bytes(b"sells,quantity\ndawn,4\n")
    before = bytes_of(line)
    with pytest.raises(FolderError, match=r"orders\.csv, row 2, column sells.*“dawn”"):
        write(folder, [Change("line", "line", "seed", value="9")], who="Ann", clock=CLOCK)
    assert bytes_of(line) == before


@pytest.mark.parametrize("mark", [".~lock.parts.csv#", "~$parts.csv"])
def test_a_file_open_in_a_spreadsheet_is_said(line, mark):
    (line / mark).write_text(",ann,desk,14.09.2026 09:00;", encoding="utf-8")
    before = bytes_of(line)
    with pytest.raises(BusyError) as refused:
        put(line, Change("parts", "oar", "mass_g", value="17"))
    assert str(refused.value).startswith("parts.csv is open in a spreadsheet (")
    assert mark in str(refused.value)
    assert bytes_of(line) == before
    put(line, Change("line", "line", "seed", value="9"))


def test_a_file_that_may_not_be_opened_is_said(line):
    before = bytes_of(line)
    disk = StoppingDisk(1, error=PermissionError(13, "Permission denied"))
    with pytest.raises(BusyError, match=r"parts\.csv is held open by another program"):
        put(line, Change("parts", "oar", "mass_g", value="17"), disk=disk)
    assert disk.steps == ["probe"]
    assert bytes_of(line) == before


def test_another_window_that_writes_on_and_on_is_said(line, monkeypatch):
    monkeypatch.setattr("sixwright.storage.files.writer_lock.WAIT_S", 0.1)
    entered, leave = threading.Event(), threading.Event()

    def hold() -> None:
        with folder_lock(line):
            entered.set()
            leave.wait(120)

    other = threading.Thread(target=hold)
    other.start()
    assert entered.wait(120)
    with pytest.raises(BusyError, match="Another window has been writing"):
        put(line, *in_three_files(5))
    leave.set()
    other.join(120)
    assert numbers_in(put(line, *in_three_files(5))) == {"5"}


@pytest.mark.skipif(sys.platform == "win32", reason="Windows locks no folders")
@pytest.mark.parametrize("alias", [False, True])
def test_a_window_with_another_cache_and_path_is_held_apart_too(line, tmp_path, monkeypatch, alias):
    """As another account on the machine, a container, or a disk under two names has them.

    Without it, one took the other's edit, told as written, back: 70 of 260.
    """
    monkeypatch.setattr("sixwright.storage.files.writer_lock.WAIT_S", 0.1)
    (tmp_path / "alias").symlink_to(line, target_is_directory=True)
    before = bytes_of(line)
    with folder_lock(line):
        monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "another"))
        other = tmp_path / "alias" if alias else line
        with pytest.raises(BusyError, match="Another window has been writing"):
            put(other, *in_three_files(5))
        assert bytes_of(line) == before
    assert numbers_in(put(line, *in_three_files(5))) == {"5"}


def test_a_cache_that_cannot_be_written_is_said(line, tmp_path, monkeypatch):
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "file"))
    with pytest.raises(DiskError, match="set SIXWRIGHT_CACHE"):
        put(line, *in_three_files(5))


def test_nothing_but_the_history_is_left_in_the_folder(line):
    names = set(bytes_of(line))
    put(line, *in_three_files(5))
    new = set(bytes_of(line)) - names
    assert len(new) == 1
    assert new.pop().startswith("history/")


def test_rights_of_a_file_are_kept(line):
    file = line / "parts.csv"
    file.chmod(0o640)
    kept = file.stat().st_mode
    put(line, Change("parts", "oar", "mass_g", value="17"))
    assert file.stat().st_mode == kept


def test_a_workbook_goes_out_and_its_edits_come_in(line, tmp_path):
    from openpyxl import load_workbook

    folder = read(line)
    to_xlsx(folder, tmp_path / "line.xlsx")
    book = load_workbook(tmp_path / "line.xlsx")
    sheet = book["parts"]
    names = [cell.value for cell in sheet[1]]
    sheet.cell(3, names.index("name") + 1).value = "Head, dry hair"
    sheet.append(["gaff", "prop", "all", "Gaff", *[None] * (len(names) - 4)])
    book["orders"].delete_rows(3)
    book["line"].cell(2, [c.value for c in book["line"][1]].index("name") + 1).value = "Tarn"
    book.save(tmp_path / "line.xlsx")
    after = put(line, *from_xlsx(folder, tmp_path / "line.xlsx"))
    assert after.project.parts["head"].name == "Head, dry hair"
    assert after.project.name == "Tarn"
    assert "night-crossing" not in after.project.orders
    assert list(after.project.parts)[-1] == "gaff"


def test_a_choice_is_written_with_what_it_takes_in_one_edit(line):
    text = CHOICE + '\n[taken]\nalternative = "plain"\ndate = "2026-09-14"\nby = "Ann"\n'
    text += 'reason = "Dearer."\n'
    after = put(
        line,
        Change("parts", "coat", "note", value="plain cloth"),
        Change("choices", "coat", "text", was=CHOICE, value=text),
    )
    assert after.files["choices/coat.toml"] == text.encode()
    assert after.project.choices["coat"].taken is not None
    assert "choices/coat.toml" not in put(line, Change("choices", "coat", remove=True)).files
    assert not (line / "choices/coat.toml").exists()


def test_reading_never_sees_half_of_an_edit(line):
    put(line, *in_three_files(1))
    over = threading.Event()
    seen: list[set[str]] = []

    def look() -> None:
        while not over.is_set():
            seen.append(numbers_in(read(line)))

    readers = [threading.Thread(target=look) for _ in range(2)]
    for reader in readers:
        reader.start()
    folder = read(line)
    for number in range(2, 27):
        folder = write(folder, in_three_files(number), who="Ann", clock=CLOCK)
    over.set()
    for reader in readers:
        reader.join(120)
    assert len(seen) > 5
    assert [numbers for numbers in seen if len(numbers) != 1] == []


def test_two_windows_in_one_process_take_turns(line, monkeypatch):
    monkeypatch.setattr(
        "sixwright.storage.files.writer_lock.WAIT_S", 120
    )  # a slow disk is no fault of theirs
    accepted: list[int] = []

    def window(name: str) -> None:
        for number in range(6):
            while True:
                changes = [Change("parts", name, "note", value=str(number))]
                try:
                    write(
                        read(line),
                        changes,
                        who=name,
                        clock=lambda: datetime(2026, 1, 1, tzinfo=UTC),
                    )
                except ConflictError:
                    continue
                accepted.append(number)
                break

    windows = [threading.Thread(target=window, args=(name,)) for name in ("oar", "coat", "boot")]
    for one in windows:
        one.start()
    for one in windows:
        one.join(120)
    assert len(accepted) == 18
    records = read(line).records["parts"]
    assert {records[name].cells["note"] for name in ("oar", "coat", "boot")} == {"5"}


def test_an_edit_between_two_files_of_a_reading_is_read_whole(line):
    put(line, *in_three_files(1))
    passes = []

    def load() -> dict[str, bytes]:
        passes.append(1)
        files = {}
        for name in ("line.toml", "parts.csv", "orders.csv"):
            files[name] = (line / name).read_bytes()
            if len(passes) == 1 and name == "line.toml":
                put(line, *in_three_files(2))
        return files

    files = settled(line, load)
    assert files == {name: (line / name).read_bytes() for name in files}
    assert len(passes) == 2


def test_bytes_that_do_not_say_what_was_asked_are_never_written(line, monkeypatch):
    before = bytes_of(line)

    def wrong(content: bytes, *_) -> bytes:
        return content.replace(b"seed = 1", b"seed = 2")

    monkeypatch.setattr("sixwright.storage.edits.changed_files.edited_toml", wrong)
    with pytest.raises(InternalError, match=r"line\.toml must read as it was edited"):
        put(line, Change("line", "line", "seed", value="9"))
    assert bytes_of(line) == before
