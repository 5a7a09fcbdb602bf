"""Limits of a folder, each gone beyond by one."""

from pathlib import Path

from PIL import Image

from limits.trials import Trial
from sixwright.kernel.errors import FolderError
from sixwright.kernel.quantities import MOST_CHARACTERS, MOST_PLACES, MOST_WHOLE
from sixwright.line.likeness import Still
from sixwright.project.check_cells import MOST_NAMES as MOST_COMPARED
from sixwright.project.names import MOST_NAMESAKES, row_name
from sixwright.storage import folder, pictures
from sixwright.storage.files import within
from sixwright.storage.files.journal_text import JOURNAL
from sixwright.storage.history.log import read_history
from sixwright.storage.tables import csv_text, large_tables, toml_text
from storage.small_line import small_line

MIB = 2**20
HEAD = "id,kind,look,name\n"


def read(line: Path) -> str:
    """What is said of a folder that cannot be read, which it must not be able to."""
    try:
        folder.read(line)
    except FolderError as error:
        return str(error)
    return "it was read"


def parts(text: str):
    """A folder whose parts are these; one row fewer, or one letter, and it is another error."""

    def said(path: Path) -> str:
        line = small_line(path / "line")
        (line / "parts.csv").write_text(text, encoding="utf-8")
        return read(line)

    return said


def rows(number: int) -> str:
    return "".join(f"part-{at},prop,all,Part {at}\n" for at in range(number))


def holes(name: str, size: int):
    """A file of that many bytes, which take no room."""

    def said(path: Path) -> str:
        line = small_line(path / "line")
        (line / name).parent.mkdir(exist_ok=True)
        with (line / name).open("wb") as file:
            file.truncate(size)
        return read(line)

    return said


def in_all(path: Path) -> str:
    line = small_line(path / "line")
    most = csv_text.MOST_ROWS
    (line / "parts.csv").write_text(HEAD + rows(most))
    for table, head in {"stills": "id,file", "sculpts": "id,part", "tasks": "id,name"}.items():
        text = "".join(f"x-{at},y\n" for at in range(most))
        (line / f"{table}.csv").write_text(f"{head}\n{text}")
    return read(line)


def votes(path: Path) -> str:
    line = small_line(path / "line")
    (line / "votes.csv").write_text("id\n" + "v\n" * (large_tables.MOST_ROWS + 1))
    return read(line)


def number(text: str):
    def said(path: Path) -> str:
        line = small_line(path / "line")
        (line / "orders.csv").write_text("sells,quantity\ncrossing,1\n")
        (line / "parts.csv").write_text(f"id,kind,look,name,mass_g\noar,prop,all,Oar,{text}\n")
        return read(line)

    return said


def many_faults(path: Path) -> str:
    line = small_line(path / "line")
    text = "".join(f"crossing,nothing-{at},1\n" for at in range(1200))
    (line / "contents.csv").write_text(f"sells,part,quantity\n{text}")
    return read(line)


def misspelt(path: Path) -> str:
    line = small_line(path / "line")
    with (line / "parts.csv").open("a", encoding="utf-8") as file:
        width = (line / "parts.csv").read_text(encoding="utf-8").split("\n")[0].count(",") - 3
        for at in range(MOST_COMPARED):
            file.write(f"part-{at:03},prop,all,Part {at}{',' * width}\n")
    (line / "contents.csv").write_text("sells,part,quantity\ncrossing,part-00l,1\n")
    return read(line)


def twins(path: Path) -> str:
    line = small_line(path / "line")
    with (line / "parts.csv").open("a", encoding="utf-8") as file:
        width = (line / "parts.csv").read_text(encoding="utf-8").split("\n")[0].count(",") - 3
        for at in range(MOST_NAMESAKES):
            file.write(f"twin-{at},prop,all,Twin{',' * width}\n")
    return f"“{row_name(folder.read(line).records, 'parts', 'twin-0')}”"


def toml(change):
    def said(path: Path) -> str:
        line = small_line(path / "line")
        text = (line / "line.toml").read_text(encoding="utf-8")
        (line / "line.toml").write_text(change(text), encoding="utf-8")
        return read(line)

    return said


def large_toml(text: str) -> str:
    return text + "#" * (toml_text.MOST_TOML + 1024 - len(text.encode()))


def choices(count: int, size: int):
    def said(path: Path) -> str:
        line = small_line(path / "line")
        text = (line / "choices" / "coat.toml").read_text(encoding="utf-8")
        for at in range(count):
            (line / "choices" / f"c-{at}.toml").write_text(text + "#" * size, encoding="utf-8")
        return read(line)

    return said


def many_names(path: Path) -> str:
    line = small_line(path / "line")
    for at in range(within.MOST_NAMES):
        (line / f"n{at}").touch()
    return read(line)


def large_history(path: Path) -> str:
    line = small_line(path / "line")
    (line / "history").mkdir()
    with (line / "history" / "a.jsonl").open("wb") as file:
        file.truncate(within.MOST_HISTORY + 1)
    found = read_history(line)
    assert found.edits == ()
    return found.passed["history/a.jsonl"]


def still(make):
    """What is said of a still whose file is that."""

    def said(path: Path) -> str:
        make(path / "quay.png")
        return pictures.pictures_of(path, [Still("s", file="quay.png")])["quay.png"].fault

    return said


def truncated(size: int):
    def made(path: Path) -> None:
        with path.open("wb") as file:
            file.truncate(size)

    return made


