"""The voters' key: drawn once, kept private, carried as words, never replaced by accident."""

import stat
import sys
from concurrent.futures import ThreadPoolExecutor

import pytest

from sixwright.importer.voices.people import key_of, phrase_of
from sixwright.kernel.errors import DiskError, InputError
from sixwright.storage.voters_key import keep_key, voters_key


@pytest.fixture(autouse=True)
def config(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CONFIG", str(tmp_path / "config"))
    return tmp_path / "config"


def test_it_is_drawn_once_and_stays(config):
    assert voters_key() == voters_key()
    assert [path.name for path in config.iterdir()] == ["voters.key"]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such modes")
def test_nobody_else_can_read_it(config):
    voters_key()
    assert stat.S_IMODE((config / "voters.key").stat().st_mode) == 0o600


def test_two_windows_that_draw_it_at_once_get_one():
    with ThreadPoolExecutor(8) as pool:
        keys = set(pool.map(lambda _: voters_key(), range(16)))
    assert keys == {voters_key()}


def test_a_phrase_carries_it_to_another_computer(config, tmp_path, monkeypatch):
    phrase = phrase_of(voters_key())
    here = voters_key()
    monkeypatch.setenv("SIXWRIGHT_CONFIG", str(tmp_path / "other computer"))
    keep_key(key_of(phrase))
    assert voters_key() == here
    keep_key(here)  # again: nothing happens


def test_another_key_is_never_replaced():
    here = voters_key()
    with pytest.raises(InputError, match="holds another key already"):
        keep_key(bytes(16))
    assert voters_key() == here


def test_what_is_no_key_is_refused(config):
    config.mkdir()
    (config / "voters.key").write_bytes(b"\xff\xfe not hex")
    with pytest.raises(InputError, match="must hold a key"):
        voters_key()
    with pytest.raises(InputError, match="16 bytes"):
        keep_key(b"short")


def test_a_place_that_cannot_be_written_says_what_to_do(tmp_path, monkeypatch):
    (tmp_path / "file").write_text("")
    monkeypatch.setenv("SIXWRIGHT_CONFIG", str(tmp_path / "file"))
    with pytest.raises(DiskError, match="set SIXWRIGHT_CONFIG"):
        voters_key()
