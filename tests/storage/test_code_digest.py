"""What computes an answer is part of its key: changed code never meets old answers."""

import shutil
from pathlib import Path

import pytest

import sixwright
from sixwright.storage.code_digest import digest_of, digest_of_code
from sixwright.topics.dates import topic as dates
from sixwright.topics.likeness import topic as likeness

HOUSE = Path(sixwright.__file__).parent


@pytest.fixture
def copied(tmp_path):
    return shutil.copytree(HOUSE / "topics/likeness", tmp_path / "likeness")


def test_a_copy_is_the_same_code(copied):
    assert digest_of([copied]) == digest_of([HOUSE / "topics/likeness"])


def test_a_byte_a_name_a_file_and_a_fact_are_other_code(copied):
    found = {digest_of([copied]), digest_of([copied], ("numpy 1",))}
    (copied / "model.py").write_bytes((copied / "model.py").read_bytes() + b"\n")
    found.add(digest_of([copied]))
    (copied / "model.py").rename(copied / "models.py")
    found.add(digest_of([copied]))
    (copied / "solve/further.py").write_bytes(b"")
    found.add(digest_of([copied]))
    assert len(found) == 5


def test_a_topic_has_a_digest_of_its_own():
    assert digest_of_code(likeness.__name__) != digest_of_code(dates.__name__)


def test_what_is_no_code_is_left_alone(copied):
    before = digest_of([copied])
    (copied / "notes.txt").write_text("no code")
    assert digest_of([copied]) == before
