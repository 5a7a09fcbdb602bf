"""A folder from a stranger: nothing in it may name, read or write what lies outside.

Each case was tried on the code before it was mended and did its harm there (faults.md, 1, 6).
"""

import json
import os
import socket
from base64 import b64encode
from hashlib import sha256
from pathlib import Path
from platform import node

import pytest

from sixwright.kernel.errors import FolderError, SixwrightError
from sixwright.storage.edits.write import write
from sixwright.storage.files.journal_text import JOURNAL
from sixwright.storage.files.within import is_inner, place, read_plain
from sixwright.storage.folder import read
from sixwright.storage.history.log import history
from storage.small_line import CountingClock, bytes_of, in_three_files, numbers_in, small_line

SECRET = b"the user's own\n"
TAKEN = b"taken over\n"


@pytest.fixture
def line(tmp_path):
    return small_line(tmp_path / "line")


@pytest.fixture
def outside(tmp_path):
    file = tmp_path / "outside.txt"
    file.write_bytes(SECRET)
    return file


def coded(content):
    return None if content is None else b64encode(content).decode("ascii")


def lay_journal(line, stated):
    """A journal as an attacker makes it: whole, with its right digest."""
    body = json.dumps(stated).encode("ascii")
    digest = sha256(body).hexdigest().encode("ascii")
    (line / JOURNAL).write_bytes(digest + b"\n" + body)


def stated(files=(), tail=("history/a.jsonl", 0, "")):
    return {"machine": node(), "files": [list(file) for file in files], "tail": list(tail)}


def write_three(line):
    folder = read(line)
    return write(folder, in_three_files(7), who="Mira", clock=CountingClock())


NAMES = [
    "../outside.txt",
    "choices/../../outside.txt",
    "history/../../outside.txt",
    "..\\outside.txt",
]


@pytest.mark.parametrize("name", [*NAMES, "absolute"])
@pytest.mark.parametrize("harm", ["overwrite", "delete", "truncate", "create"])
def test_a_journal_touches_nothing_outside_its_folder(line, outside, name, harm):
    name = str(outside) if name == "absolute" else name
    files, tail = [], ("history/a.jsonl", 0, "")
    if harm == "overwrite":
        files = [(name, coded(TAKEN), coded(SECRET))]
    elif harm == "delete":
        files = [(name, None, coded(SECRET))]
    elif harm == "truncate":
        tail = (name, 4, coded(SECRET[4:]))
    else:
        files = [(name.replace("outside", "new"), coded(TAKEN), None)]
    lay_journal(line, stated(files, tail))
    before = bytes_of(line)
    with pytest.raises(FolderError) as refused:
        read(line)
    (problem,) = refused.value.problems
    assert problem.file == JOURNAL
    assert "one that names" in problem.found
    assert "delete .sixwright-journal to keep the files as they are" in problem.expected
    with pytest.raises(SixwrightError):
        write_three(line)
    history(line)
    assert outside.read_bytes() == SECRET
    assert not outside.with_name("new.txt").exists()
    assert bytes_of(line) == before


def test_a_journal_names_no_file_of_the_folder_that_a_line_has_not(line):
    (line / "mine.txt").write_bytes(SECRET)
    lay_journal(line, stated([("mine.txt", None, coded(SECRET))]))
    with pytest.raises(FolderError):
        read(line)
    assert (line / "mine.txt").read_bytes() == SECRET


MALFORMED = {
    "a list": [],
    "a number": 7,
    "no files": {"machine": node(), "tail": ["history/a.jsonl", 0, ""]},
    "files that are none": stated() | {"files": 3},
    "a file of two": stated() | {"files": [["parts.csv", None]]},
    "a file that is no text": stated([(5, None, None)]),
    "content that is no base64": stated([("parts.csv", "$$$", None)]),
    "content that is a number": stated([("parts.csv", 4, None)]),
    "a tail without a length": stated() | {"tail": ["history/a.jsonl", None, ""]},
    "a tail of negative length": stated() | {"tail": ["history/a.jsonl", -1, ""]},
    "a machine that is none": stated() | {"machine": None},
    "a machine that is a list": stated() | {"machine": ["a"]},
    "one file twice": stated([("parts.csv", None, None), ("parts.csv", None, None)]),
}


