"""Readers against bytes that nobody meant, and against all that was ever found so.

A found file lies in `found/`, named by its reader and what it was. `make slow` looks for new ones;
SIXWRIGHT_FUZZ_SECONDS says for how long each reader (30; 600 before a release). `corpus.zip` holds
what led earlier searches to new code (`reader/digest`, 2 kB each at most); later ones begin there.
"""

import os
import subprocess
import sys
import time
import zipfile
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path

import pytest

from storage.fuzz.readers import READERS, seeds

HERE = Path(__file__).parent
FOUND = sorted((HERE / "found").iterdir())
SECONDS = int(os.environ.get("SIXWRIGHT_FUZZ_SECONDS", "30"))


def reader_of(path):
    """The reader that a found file is named by: ``table--what-it-was``."""
    return path.name.partition("--")[0]


def kept(name):
    """What earlier searches of a reader kept."""
    with zipfile.ZipFile(HERE / "corpus.zip") as archive:
        return [archive.read(one) for one in archive.namelist() if one.startswith(f"{name}/")]


@pytest.mark.slow
@pytest.mark.timeout(SECONDS + 300)
@pytest.mark.skipif(find_spec("atheris") is None, reason="atheris is not to be had here")
@pytest.mark.parametrize("name", READERS)
def test_no_bytes_do_more_than_be_read_or_be_refused(name, tmp_path):
    corpus = tmp_path / "corpus"
    corpus.mkdir()
    for at, content in enumerate(seeds(name)):
        (corpus / f"seed-{at}").write_bytes(content)
    for path in FOUND:
        if reader_of(path) == name:
            (corpus / path.name).write_bytes(path.read_bytes())
    for content in kept(name):
        (corpus / sha256(content).hexdigest()).write_bytes(content)
    done = subprocess.run(
        [sys.executable, HERE / "fuzz_reader.py", name, str(SECONDS), corpus],
        env={**os.environ, "PYTHONPATH": str(HERE.parent.parent)},
        capture_output=True,
        text=True,
        timeout=SECONDS + 240,
        check=False,
    )
    left = [path.name for path in tmp_path.iterdir() if path.is_file()]
    assert done.returncode == 0, f"{left}\n{(done.stdout + done.stderr)[-4000:]}"
    assert left == []


@pytest.mark.parametrize("name", READERS)
def test_what_the_search_begins_with_is_read(name):
    for content in seeds(name):
        READERS[name](content)


@pytest.mark.parametrize("name", READERS)
def test_what_earlier_searches_kept_is_read_or_refused(name):
    """A sample; `make slow` takes all."""
    for content in kept(name)[::8]:
        READERS[name](content)


def test_every_found_file_has_a_reader():
    assert FOUND
    assert {reader_of(path) for path in FOUND} <= set(READERS)


@pytest.mark.parametrize("path", FOUND, ids=lambda path: path.name)
def test_what_was_found_is_read_or_refused(path):
    begun = time.process_time()
    READERS[reader_of(path)](path.read_bytes())
    assert time.process_time() - begun < 10  # seconds of work, however busy the machine
