"""Files that leave: whole and new, or byte for byte as before, whatever the disk does.

Before, a full disk left an old report at 0 bytes, and a part of a workbook beside its place.
"""

import errno
import os
import resource
import subprocess
import sys
from contextlib import suppress

import pytest

from sixwright.kernel.errors import BusyError, DiskError
from sixwright.storage.files.disk import RealDisk
from sixwright.storage.files.leaving import write_out
from sixwright.storage.folder import read
from sixwright.storage.workbooks.export import to_xlsx
from storage.small_line import FullDisk, HeldDisk, StoppingDisk, bytes_of, small_line

OLD = {"report.html": b"old report", "contents.pdf": b"old sheet"}
NEW = {"report.html": b"new report", "report.pdf": b"new print", "contents.pdf": b"new sheet"}


@pytest.fixture
def out(tmp_path):
    (tmp_path / "out").mkdir()
    for name, content in OLD.items():
        (tmp_path / "out" / name).write_bytes(content)
    return tmp_path / "out"


def leave(out, disk, **options):
    write_out({out / name: content for name, content in NEW.items()}, disk=disk, **options)


def test_all_are_written_and_nothing_else_is_left(out):
    leave(out, RealDisk())
    assert bytes_of(out) == NEW


def test_folders_on_the_way_are_made(tmp_path):
    leave(tmp_path / "a" / "b", RealDisk())
    assert bytes_of(tmp_path / "a" / "b") == NEW


def test_a_full_disk_leaves_all_as_it_was(out):
    for full_at in range(1, 20):
        with suppress(DiskError):
            leave(out, FullDisk(full_at))
            break
        assert bytes_of(out) == OLD, f"full at {full_at}"
    assert full_at == len(NEW) + 1
    assert bytes_of(out) == NEW


def test_any_error_of_the_disk_leaves_all_as_it_was_or_all_new(tmp_path):
    whole = StoppingDisk(0)
    leave(tmp_path / "whole", whole)
    seen = set()
    for stop in range(1, len(whole.steps) + 6):
        out = tmp_path / str(stop)
        out.mkdir()
        for name, content in OLD.items():
            (out / name).write_bytes(content)
        disk = StoppingDisk(stop, error=OSError(errno.EIO, "Input/output error"))
        try:
            leave(out, disk)
        except DiskError:
            assert bytes_of(out) == OLD, disk.steps
            seen.add("old")
        else:
            left = bytes_of(out)
            assert {name: left[name] for name in NEW} == NEW
            seen.add("new")
    assert seen == {"old", "new"}


@pytest.mark.parametrize("name", NEW)
def test_a_file_that_cannot_be_replaced_leaves_all_as_it_was(out, name):
    with pytest.raises(BusyError, match=rf"{name} is held open by another program"):
        leave(out, HeldDisk(name))
    assert bytes_of(out) == OLD


def test_a_folder_of_that_name_is_named(out):
    (out / "report.pdf").mkdir()
    with pytest.raises(DiskError, match=r"report\.pdf is a folder"):
        leave(out, RealDisk())
    assert bytes_of(out) == OLD


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with names here")
@pytest.mark.parametrize("linked", [False, True])
def test_a_pipe_or_a_device_is_not_replaced_by_a_file(tmp_path, linked):
    os.mkfifo(tmp_path / "pipe")
    named = tmp_path / ("link.xlsx" if linked else "pipe")
    if linked:
        named.symlink_to(tmp_path / "pipe")
    with pytest.raises(DiskError, match="a device or a pipe, not a file"):
        write_out({tmp_path / "first": b"x", named: b"x"})
    assert (tmp_path / "pipe").is_fifo()
    assert not (tmp_path / "first").exists()


def test_a_link_that_the_user_named_is_followed_and_stays(out, tmp_path):
    (tmp_path / "elsewhere.pdf").write_bytes(b"old print")
    (out / "report.pdf").symlink_to("../elsewhere.pdf")
    leave(out, RealDisk())
    assert (out / "report.pdf").is_symlink()
    assert (tmp_path / "elsewhere.pdf").read_bytes() == NEW["report.pdf"]


@pytest.mark.parametrize("what", ["file", "folder", "part"])
def test_a_link_in_the_folder_of_the_line_leads_nothing_out_of_it(tmp_path, what, monkeypatch):
    """`sixwright report` in a stranger's folder writes into `report`, whatever that is there."""
    line, outside = small_line(tmp_path / "line"), tmp_path / "outside"
    outside.mkdir()
    (outside / "report.html").write_bytes(b"the user's own")
    before = bytes_of(outside)
    if what == "folder":
        (line / "report").symlink_to(outside)
    else:
        (line / "report").mkdir()
        name = "report.html" if what == "file" else ".report.html.sixwright-part"
        (line / "report" / name).symlink_to(outside / "report.html")
    monkeypatch.chdir(line)
    if what == "part":
        leave(line / "report", RealDisk(), line=line)
        assert bytes_of(line / "report") == NEW
    else:
        for place in (line / "report", line / "." / "report"):
            with pytest.raises(DiskError, match="leads outside the line's folder"):
                leave(place, RealDisk(), line=line)
    assert bytes_of(outside) == before


@pytest.mark.parametrize("named", ["line/report/report.html", "line/out/report.html", "elsewhere"])
def test_a_link_to_a_table_of_the_line_is_not_written_over(tmp_path, named):
    line = small_line(tmp_path / "line")
    (line / "report").mkdir()
    (line / "out").symlink_to("report")
    (line / "report/report.html").symlink_to("../parts.csv")
    (tmp_path / "elsewhere").symlink_to(line / "line.toml")
    before = bytes_of(line)
    with pytest.raises(DiskError, match="a link to a file of the line's folder; it stays"):
        write_out({tmp_path / named: b"x"}, line=line)
    assert bytes_of(line) == before


def test_a_workbook_is_whole_or_as_before(tmp_path):
    line = small_line(tmp_path / "line")
    (tmp_path / "out").mkdir()
    file = tmp_path / "out" / "line.xlsx"
    for disk in (FullDisk(1), HeldDisk("line.xlsx")):
        with pytest.raises((DiskError, BusyError)):
            to_xlsx(read(line), file, disk=disk)
        assert bytes_of(tmp_path / "out") == {}
    to_xlsx(read(line), file)
    old = file.read_bytes()
    with pytest.raises(DiskError, match="The disk is full"):
        to_xlsx(read(line), file, disk=FullDisk(1))
    assert bytes_of(tmp_path / "out") == {"line.xlsx": old}


@pytest.mark.parametrize("verb", ["report", "export"])
def test_a_process_that_may_write_little_leaves_nothing_half(tmp_path, verb):
    """The system's own refusal, in the command itself: a file of at most 4 kB."""
    line = small_line(tmp_path / "line")
    out = tmp_path / "out"
    out.mkdir()
    old = {"report.html": b'<!doctype html>\n<html lang="en" class="report">'}
    (out / "report.html").write_bytes(old["report.html"])
    where = ["--out", str(out)] if verb == "report" else [str(out / "line.xlsx")]
    done = subprocess.run(
        [sys.executable, "-m", "sixwright", verb, str(line), *where],
        capture_output=True,
        check=False,
        text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096)),
        env=os.environ | {"SIXWRIGHT_CACHE": str(tmp_path / "cache")},
    )
    assert done.returncode == 3, done.stderr
    assert done.stderr.startswith("Nothing was written. The disk refused ")
    assert bytes_of(out) == old
