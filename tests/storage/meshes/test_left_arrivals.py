"""Meshes that a killed server left in the cache go a day later; nothing else does."""

import os
from datetime import UTC, datetime

import pytest

from sixwright.storage.meshes.left_arrivals import AGE_S, arrivals_path, clear_left, hold

OURS = "4711-0123456789abcdef"
NOW = datetime(2026, 9, 14, 9, tzinfo=UTC)


@pytest.fixture
def arrivals(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path))
    arrivals_path().mkdir()
    return arrivals_path()


def left(folder, age_s):
    folder.mkdir()
    for name in ("file", "look.bin", "look-4711.part", "lock"):
        (folder / name).write_bytes(b"a mesh")
    at = NOW.timestamp() - age_s
    for each in (*folder.iterdir(), folder):
        os.utime(each, (at, at))
    return folder


def test_what_is_older_than_a_day_and_held_by_nobody_goes(arrivals):
    old = left(arrivals / OURS, AGE_S + 60)
    clear_left(NOW)
    assert not old.exists()


def test_what_came_today_stays(arrivals):
    young = left(arrivals / OURS, AGE_S - 60)
    clear_left(NOW)
    assert len(list(young.iterdir())) == 4


def test_what_a_server_holds_stays_until_it_lets_go(arrivals):
    held = left(arrivals / OURS, 3 * AGE_S)
    lock = hold(held)
    os.utime(held / "lock", (0, 0))
    clear_left(NOW)
    assert (held / "file").exists()
    lock.release()
    clear_left(NOW)
    assert not held.exists()


@pytest.mark.parametrize("name", ["heads", "4711", OURS.upper(), f"x{OURS}"])
def test_a_folder_of_another_name_stays(arrivals, name):
    own = left(arrivals / name, 3 * AGE_S)
    clear_left(NOW)
    assert len(list(own.iterdir())) == 4


def test_a_file_of_another_name_stays_with_its_folder(arrivals):
    ours = left(arrivals / OURS, 3 * AGE_S)
    (ours / "notes.txt").write_bytes(b"the producer's own")
    os.utime(ours, (0, 0))
    os.utime(ours / "notes.txt", (0, 0))
    clear_left(NOW)
    assert [each.name for each in ours.iterdir()] == ["notes.txt"]


@pytest.mark.skipif(not hasattr(os, "symlink"), reason="no links here")
def test_a_link_of_such_a_name_is_not_followed(arrivals, tmp_path):
    elsewhere = left(tmp_path / "elsewhere", 3 * AGE_S)
    (arrivals / OURS).symlink_to(elsewhere, target_is_directory=True)
    clear_left(NOW)
    assert len(list(elsewhere.iterdir())) == 4


def test_where_nothing_ever_came_nothing_is_made(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "none"))
    clear_left(NOW)
    assert not (tmp_path / "none").exists()
