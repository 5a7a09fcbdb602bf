"""A table's file keeps every byte that no change names, whatever wrote it."""

import csv
import io
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from sixwright.kernel.errors import ChangeError, FolderError
from sixwright.kernel.spreadsheet_text import safe_text
from sixwright.project.records import Change
from sixwright.storage.edits.write import write
from sixwright.storage.folder import read
from sixwright.storage.history.log import history
from sixwright.storage.history.undo import undo
from storage.small_line import CountingClock, small_line

CLOCK = CountingClock()
SLOW_DISK = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
TEXT = st.text(
    st.characters(codec="utf-8", exclude_characters="\0\ufeff", exclude_categories=["Cs"]),
    max_size=12,
)
FORMULAS = ("=", "+", "-", "@", "\t", "\r")


def written(text: str, delimiter: str, *, quoted: bool) -> str:
    """A cell as a program may write it: this says what the file is, apart from the source."""
    must = quoted or any(mark in text for mark in f',;\t{delimiter}"\r\n')
    return '"' + text.replace('"', '""') + '"' if must else text


@st.composite
def parts_files(draw):
    """A parts.csv as programs may write it: its header and rows, piece by piece."""
    own = draw(st.lists(st.sampled_from(["mine", "Farbe", "x y"]), unique=True))
    columns = draw(st.permutations(["id", "kind", "name", "mass_g", "note", *own]))
    delimiter = draw(st.sampled_from(",;\t"))
    newline = draw(st.sampled_from(["\n", "\r\n", "\r"]))
    rows = []
    for number in range(draw(st.integers(1, 5))):
        cells = {name: draw(TEXT) for name in columns}
        cells |= {
            "id": f"part-{number}",
            "kind": "prop",
            "mass_g": draw(st.sampled_from(["", "4"])),
        }
        quoted = draw(st.booleans())
        texts = [written(cells[name], delimiter, quoted=quoted) for name in columns]
        blank = newline * draw(st.sampled_from([0, 0, 0, 1]))
        rows.append((cells, blank + delimiter.join(texts) + newline, quoted))
    mark = draw(st.sampled_from(["", "\ufeff"]))
    return columns, delimiter, newline, mark, rows, draw(st.booleans())


def lay(path: Path, file) -> list[str]:
    """The pieces that the file is made of; with them it is written in a small line."""
    columns, delimiter, newline, mark, rows, ends = file
    pieces = [mark + delimiter.join(columns) + newline, *(text for _, text, _ in rows)]
    if not ends:
        pieces[-1] = pieces[-1].removesuffix(newline)
    small_line(path)
    (path / "choices/coat.toml").unlink()
    for name, head in (("contents.csv", "sells,part,quantity"), ("ways.csv", "id,part"),
                       ("prices.csv", "way,from_quantity,unit_price")):  # fmt: skip
        (path / name).write_text(head + "\n", encoding="utf-8")
    (path / "parts.csv").write_bytes("".join(pieces).encode())
    return pieces


def content(path: Path) -> str:
    return (path / "parts.csv").read_bytes().decode()


def cells_of(record: str, delimiter: str) -> list[str]:
    """A record as Python's own reader takes it."""
    (row,) = csv.reader(io.StringIO(record.strip("\r\n"), newline=""), delimiter=delimiter)
    return row


@SLOW_DISK
@given(parts_files(), st.data())
def test_a_cell_changes_and_every_other_byte_stays(file, data):
    columns, delimiter, _, _, rows, _ = file
    at = data.draw(st.integers(0, len(rows) - 1))
    name = data.draw(st.sampled_from([name for name in columns if name not in {"id", "kind"}]))
    value = data.draw(st.sampled_from(["", "7"]) if name == "mass_g" else TEXT)
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "line"
        pieces = lay(path, file)
        before = content(path)
        folder = read(path)
        change = Change("parts", f"part-{at}", name, was=rows[at][0][name], value=value)
        after = write(folder, [change], who="Ann", clock=CLOCK)
        now = content(path)
        start, end = "".join(pieces[: at + 1]), "".join(pieces[at + 2 :])
        assert now.startswith(start)
        assert now.endswith(end)
        record = now[len(start) : len(now) - len(end)]
        expected = [rows[at][0][other] for other in columns]
        expected[columns.index(name)] = safe_text(value)
        assert after.records["parts"][f"part-{at}"].cells[name] == safe_text(value)
        if "\r" not in "".join(expected):  # Python's reader takes a bare one for a line end
            assert cells_of(record, delimiter) == expected
        old = rows[at][0][name]
        check_undone(path, after, before, folder, exact=not rows[at][2] and safe_text(old) == old)


