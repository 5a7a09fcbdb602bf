"""Writing stopped at every step: the folder reads as before or as after, never between."""

import errno
import os
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from contextlib import suppress
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from sixwright.kernel.errors import BusyError, DiskError
from sixwright.project.records import Change
from sixwright.storage.edits.write import write
from sixwright.storage.files import writer_lock
from sixwright.storage.files.disk import PART, RealDisk
from sixwright.storage.files.journal import JOURNAL, recover, settled
from sixwright.storage.files.writer_lock import folder_lock
from sixwright.storage.folder import Folder, files_of, read
from sixwright.storage.history.log import history
from storage.small_line import (
    CHOICE,
    CountingClock,
    Crash,
    FullDisk,
    HeldDisk,
    PowerDisk,
    StoppingDisk,
    bytes_of,
    in_three_files,
    numbers_in,
    small_line,
)

CLOCK = CountingClock()
MOMENTS = ("before", "torn", "after")


@pytest.fixture(autouse=True)
def no_waiting_for_the_disk(monkeypatch):
    """What a disk has kept is modelled by `PowerDisk`; here it need not be waited for."""
    monkeypatch.setattr("sixwright.storage.files.disk._sync", os.close)


@pytest.fixture(scope="module")
def begun(tmp_path_factory) -> Path:
    """A line with one edit behind it, so that there is a history to add to."""
    path = small_line(tmp_path_factory.mktemp("begun") / "line")
    write(read(path), in_three_files(1), who="Ann", clock=CLOCK)
    return path


@pytest.fixture
def again(begun, tmp_path):
    """Makes the line anew, as often as is wanted."""

    def make() -> Path:
        path = tmp_path / "line"
        shutil.rmtree(path, ignore_errors=True)
        shutil.copytree(begun, path)
        return path

    return make


def second(path: Path, disk) -> None:
    """An edit of three files, with a file that comes, of a line as `again` makes it."""
    changes = [*in_three_files(2), Change("choices", "hat", "text", value=CHOICE)]
    write(replace(_read_once(), path=path), changes, who="Bea", clock=CLOCK, disk=disk)


@cache
def _read_once() -> Folder:
    """The line that `begun` is, to spare reading it hundreds of times."""
    with tempfile.TemporaryDirectory() as place:
        return write(
            read(small_line(Path(place) / "line")), in_three_files(1), who="Ann", clock=CLOCK
        )


def _steps_of(path: Path) -> int:
    disk = StoppingDisk(0)
    second(path, disk)
    assert {"write", "append", "flush", "replace", "remove"} <= set(disk.steps)
    return len(disk.steps)


@pytest.fixture(scope="module")
def two_states(begun, tmp_path_factory):
    """The files that a line is read from, before the edit and after it."""
    path = tmp_path_factory.mktemp("after") / "line"
    shutil.copytree(begun, path)
    second(path, StoppingDisk(0))
    assert numbers_in(read(path)) == {"2"}
    return {"before": files_of(begun), "after": files_of(path)}


def check_whole(path: Path, two_states, *, only: str | None = None) -> str:
    """Which of the two states the folder is in, byte for byte, its history with it."""
    files = settled(path, lambda: files_of(path))
    state = next((name for name, those in two_states.items() if those == files), "between")
    assert state != "between"
    assert len(history(path)) == (1 if state == "before" else 2)
    assert only in {None, state}
    return state


def check_writable(path: Path) -> None:
    """The next edit goes through, and nothing is left lying about."""
    found = read(path)
    write(found, in_three_files(7), who="Cy", clock=CLOCK)
    assert numbers_in(read(path)) == {"7"}
    assert not [name for name in bytes_of(path) if JOURNAL in name or name.endswith(PART)]


