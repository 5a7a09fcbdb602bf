"""The demo's judge itself is judged: it must see each way in which verdicts can differ."""

import importlib.util
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


def _demo():
    spec = importlib.util.spec_from_file_location("demo", ROOT / "tools/demo.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


KNOWN = {"money.minimum:part/cape": "fails", "money.quote-date:way/bckl": "doubtful"}


def test_the_same_verdicts_differ_in_nothing():
    found = {**KNOWN, "lineup.grip:edition/muster-watch": "holds"}
    assert _demo().differences(KNOWN, found) == []


@pytest.mark.parametrize(
    ("found", "named"),
    [
        pytest.param(
            {"money.minimum:part/cape": "holds", "money.quote-date:way/bckl": "doubtful"},
            "money.minimum:part/cape should be fails; it is holds.",
            id="another verdict",
        ),
        pytest.param(
            {"money.minimum:part/cape": "fails"},
            "money.quote-date:way/bckl should be doubtful; it is absent.",
            id="one is absent",
        ),
        pytest.param(
            {**KNOWN, "money.rate:line/line": "unchecked"},
            "money.rate:line/line is unchecked; nothing was expected of it.",
            id="one too many",
        ),
    ],
)
def test_each_difference_is_named(found, named):
    assert _demo().differences(KNOWN, found) == [named]