def check_undone(path: Path, after, before: str, folder, *, exact: bool) -> None:
    """Taken back, the file has its old bytes; at least its old rows where it was quoted at will."""
    edits = history(path)
    if not edits:
        assert content(path) == before
        return
    back = write(after, undo(after, edits[-1]), who="Ann", clock=CLOCK, undoes=edits[-1].id)
    assert rows_of(back) == rows_of(folder)
    if exact:
        assert content(path) == before


def rows_of(folder) -> list:
    """Every row; what others wrote as a formula comes back as text."""
    rows = folder.records["parts"].items()
    return [(id_, {name: safe_text(text) for name, text in row.cells.items()}) for id_, row in rows]


@SLOW_DISK
@given(parts_files(), st.data())
def test_a_row_goes_and_comes_back_where_it_was(file, data):
    columns, _, newline, _, rows, ends = file
    at = data.draw(st.integers(0, len(rows) - 1))
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "line"
        pieces = lay(path, file)
        folder = read(path)
        before = content(path)
        after = write(folder, [Change("parts", f"part-{at}", remove=True)], who="A", clock=CLOCK)
        kept = [text for number, text in enumerate(pieces) if number != at + 1]
        blank = pieces[at + 1][: len(pieces[at + 1]) - len(pieces[at + 1].lstrip("\r\n"))]
        expected = "".join(kept) if blank == "" else None
        only = len(rows) == 1 and not ends  # the header keeps its line end
        if expected is not None and (ends or only or at < len(rows) - 1):
            assert content(path) == expected
        elif expected is not None:
            assert content(path) == expected.removesuffix(newline)
        check_undone(path, after, before, folder, exact=False)
        if rows_are_plain(rows[at], columns) and blank == "" and not only:
            assert content(path) == before


def rows_are_plain(row, columns) -> bool:
    """Whether a row is written as we would write it."""
    cells, _, quoted = row
    return not quoted and all(safe_text(cells[name]) == cells[name] for name in columns)


@SLOW_DISK
@given(parts_files(), TEXT)
def test_a_row_comes_at_the_end_and_goes_again(file, text):
    _, _, newline, _, _, ends = file
    with tempfile.TemporaryDirectory() as place:
        path = Path(place) / "line"
        pieces = lay(path, file)
        folder = read(path)
        before = content(path)
        change = Change("parts", "new", add={"kind": "prop", "note": text})
        after = write(folder, [change], who="Ann", clock=CLOCK)
        now = content(path)
        assert now.startswith("".join(pieces) + ("" if ends else newline))
        assert now.endswith(newline) == ends
        assert after.records["parts"]["new"].cells["note"] == safe_text(text)
        check_undone(path, after, before, folder, exact=True)


@pytest.fixture
def line(tmp_path) -> Path:
    return small_line(tmp_path / "line")


def test_a_column_that_the_file_lacks_is_added_to_the_header_alone(line):
    file = line / "orders.csv"
    file.write_bytes(b"sells,quantity\r\ncrossing,300\r\nnight-crossing,200")
    after = write(read(line), [Change("orders", "night-crossing", "note", value="a, b")],
                  who="Ann", clock=CLOCK)  # fmt: skip
    assert file.read_bytes() == (
        b'sells,quantity,note\r\ncrossing,300\r\nnight-crossing,200,"a, b"'
    )
    assert after.records["orders"]["crossing"].cells["note"] == ""


def test_the_other_cells_of_a_row_stay_as_they_are_written(line):
    file = line / "orders.csv"
    file.write_bytes(b'"sells","quantity","note"\n"crossing" ,"300","a, ""b"""\n')
    write(read(line), [Change("orders", "crossing", "quantity", value="301")],
          who="Ann", clock=CLOCK)  # fmt: skip
    assert file.read_bytes() == b'"sells","quantity","note"\n"crossing" ,301,"a, ""b"""\n'


