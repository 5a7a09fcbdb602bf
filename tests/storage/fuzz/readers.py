"""Each reader of what a folder holds, or a producer brings, as a function of bytes.

What is asked of all of them: they read, or refuse with places that a page can show; nothing else.
Where bytes are read, an edit of one cell must leave every other row as it was.
"""

import io
import re
import tempfile
import zipfile
from collections.abc import Callable, Iterable
from fractions import Fraction
from functools import cache
from hashlib import sha256
from pathlib import Path

from openpyxl import Workbook
from PIL import Image

from sixwright.importer.grid import read_sheets
from sixwright.importer.guess import guess_parts
from sixwright.importer.new_line import files_of
from sixwright.importer.voices.exports import read_export
from sixwright.kernel.errors import ChangeError, FolderError, Problem, QuantityError
from sixwright.kernel.quantities import money, money_per_hour, number, quantity, share
from sixwright.project.records import Change
from sixwright.reports.pages.history import words
from sixwright.storage.edits.changed_files import edited
from sixwright.storage.edits.write import write
from sixwright.storage.files.journal_text import parse_journal
from sixwright.storage.folder import Folder, read, read_files
from sixwright.storage.history.log_text import parse_history
from sixwright.storage.history.undo import steps
from sixwright.storage.pictures import looked_at
from sixwright.web.history import listed_edits, ways_back
from storage.small_line import START, CountingClock, in_three_files, small_line

SHEET = "xl/worksheets/sheet1.xml"
MOST_WORDS = 2_000  # characters of one problem


@cache
def line() -> Folder:
    """A small line that was edited once, read."""
    path = small_line(Path(tempfile.mkdtemp()) / "line")
    write(read(path), in_three_files(7), who="Mira", clock=CountingClock())
    return read(path)


def showable(problems: Iterable[Problem]) -> None:
    """Fail where a problem has no place, says nothing, or cannot be shown."""
    found = list(problems)
    if not found:
        raise AssertionError("refused, and nothing is said")
    for problem in found:
        said = str(problem)
        said.encode("utf-8")
        if not (problem.file and problem.expected and problem.found) or len(said) > MOST_WORDS:
            raise AssertionError(f"not a place: {said!r}")


def in_folder(name: str, data: bytes) -> None:
    """A file of the folder is these bytes."""
    stands = line()
    try:
        found = read_files(stands.path, {**stands.files, name: data})
    except FolderError as error:
        showable(error.problems)
        return
    edit_one(found)


def edit_one(folder: Folder) -> None:
    """Change a note of the first part, the line's name and a box's; nothing else may move."""
    part, box = (
        next(iter(folder.records["parts"]), None),
        next(iter(folder.records["editions"]), None),
    )
    changes = [Change("line", "line", "name", value="Another “line”")]
    changes += [Change("parts", part, "note", value="a, b; c")] if part else []
    changes += [Change("editions", box, "name", value='A "box"')] if box else []
    try:
        made = edited(folder.files, folder.records, changes)
    except ChangeError as error:
        showable(error.problems)
        return
    new = {name: content for name, content in {**folder.files, **made.files}.items() if content}
    again = read_files(folder.path, new)
    for table, rows in folder.records.items():
        if table in {"line", "parts", "editions"}:
            continue
        now = {id_: said(row.cells) for id_, row in again.records[table].items()}
        if now != {id_: said(row.cells) for id_, row in rows.items()}:
            raise AssertionError(f"another row of {table} moved")
    for change in changes:
        if again.records[change.table][change.id].cells[change.column] != change.value:
            raise AssertionError("what was written is not what is read")


def said(cells: dict[str, str]) -> dict[str, str]:
    return {name: text for name, text in cells.items() if text}


