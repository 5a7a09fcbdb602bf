"""docs/limits.md against what happens: each row is tried, and each trial has its row."""

import re

import pytest

from architecture.reading import ROOT
from limits import folder_trials, mesh_trials, workbook_trials

PAGE = (ROOT / "docs" / "limits.md").read_text(encoding="utf-8")
ROW = re.compile(r"^\| (?P<what>.+?) \| (?P<limit>.+?) \| `(?P<said>.+)` \|$", re.MULTILINE)
ROWS = {found["what"]: found for found in ROW.finditer(PAGE)}
TRIALS = folder_trials.TRIALS | workbook_trials.TRIALS | mesh_trials.TRIALS


def test_every_row_has_a_trial_and_every_trial_a_row():
    lines = [line for line in PAGE.splitlines() if line.startswith("| ")]
    heads = [line for line in lines if line.startswith("| what |")]
    assert len(lines) - len(heads) == len(ROWS), "a row that is not read"
    assert list(ROWS) == list(TRIALS)


@pytest.mark.parametrize("what", [what for what, trial in TRIALS.items() if not trial.slow])
def test_a_limit_is_as_stated(tmp_path, what):
    check(tmp_path, what)


@pytest.mark.slow
@pytest.mark.parametrize("what", [what for what, trial in TRIALS.items() if trial.slow])
def test_a_large_limit_is_as_stated(tmp_path, what):
    check(tmp_path, what)


def check(folder, what):
    trial, row = TRIALS[what], ROWS[what]
    assert row["limit"] == trial.stated
    assert row["said"] in trial.said(folder)
