"""Imports point down only, and no topic imports another."""

import subprocess
import sys
import tomllib
from pathlib import Path

from architecture.reading import ROOT, SRC

CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"][
    "importlinter"
]["contracts"]


def _packages(folder: Path) -> set[str]:
    return {path.parent.name for path in folder.glob("*/__init__.py")}


def test_the_import_contracts_are_kept():
    linter = Path(sys.executable).parent / "lint-imports"
    done = subprocess.run(
        [linter, "--no-cache"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "0 broken" in done.stdout


def test_every_package_and_module_has_its_layer():
    layers = next(c["layers"] for c in CONTRACTS if c["type"] == "layers")
    named = {name.strip() for layer in layers for name in layer.replace("|", ":").split(":")}
    modules = {path.stem for path in SRC.glob("*.py")} - {"__init__", "__main__"}
    assert named == {f"sixwright.{name}" for name in _packages(SRC) | modules}


def test_every_topic_is_in_the_contract_of_independence():
    named = next(c["modules"] for c in CONTRACTS if c["type"] == "independence")
    assert named == ["sixwright.topics.*"]
    assert len(_packages(SRC / "topics")) > 3
