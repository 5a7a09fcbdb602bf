"""A fixture that waits for ever ends its process, though the test before it has failed."""

import subprocess
import sys
from pathlib import Path

CONFTEST = Path(__file__).resolve().parents[1] / "conftest.py"
HANGS = """
import threading
import pytest

@pytest.fixture
def waited_for():
    yield
    waits_for_ever()

def waits_for_ever():
    threading.Event().wait()

def test_that_fails(waited_for):
    raise RuntimeError
"""


def test_what_hangs_after_a_failure_is_ended_and_named(tmp_path):
    text = CONFTEST.read_text("utf-8")
    assert "GRACE_S = 60" in text
    (tmp_path / "conftest.py").write_text(text.replace("GRACE_S = 60", "GRACE_S = 1"), "utf-8")
    (tmp_path / "test_it.py").write_text(HANGS, encoding="utf-8")
    (tmp_path / "pytest.ini").write_text("[pytest]\n", encoding="utf-8")
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "--timeout=2", "--basetemp=base", "test_it.py"],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        timeout=200,
    )
    assert ran.returncode == 1
    assert "in waits_for_ever" in ran.stderr