@pytest.mark.parametrize("moment", MOMENTS)
def test_a_crash_at_any_step_leaves_before_or_after(again, two_states, moment):
    states = []
    for stop in range(1, _steps_of(again()) + 1):
        path = again()
        with pytest.raises(Crash):
            second(path, StoppingDisk(stop, moment))
        states.append(check_whole(path, two_states))
        if stop % 5 == 0 or states[-1:] != states[-2:-1]:
            check_writable(path)
    assert states[0] == "before"
    assert states[-1] == "after"
    assert states == sorted(states, reverse=True), "once it counts, it counts"


@pytest.mark.parametrize("moment", MOMENTS)
def test_a_crash_while_it_is_put_back_is_put_back_too(again, two_states, moment):
    met = 0
    for first in range(1, _steps_of(again()) + 1):
        path = again()
        with pytest.raises(Crash):
            second(path, StoppingDisk(first, "after"))
        if not (path / JOURNAL).exists():
            continue
        left = bytes_of(path)
        for stop in range(1, 40):
            for name, content in left.items():
                (path / name).parent.mkdir(exist_ok=True)
                (path / name).write_bytes(content)
            try:
                recover(path, StoppingDisk(stop, moment))
            except Crash:
                met += 1
                check_whole(path, two_states, only="before")
            else:
                break
        check_whole(path, two_states, only="before")
    assert met > 20


def test_power_that_goes_leaves_before_or_after_whatever_was_kept(again, two_states):
    steps = 0
    while steps < 200:
        steps += 1
        path = again()
        disk = PowerDisk(path, steps)
        try:
            second(path, disk)
            over = True
        except Crash:
            over = False
        for world in list(disk.worlds()):
            disk.lay_down(world)
            check_whole(path, two_states, only="after" if over else None)
        if over:
            break
    assert 20 < steps < 200


def test_a_full_disk_is_said_and_nothing_is_written(again):
    for full_at in range(1, 50):
        path = again()
        before = bytes_of(path)
        with suppress(DiskError):
            second(path, FullDisk(full_at))
            break
        assert bytes_of(path) == before, f"full at {full_at}"
    assert 5 < full_at < 50
    with pytest.raises(DiskError, match=r"The disk is full: orders\.csv cannot be written"):
        second(again(), FullDisk(3))


@pytest.mark.parametrize("name", ["parts.csv", "orders.csv", "line.toml"])
def test_a_file_that_cannot_be_replaced_is_said_and_nothing_is_written(again, name):
    path = again()
    before = bytes_of(path)
    with pytest.raises(BusyError, match=rf"{name} is held open by another program"):
        second(path, HeldDisk(name))
    assert bytes_of(path) == before


def test_any_error_of_the_disk_is_one_of_ours_and_nothing_is_written(again, two_states):
    for stop in range(1, _steps_of(again()) + 1):
        path = again()
        disk = StoppingDisk(stop, error=OSError(errno.EIO, "Input/output error"))
        try:
            second(path, disk)
        except DiskError:
            check_whole(path, two_states, only="before")
        else:  # the last wait for the disk, or a folder that is not flushed: all was written
            check_whole(path, two_states, only="after")


def cut_short(again) -> Path:
    """A line in which an edit stopped when its last file had been replaced."""
    whole = StoppingDisk(0)
    second(again(), whole)
    last = max(at for at, step in enumerate(whole.steps, 1) if step in {"exchange", "link"})
    path = again()
    with pytest.raises(Crash):
        second(path, StoppingDisk(last, "after"))
    assert (path / JOURNAL).exists()
    return path


def test_power_that_goes_while_it_is_put_back_leaves_before(again, two_states):
    left = bytes_of(cut_short(again))
    stop, over = 0, False
    while not over and stop < 60:
        stop += 1
        path = again()
        for name, content in left.items():
            (path / name).write_bytes(content)
        disk = PowerDisk(path, stop)
        with suppress(Crash):
            recover(path, disk)
            over = True
        for world in list(disk.worlds()):
            disk.lay_down(world)
            check_whole(path, two_states, only="before")
    assert 10 < stop < 60