def history(data: bytes) -> None:
    """A writer's history is these bytes: in one go, or the end of it later, it says the same."""
    stands = line()
    edits, odd = parse_history(data, "whole")
    cut = data.rfind(b"\n", 0, len(data) // 2) + 1
    parse_history(data[:cut], "part")
    again, odd_again = parse_history(data, "part")
    if odd != odd_again or [(e.id, e.lines) for e in edits] != [(e.id, e.lines) for e in again]:
        raise AssertionError("read on, it is another history")
    steps(edits)
    ways_back(edits, stands.records, "en-GB")
    for each in listed_edits(edits):
        words(each, stands.records, "en-GB").encode("utf-8")


def journal(data: bytes) -> None:
    """A journal with these bytes as its body, its digest right."""
    try:
        parse_journal(data)
        found = parse_journal(sha256(data).hexdigest().encode() + b"\n" + data)
    except FolderError as error:
        showable(error.problems)
        return
    for name in (*(swap.name for swap in found.swaps), found.tail.name):
        if ".." in name or name.startswith("/") or "\\" in name or ":" in name:
            raise AssertionError(f"it names {name!r}")


PLAIN = re.compile(r"-?[0-9]{1,15}(\.[0-9]{1,12})?")


def text_number(data: bytes) -> None:
    """A cell with a number: a plain one is what Python's own fractions make of it."""
    text = data.decode("utf-8", "replace")
    for comma in (False, True):
        for reader, unit in NUMBERS:
            try:
                reader(text, *unit, comma=comma)
            except QuantityError as error:
                if not error.expected:
                    raise AssertionError("refused, and nothing is said") from error
    if PLAIN.fullmatch(text) and number(text) != Fraction(text):
        raise AssertionError(f"{text} is read as {number(text)}")


NUMBERS = (
    (number, ()),
    (quantity, ("mm",)),
    (quantity, ("g",)),
    (share, ()),
    (money, ("USD",)),
    (money_per_hour, ("USD",)),
)


def brought(name: str, reader: Callable[[Path], object]) -> Callable[[bytes], None]:
    """A file that the producer brings, under this name."""

    def one(data: bytes) -> None:
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / name
            path.write_bytes(data)
            try:
                reader(path)
            except FolderError as error:
                showable(error.problems)

    return one


def made_of_parts(path: Path) -> None:
    """What an import makes of a list of parts must be a folder that can be read."""
    guess = guess_parts(path, {}, currency="USD", kind="prop")
    if guess.problems:
        showable(guess.problems)
        return
    files = files_of(guess, line="a-line", today=START.date())
    new = {name: text.encode() for name, text in files.items()}
    try:
        edit_one(read_files(path.parent, new))
    except FolderError as error:
        raise AssertionError(f"what was made cannot be read: {error}") from error


def workbook(data: bytes) -> None:
    """A workbook one of whose parts is these bytes: the first byte says which."""
    names = sorted(book())
    which = names[data[0] % len(names)] if data else SHEET
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, content in book().items():
            archive.writestr(name, data[1:] if name == which else content)
    brought("parts.xlsx", read_sheets)(out.getvalue())


@cache
def book() -> dict[str, bytes]:
    """The parts of a small workbook."""
    made = Workbook()
    made.active.append(["id", "name", "quantity", "price"])
    made.active.append(["oar", "Oar", 2, 1.25])
    made.active["D2"].number_format = "[$€-407] #,##0.00"
    made.active.merge_cells("A4:C5")
    made.active.column_dimensions["B"].hidden = True
    content = io.BytesIO()
    made.save(content)
    with zipfile.ZipFile(content) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def book_seeds() -> list[bytes]:
    return [bytes([at]) + book()[name] for at, name in enumerate(sorted(book()))]


def still(data: bytes) -> None:
    """The file of a still: a picture with a size, or a reason why it is none."""
    found = looked_at(data, "")
    if bool(found.fault) == bool(found.width_px and found.height_px):
        raise AssertionError(f"neither a picture nor none: {found}")


def still_seeds() -> list[bytes]:
    made = []
    exif = Image.Exif()
    exif[0x0112] = 6
    for kind in ("JPEG", "PNG", "WEBP", "TIFF"):
        content = io.BytesIO()
        Image.linear_gradient("L").resize((24, 16)).save(content, kind, exif=exif)
        made.append(content.getvalue())
    return made


READERS: dict[str, Callable[[bytes], None]] = {
    "table": lambda data: in_folder("parts.csv", data),
    "orders": lambda data: in_folder("orders.csv", data),
    "line": lambda data: in_folder("line.toml", data),
    "choice": lambda data: in_folder("choices/coat.toml", data),
    "history": history,
    "journal": journal,
    "number": text_number,
    "workbook": workbook,
    "still": still,
    "export": brought("votes.csv", read_export),
    "parts-list": brought("parts.csv", made_of_parts),
}


LIST = b"Title;;\n\nName;Maker;Box A;Box B;Price 1;from 500\nOar;Yard;2;;$1.50;0.9\n;;;;;\n"
QUOTED = b'Item,Kind,Qty,"Unit price (500)",MOQ,Quote till\n"Head, wet",head,1,1 CNY,300,2027-1-2\n'


def seeds(name: str) -> list[bytes]:
    """What a reader reads: files of ours, to begin with."""
    files = line().files
    stated = min((line().path / "history").iterdir()).read_bytes()
    return {
        "table": [files["parts.csv"], files["parts.csv"].replace(b",", b";"), b"\xef\xbb\xbfid\n"],
        "orders": [files["orders.csv"], b'sells,quantity,"a ""b"""\r\ncrossing,1,"x\ny"\r\n'],
        "line": [files["line.toml"], b'id = "a"\nname = "A"\n[[editions]]\nid = "x"\n'],
        "choice": [files["choices/coat.toml"]],
        "history": [stated, stated.replace(b'"after"', b'"undoes": "e", "after"'), b"[]\n{}\n"],
        "journal": [
            b'{"machine":"m","files":[["parts.csv","YQ==",null]],"tail":["history/a.jsonl",0,"YQ=="]}'
        ],
        "number": [b"11 1/2 in", b"~3.50 USD", b"3 to 4 USD", b"1,5", b"10 %", b"18 USD/h"],
        "workbook": book_seeds(),
        "still": still_seeds(),
        "export": [b"voter;option;date\na;b;1.2.2026\n", b'[{"voter": "a", "votes": {"x": 1}}]'],
        "parts-list": [files["parts.csv"], LIST, LIST.replace(b";", b","), QUOTED],
    }[name]
