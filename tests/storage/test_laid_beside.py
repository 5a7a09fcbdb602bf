"""What lies where sixwright lays a file for a moment: never written through, never waited for.

The link in a sub-folder did its harm on the code that refused journals and links already: an edit
wrote the table's new text over the file outside.
"""

import os
from pathlib import Path

import pytest

from sixwright.kernel.errors import DiskError, SixwrightError
from sixwright.storage.edits.write import write
from sixwright.storage.files.disk import PART
from sixwright.storage.files.journal_text import JOURNAL
from sixwright.storage.files.writer_lock import writer_name
from sixwright.storage.folder import read
from storage.small_line import CountingClock, in_three_files, numbers_in, small_line

SECRET = b"the user's own\n"
PARTS = [
    f".parts.csv{PART}",
    f".parts.csv.kept{PART}",
    f".{JOURNAL}{PART}",
    f"choices/.a.toml{PART}",
]


@pytest.fixture
def line(tmp_path):
    return small_line(tmp_path / "line")


@pytest.fixture
def outside(tmp_path):
    file = tmp_path / "outside.txt"
    file.write_bytes(SECRET)
    return file


def write_three(line):
    return write(read(line), in_three_files(7), who="Mira", clock=CountingClock())


def in_sub_folder(line, name):
    """A table that is a link to a file in a sub-folder; gives the place of that file."""
    (line / "sub").mkdir()
    (line / name).rename(line / "sub" / name)
    (line / name).symlink_to(Path("sub", name))
    return line / "sub" / name


@pytest.mark.parametrize("name", PARTS)
@pytest.mark.parametrize("kind", ["a link", "a pipe", "a link to nothing"])
def test_what_lies_where_a_part_is_laid_goes_and_is_not_written_through(line, outside, name, kind):
    if kind == "a pipe":
        os.mkfifo(line / name)
    else:
        (line / name).symlink_to(outside if kind == "a link" else outside.with_name("new.txt"))
    assert numbers_in(write_three(line)) == {"7"}
    assert outside.read_bytes() == SECRET
    assert not outside.with_name("new.txt").exists()
    assert not os.path.lexists(line / name)


@pytest.mark.parametrize("middle", ["", ".kept"])
def test_beside_a_table_that_a_link_leads_to_nothing_is_written_through(line, outside, middle):
    real = in_sub_folder(line, "parts.csv")
    (real.parent / f".parts.csv{middle}{PART}").symlink_to(outside)
    assert numbers_in(write_three(line)) == {"7"}
    assert outside.read_bytes() == SECRET
    assert (line / "parts.csv").is_symlink()
    assert [file.name for file in real.parent.iterdir()] == ["parts.csv"]


def test_a_folder_that_lies_there_is_named(line):
    (line / f".parts.csv{PART}").mkdir()
    with pytest.raises(DiskError, match=rf"parts\.csv cannot be written: \.parts\.csv{PART} is a"):
        write_three(line)
    assert numbers_in(read(line)) != {"7"}


@pytest.mark.parametrize("target", ["../ways.csv", "../../outside.txt", "elsewhere.jsonl"])
def test_a_history_that_is_a_link_is_not_added_to(line, outside, target):
    (line / "history").mkdir()
    (line / "history" / f"{writer_name()}.jsonl").symlink_to(target)
    ways = (line / "ways.csv").read_bytes()
    with pytest.raises(SixwrightError, match="a link, not a file"):
        write_three(line)
    assert outside.read_bytes() == SECRET
    assert (line / "ways.csv").read_bytes() == ways
    assert not (line / "history" / "elsewhere.jsonl").exists()