@pytest.mark.parametrize("case", MALFORMED)
def test_a_journal_that_is_none_of_ours_is_refused_and_shown(line, case):
    lay_journal(line, MALFORMED[case])
    before = bytes_of(line)
    with pytest.raises(FolderError) as refused:
        read(line)
    assert [problem.file for problem in refused.value.problems] == [JOURNAL]
    assert bytes_of(line) == before
    (line / JOURNAL).unlink()
    assert numbers_in(write_three(line)) == {"7"}


def test_a_journal_of_deep_brackets_is_refused(line):
    body = b"[" * 200_000
    (line / JOURNAL).write_bytes(sha256(body).hexdigest().encode() + b"\n" + body)
    with pytest.raises(FolderError):
        read(line)


@pytest.mark.parametrize("name", ["parts.csv", "line.toml", "choices/odd.toml"])
def test_a_link_that_leads_outside_is_not_followed(line, outside, name):
    (line / name).parent.mkdir(exist_ok=True)
    (line / name).unlink(missing_ok=True)
    (line / name).symlink_to(outside)
    with pytest.raises(FolderError) as refused:
        read(line)
    (problem,) = refused.value.problems
    assert (problem.file, problem.found) == (name, "a link that leads outside the folder")
    assert outside.read_bytes() == SECRET


@pytest.mark.parametrize("name", ["choices", "history"])
def test_a_folder_that_is_a_link_to_the_outside_is_not_entered(line, tmp_path, name):
    other = tmp_path / "other"
    other.mkdir()
    (other / "a.toml").write_text("question = 'x'")
    (other / ".a.sixwright-part").write_bytes(SECRET)
    if (line / name).exists():
        for file in (line / name).iterdir():
            file.unlink()
        (line / name).rmdir()
    (line / name).symlink_to(other)
    with pytest.raises(SixwrightError):
        write_three(line)
    assert history(line) == ()
    assert sorted(file.name for file in other.iterdir()) == [".a.sixwright-part", "a.toml"]


def test_a_link_to_a_table_within_the_folder_stays_one(line):
    real = line / "kept-elsewhere.csv"
    (line / "parts.csv").rename(real)
    (line / "parts.csv").symlink_to(real.name)
    assert numbers_in(write_three(line)) == {"7"}
    assert (line / "parts.csv").is_symlink()
    assert b"7" in real.read_bytes()
    assert numbers_in(read(line)) == {"7"}


def odd(file, kind):
    file.parent.mkdir(exist_ok=True)
    file.unlink(missing_ok=True)
    if kind == "a pipe":
        os.mkfifo(file)
    elif kind == "a folder":
        file.mkdir()
    elif kind == "a socket":
        where = Path.cwd()
        os.chdir(file.parent)  # a socket's path has few letters
        with socket.socket(socket.AF_UNIX) as one:
            one.bind(file.name)
        os.chdir(where)
    else:
        file.symlink_to("/dev/zero")


@pytest.mark.parametrize("kind", ["a pipe", "a folder", "a socket", "a device"])
@pytest.mark.parametrize("name", ["orders.csv", "line.toml", "choices/odd.toml", JOURNAL])
def test_what_is_no_plain_file_is_said_and_nobody_waits(line, name, kind):
    odd(line / name, kind)
    with pytest.raises(SixwrightError) as refused:
        read(line)
    assert name in str(refused.value)


@pytest.mark.parametrize("kind", ["a pipe", "a folder", "a device"])
def test_a_history_that_is_no_plain_file_is_passed_over(line, kind):
    write_three(line)
    odd(line / "history" / "z-other.jsonl", kind)
    assert len(history(line)) == 1


def test_a_file_larger_than_stated_is_refused_before_it_is_read(tmp_path):
    file = tmp_path / "large.csv"
    with file.open("wb") as made:
        made.truncate(2**40)  # holes: a terabyte that takes no room
    with pytest.raises(OSError, match="more than 64 MB"):
        read_plain(file, most=64 * 2**20)


@pytest.mark.parametrize(
    "name", ["", "/a", "../a", "a/../../b", "a\\b", "C:a", "a\0b", "//server/a", "a/.."]
)
def test_a_path_that_steps_out_is_no_path_of_a_folder(tmp_path, name):
    assert not is_inner(name)
    with pytest.raises(OSError, match="outside"):
        place(tmp_path, name)
