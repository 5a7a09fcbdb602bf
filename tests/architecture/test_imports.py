"""Imports point down only and never in a circle, and no topic imports another."""

import ast
import re
import subprocess
import sys
import tomllib
from graphlib import TopologicalSorter
from pathlib import Path

from architecture.reading import ROOT, SRC, python_files, tree_of

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


def _imports(module: str, path: Path, modules: set[str]) -> set[str]:
    """The modules that one names anywhere in it, in a function or for types alone too."""
    found: set[str] = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.ImportFrom) and node.module:
            names = {f"{node.module}.{alias.name}" for alias in node.names}
            found |= (names & modules) or ({node.module} & modules)
        elif isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names} & modules
    return found - {module}


def test_no_module_imports_itself_by_way_of_others():
    paths = {
        ".".join(path.relative_to(SRC.parent).with_suffix("").parts).removesuffix(".__init__"): path
        for path in python_files()
    }
    modules = set(paths)
    graph = {module: _imports(module, path, modules) for module, path in paths.items()}
    assert sum(map(len, graph.values())) > 1000
    # The package itself, whose face is brought in where a name of it is used.
    graph["sixwright"] = set()
    order = TopologicalSorter(graph)
    order.prepare()  # CycleError names the modules of a circle


def test_no_two_modules_of_the_client_import_each_other():
    client = SRC / "web/client/src"
    graph = {
        path.stem: set(re.findall(r'from "\./([a-z_]+)"', path.read_text(encoding="utf-8")))
        for path in client.glob("*.ts")
    }
    assert graph["main"]
    TopologicalSorter(graph).prepare()