def test_a_folder_that_cannot_be_put_back_still_reads_as_before(again, monkeypatch):
    path = cut_short(again)

    def refuse(*_):
        raise BusyError("parts.csv is held open")

    monkeypatch.setattr("sixwright.storage.files.journal.put_back", refuse)
    left = bytes_of(path)
    found = read(path)
    assert numbers_in(found) == {"1"}
    assert "choices/hat.toml" not in found.files
    assert bytes_of(path) == left


def test_a_window_that_hangs_in_the_middle_of_an_edit_keeps_nobody_from_reading(again, monkeypatch):
    path = cut_short(again)
    monkeypatch.setattr("sixwright.storage.files.writer_lock.WAIT_S", 0.05)
    entered, leave = threading.Event(), threading.Event()

    def hang() -> None:
        with folder_lock(path):
            entered.set()
            leave.wait(120)

    other = threading.Thread(target=hang)
    other.start()
    assert entered.wait(120)
    assert numbers_in(read(path)) == {"1"}
    assert (path / JOURNAL).exists()
    assert len(history(path)) == 2
    leave.set()
    other.join(120)
    assert numbers_in(read(path)) == {"1"}
    assert not (path / JOURNAL).exists()
    assert len(history(path)) == 1


def test_an_edit_of_another_machine_reads_as_before_and_is_left_to_it(again, monkeypatch):
    path = cut_short(again)
    left = bytes_of(path)
    monkeypatch.setattr("sixwright.storage.files.journal.node", lambda: "another")
    found = read(path)
    assert numbers_in(found) == {"1"}
    with pytest.raises(BusyError, match=r"is writing in this folder, or stopped.*Open the folder"):
        write(found, in_three_files(3), who="Ann", clock=CLOCK)
    assert bytes_of(path) == left


def test_what_others_wrote_after_a_crash_is_not_put_back(again):
    path = cut_short(again)
    parts = (path / "parts.csv").read_bytes().replace(b"Oiled coat", b"Waxed coat")
    (path / "parts.csv").write_bytes(parts)
    read(path)
    assert (path / "parts.csv").read_bytes() == parts


def _kill_at(path: Path, delays: list[float]) -> int:
    """Kill a process that writes on and on, at each of these moments; how far they came."""
    worker = Path(__file__).with_name("writing_process.py")
    for delay in delays:
        process = subprocess.Popen(
            [sys.executable, str(worker), "on-and-on", str(path)],
            stdout=subprocess.PIPE,
            env=os.environ | {"PYTHONPATH": str(worker.parent.parent)},
        )
        assert process.stdout is not None
        process.stdout.readline()  # it has begun
        time.sleep(delay)
        process.kill()
        process.wait(120)
        process.stdout.close()
        found = read(path)
        (number,) = numbers_in(found)
        assert len(history(path)) == int(number)
    return int(number)


def test_a_killed_process_leaves_before_or_after(again):
    delays = [0, 0.004, 0.009, 0.015, 0.022, 0.03]
    assert _kill_at(again(), delays) > len(delays)


@pytest.mark.slow
def test_a_process_killed_at_many_moments_leaves_before_or_after(again):
    assert _kill_at(again(), [step * 0.0013 for step in range(120)]) > 120


def test_a_lock_that_cannot_be_let_go_denies_no_edit_that_was_written(again, monkeypatch):
    """Closing it is the last step of an edit; network disks may refuse it."""
    path = again()
    close, refused = os.close, []

    def closing(descriptor):
        is_folder = Path(f"/dev/fd/{descriptor}").is_dir()
        close(descriptor)
        if is_folder:
            refused.append(descriptor)
            raise OSError(errno.EIO, os.strerror(errno.EIO))

    folder = read(path)
    monkeypatch.setattr(writer_lock.os, "close", closing)
    monkeypatch.setattr(RealDisk, "flush", lambda *_: None)  # it closes folders too
    after = write(folder, in_three_files(7), who="Mira", clock=CLOCK)
    assert numbers_in(after) == {"7"}
    assert refused
