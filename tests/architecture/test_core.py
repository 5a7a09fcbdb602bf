"""The core is pure: no clock, no chance of its own, no disk, no network, no console."""

import ast
from collections.abc import Iterator

import pytest

from architecture.reading import (
    dotted,
    imported_modules,
    imported_names,
    place,
    python_files,
    tree_of,
)

CORE = ("kernel", "numerics", "line", "topics", "project", "workflows")
CALLS = {
    "datetime.date.today", "datetime.datetime.now", "datetime.datetime.utcnow",
    "datetime.datetime.today", "time.time", "time.time_ns", "time.monotonic", "time.perf_counter",
    "time.localtime", "time.gmtime", "time.sleep", "os.urandom", "os.getenv", "uuid.uuid1",
    "uuid.uuid4", "open", "input", "print", "numpy.empty", "numpy.load", "numpy.save",
    "numpy.fromfile", "hash", "id",
}  # fmt: skip
MODULES = {
    "random", "secrets", "subprocess", "socket", "urllib", "http", "shutil", "tempfile", "os",
    "locale", "multiprocessing", "threading", "logging",
}  # fmt: skip
# What numpy.random may be asked for: a generator that counts, made from a seed that is passed in.
SEEDED = {"Generator", "Philox", "SeedSequence", "BitGenerator"}


def banned_in(tree: ast.Module) -> Iterator[tuple[ast.AST, str]]:
    """Each use of the world outside, and its name."""
    names = imported_names(tree)
    for node, module in imported_modules(tree):
        if module.split(".")[0] in MODULES:
            yield node, module
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and (name := dotted(node.func, names)) in CALLS:
            yield node, name
        if isinstance(node, ast.Attribute | ast.Name):
            name = dotted(node, names)
            if name.startswith("numpy.random.") and name.split(".")[2] not in SEEDED:
                yield node, name


def test_the_core_asks_nothing_of_the_world():
    files = python_files(*CORE)
    assert len(files) > 15, "the core was not found"
    found = [f"{place(path, node)} {name}" for path in files
             for node, name in banned_in(tree_of(path))]  # fmt: skip
    assert found == []


@pytest.mark.parametrize(
    "text",
    [
        "from datetime import date\nd = date.today()",
        "import datetime as dt\nd = dt.datetime.now()",
        "import time\nt = time.time()",
        "from time import time as now\nt = now()",
        "import random",
        "from random import choice",
        "import numpy as np\nx = np.random.rand(3)",
        "import numpy as np\nx = np.random.default_rng()",
        "from numpy.random import default_rng\nx = default_rng()",
        "import numpy as np\nx = np.empty(3)",
        "open('x')",
        "import os",
    ],
)
def test_the_rule_sees_each_way_out(text):
    assert list(banned_in(ast.parse(text)))


@pytest.mark.parametrize(
    "text",
    [
        "from datetime import date\nd = date(2026, 9, 14)",
        "import numpy as np\nx = np.random.Generator(np.random.Philox(key=seed))",
        "today = inputs.today",
    ],
)
def test_the_rule_leaves_what_is_passed_in_alone(text):
    assert not list(banned_in(ast.parse(text)))
