"""Twenty windows and an editor at once: nothing lost, nothing doubled, no fault."""

import runpy
from shutil import copytree

import pytest

from architecture.reading import ROOT

SECONDS = 20


@pytest.mark.slow
def test_what_is_answered_is_in_the_history_and_nothing_else(tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "cache"))
    load = runpy.run_path(str(ROOT / "benchmarks/load.py"))
    folder = copytree(load["LINE"], tmp_path / "keeper")
    seen = load["under_load"](folder, SECONDS)
    assert not seen.failures()
    assert seen.refused == []  # each window writes cells of its own
    assert len(seen.written) >= load["CLIENTS"]
    assert load["lost"](folder, seen) == []
