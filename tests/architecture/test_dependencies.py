"""What a user has to install is what the source imports: no package more, none unnamed."""

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions

from architecture.reading import ROOT, python_files, tree_of

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]


def _plain(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def _named() -> set[str]:
    return {_plain(re.match(r"[A-Za-z0-9._-]+", each)[0]) for each in PROJECT["dependencies"]}


def _imported() -> set[str]:
    """Top-level packages that the source imports, by the name of what they are installed from."""
    modules = set()
    for file in python_files():
        for node in ast.walk(tree_of(file)):
            if isinstance(node, ast.Import):
                modules |= {alias.name.partition(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and not node.level:
                modules.add((node.module or "").partition(".")[0])
    known = packages_distributions()
    outside = modules - set(sys.stdlib_module_names) - {"sixwright"}
    assert outside - set(known) <= {"point_cloud_utils"}  # it has no wheel for every Python
    return {_plain(name) for module in outside for name in known.get(module, [module])}


# They come with FastAPI and Jinja2, which hand their objects to us.
BROUGHT = {"starlette", "markupsafe"}


def test_every_package_of_the_run_set_is_imported():
    assert _named() - _imported() == set()


def test_every_package_imported_is_named_or_comes_with_one_that_is():
    assert _imported() - _named() == BROUGHT