def test_what_stands_in_a_column_without_a_name_comes_back_with_its_row(line):
    file = line / "orders.csv"
    file.write_bytes(
        b"sells,quantity,,note,column 3,\ncrossing,300,ring Ada,,mine,\nnight-crossing,200,,,,\n"
    )
    before = file.read_bytes()
    gone = write(read(line), [Change("orders", "crossing", remove=True)], who="Ann", clock=CLOCK)
    assert file.read_bytes() == b"sells,quantity,,note,column 3,\nnight-crossing,200,,,,\n"
    (edit,) = history(line)
    write(gone, undo(gone, edit), who="Ann", clock=CLOCK, undoes=edit.id)
    assert file.read_bytes() == before


def test_a_table_with_a_nul_is_refused_with_its_line(line):
    """Neither the history nor a page can hold one: an edit of its row could not be taken back."""
    file = line / "orders.csv"
    file.write_bytes(b"sells,quantity,note\ncrossing,300,a\0b\n")
    with pytest.raises(FolderError, match="found the byte 0x00 in line 2, as a damaged file"):
        read(line)


def test_a_table_without_a_file_gets_one_written_as_the_others_are(line):
    parts = (line / "parts.csv").read_bytes()
    lines = list(csv.reader(io.StringIO(parts.decode(), newline="")))
    out = io.StringIO(newline="")
    csv.writer(out, delimiter=";", lineterminator="\r\n").writerows(lines)
    (line / "parts.csv").write_bytes(b"\xef\xbb\xbf" + out.getvalue().encode())
    cells = {"finding": "money.margin:edition/crossing", "by": "Ann", "date": "2026-09-14",
             "reason": "small; for now"}  # fmt: skip
    write(read(line), [Change("accepted", cells["finding"], add=cells)], who="Ann", clock=CLOCK)
    assert (line / "accepted.csv").read_bytes() == (
        b"\xef\xbb\xbffinding;by;date;reason;verdict;value;low;high\r\n"
        b'money.margin:edition/crossing;Ann;2026-09-14;"small; for now";;;;\r\n'
    )


@pytest.mark.parametrize("text", ["=1+1", "+cmd", "-x", "@sum", "\tx", "\rx", "=HYPERLINK(1)"])
def test_text_written_for_spreadsheets_never_starts_a_formula(line, text):
    # OWASP, CSV Injection: cells that begin with = + - @ tab or carriage return.
    after = write(read(line), [Change("parts", "oar", "note", value=text)], who="A", clock=CLOCK)
    assert after.records["parts"]["oar"].cells["note"] == f"'{text}"
    rows = (line / "parts.csv").read_bytes().decode()
    assert f",'{text}" in rows or f",\"'{text}" in rows


def test_a_new_rows_id_never_starts_a_formula(line):
    """It cannot be written with an apostrophe, as the other texts are: it would be another id."""
    row = {"by": "Ann", "date": "2026-01-01", "reason": "so"}
    with pytest.raises(ChangeError, match="expected a text that no spreadsheet runs"):
        write(read(line), [Change("accepted", "=1+1", add=row)], who="Ann", clock=CLOCK)
    assert not (line / "accepted.csv").exists()


@pytest.mark.parametrize("text", ["-5", "+5", "-0.5", "-1,5", "plain", "'quoted", "a=b"])
def test_plain_numbers_and_other_text_are_written_as_they_are(line, text):
    after = write(read(line), [Change("parts", "oar", "note", value=text)], who="A", clock=CLOCK)
    assert after.records["parts"]["oar"].cells["note"] == text


@SLOW_DISK
@given(TEXT)
def test_what_is_made_safe_starts_no_formula_and_stays_so(text):
    safe = safe_text(text)
    number = text.strip("+-").replace(".", "").replace(",", "").isdigit()
    assert not safe.startswith(FORMULAS) or number
    assert safe_text(safe) == safe
    assert safe.removeprefix("'") == text.removeprefix("'")


def test_two_rows_change_place_with_their_ids(line):
    changes = [
        Change("orders", "crossing", "sells", value="both"),
        Change("orders", "night-crossing", "sells", value="crossing"),
        Change("orders", "both", "sells", value="night-crossing"),
    ]
    before = (line / "orders.csv").read_text("utf-8").splitlines()
    write(read(line), changes, who="Ann", clock=CLOCK)
    after = (line / "orders.csv").read_text("utf-8").splitlines()
    assert [row.split(",")[1:] for row in after] == [row.split(",")[1:] for row in before]
    assert [row.split(",")[0] for row in after[1:3]] == ["night-crossing", "crossing"]