def many_stills(make, count: int):
    """What is said of the last of so many alike."""

    def said(path: Path) -> str:
        make(path / "s0.png")
        for at in range(1, count):
            (path / f"s{at}.png").hardlink_to(path / "s0.png")
        stills = [Still(str(at), file=f"s{at}.png") for at in range(count)]
        found = pictures.pictures_of(path, stills)
        assert "of all stills" not in found[f"s{count - 2}.png"].fault
        return found[f"s{count - 1}.png"].fault

    return said


def named_stills(path: Path) -> str:
    """What is said of a still beyond those that are opened; none is there."""
    stills = [Still(str(at), file=f"s{at}.png") for at in range(pictures.MOST_OPENED + 1)]
    *_, before, last = pictures.pictures_of(path, stills).values()
    assert not before.is_there
    return last.fault


def plain_webp(path: Path) -> None:
    """A square of one colour, larger by a row than is opened."""
    Image.new("RGB", (5000, 5001)).save(path, "WEBP", lossless=True)


def plain_png(side: int):
    """A square of one colour: a few kB."""
    return lambda path: Image.new("1", (side, side)).save(path)


DEEP = toml_text.DEEPEST + 1

TRIALS = {
    "size of a table's file": Trial(
        f"{within.MOST_TABLE // MIB} MB", holes("parts.csv", within.MOST_TABLE + 1)
    ),
    "rows of a table that hold something": Trial(
        f"{csv_text.MOST_ROWS:,}", parts(HEAD + rows(csv_text.MOST_ROWS + 1))
    ),
    "rows of all tables together": Trial(f"{folder.MOST_IN_ALL:,}", in_all, slow=True),
    "rows of a table of many rows": Trial(f"{large_tables.MOST_ROWS:,}", votes, slow=True),
    "lines of a table, empty ones too": Trial(
        f"{csv_text.MOST_LINES:,}", parts(HEAD + "\n" * csv_text.MOST_LINES)
    ),
    "columns of a table": Trial(
        f"{csv_text.MOST_COLUMNS:,}",
        parts(",".join(["id,kind,look,name", *(f"c{at}" for at in range(997))]) + "\n"),
    ),
    "characters in a cell of a table": Trial(
        f"{csv_text.LONGEST_CELL:,}",
        parts(f"{HEAD}oar,prop,all,{'x' * (csv_text.LONGEST_CELL + 1)}\n"),
    ),
    "digits of a number before its mark": Trial(str(MOST_WHOLE), number("1" * (MOST_WHOLE + 1))),
    "digits of a number after its mark": Trial(
        str(MOST_PLACES), number("0." + "1" * (MOST_PLACES + 1))
    ),
    "characters of a number": Trial(
        str(MOST_CHARACTERS), number("0" * MOST_CHARACTERS + "1")
    ),
    "places to be put right that are listed": Trial(f"{folder.MOST_PROBLEMS:,}", many_faults),
    "rows among which a misspelt name is looked for": Trial(f"{MOST_COMPARED:,}", misspelt),
    "rows of a table among which another of the same name is looked for": Trial(
        f"{MOST_NAMESAKES:,}", twins
    ),
    "size of `line.toml`, and of a choice": Trial(
        f"{toml_text.MOST_TOML // 1024:,} kB", toml(large_toml)
    ),
    "lists and tables within each other": Trial(
        str(toml_text.DEEPEST), toml(lambda text: f"x = {'[' * DEEP}{']' * DEEP}\n{text}")
    ),
    "parts of a dotted name": Trial(
        str(toml_text.MOST_PARTS),
        toml(lambda text: ".".join("a" * (toml_text.MOST_PARTS + 2)) + f" = 1\n{text}"),
    ),
    "bits of a whole number": Trial("64", toml(lambda text: f"x = {2**63}\n{text}")),
    "choices": Trial(f"{folder.MOST_CHOICES:,}", choices(folder.MOST_CHOICES, 0)),
    "size of all choices": Trial(
        f"{folder.MOST_OF_CHOICES // MIB} MB", choices(6, 900_000)
    ),
    "files of stills that are opened": Trial(f"{pictures.MOST_OPENED:,}", named_stills),
    "size of a still's file": Trial(
        f"{pictures.MOST_FILE // MIB} MB", still(truncated(pictures.MOST_FILE + 1))
    ),
    "pixels of a still": Trial(f"{pictures.MOST_PIXELS:,}", still(plain_png(10_001))),
    "pixels of a WebP": Trial(f"{pictures.MOST_PIXELS_WEBP:,}", still(plain_webp)),
    "size of all files of stills": Trial(
        f"{pictures.MOST_IN_ALL // MIB:,} MB",
        many_stills(truncated(pictures.MOST_FILE), pictures.MOST_IN_ALL // pictures.MOST_FILE + 1),
        slow=True,
    ),
    "pixels of all stills": Trial(
        f"{pictures.MOST_PIXELS_IN_ALL:,}",
        many_stills(plain_png(10_000), pictures.MOST_PIXELS_IN_ALL // pictures.MOST_PIXELS + 2),
    ),
    "files in one folder": Trial(f"{within.MOST_NAMES:,}", many_names, slow=True),
    "size of all files of the history": Trial(f"{within.MOST_HISTORY // MIB} MB", large_history),
    "size of the journal of an edit": Trial(
        f"{within.MOST_JOURNAL // MIB} MB", holes(JOURNAL, within.MOST_JOURNAL + 1)
    ),
}  # fmt: skip
