"""The published schema of line.toml is current, takes good lines, and refuses wrong ones.

Judged by jsonschema, a general-purpose implementation of JSON Schema, draft 2020-12.
"""

import copy
import json
import tomllib
from datetime import date

import pytest
from jsonschema import Draft202012Validator

from architecture.reading import ROOT
from sixwright.importer.sample import sample_files
from sixwright.storage.json_schema import line_schema, schema_text

PUBLISHED = ROOT / "docs/line.schema.json"
CHECK = Draft202012Validator(json.loads(PUBLISHED.read_text(encoding="utf-8")))

# As money.md states the keys.
GOOD = tomllib.loads("""
format = 1
id = "sluice-keeper"
name = "The line"
scale = "1:6"
currency = "USD"
locale = "en-GB"
seed = 7
my_own_key = "kept"
[money]
development = "21200 USD"
spares = 0.03
margin_least = -0.05
[money.labour]
rate = "84 CNY/h"
[money.fees]
share = 0.032
each = "0.30 USD"
[money.freight]
per_m3 = "210 USD"
volume_factor = 1.2
[[looks]]
id = "muster"
[[rates]]
currency = "CNY"
per_unit = 7.20
[[editions]]
id = "muster-watch"
look = "muster"
price = "289 USD"
assembly_minutes = 34
box_mm = [352, 257, 90]
figures = 1
public = [{group = "keys", quantity = 6}]
[[sets]]
id = "both"
editions = ["muster-watch"]
price = 869
""")


def test_the_published_schema_is_current():
    text = PUBLISHED.read_text(encoding="utf-8")
    assert text == schema_text(), "python tools/folder_docs.py writes it anew"


def test_the_schema_is_one_of_draft_2020_12():
    Draft202012Validator.check_schema(line_schema())
    assert line_schema()["$schema"].endswith("draft/2020-12/schema")


def test_a_good_line_is_taken():
    assert [error.message for error in CHECK.iter_errors(GOOD)] == []


def test_a_new_line_is_taken():
    made = tomllib.loads(sample_files(id_="ferry", today=date(2026, 9, 14))["line.toml"])
    assert [error.message for error in CHECK.iter_errors(made)] == []


@pytest.mark.parametrize("path", sorted((ROOT / "examples").glob("*/line.toml")), ids=str)
def test_an_example_is_taken(path):
    made = tomllib.loads(path.read_text(encoding="utf-8"))
    assert [error.message for error in CHECK.iter_errors(made)] == []


@pytest.mark.parametrize(
    ("where", "value"),
    [
        (("format",), 2),
        (("id",), "Key Warden"),
        (("scale",), "sixth"),
        (("currency",), "usd"),
        (("seed",), -1),
        (("money", "spares"), "3 %"),
        (("money", "development"), "21200"),
        (("money", "labour", "rate"), "84 CNY"),
        (("editions", 0, "box_mm"), [352, 257]),
        (("editions", 0, "figures"), 1.5),
        (("editions", 0, "public"), [{"group": "keys"}]),
        (("sets", 0, "editions"), ["Muster Watch"]),
        (("rates", 0, "currency"), "RMB"),
        (("rates", 0, "per_unit"), "seven"),
    ],
    ids=lambda value: ".".join(map(str, value)) if isinstance(value, tuple) else "",
)
def test_a_wrong_value_is_refused_at_its_key(where, value):
    wrong = copy.deepcopy(GOOD)
    inside = wrong
    for step in where[:-1]:
        inside = inside[step]
    inside[where[-1]] = value
    errors = list(CHECK.iter_errors(wrong))
    assert [tuple(error.absolute_path)[: len(where)] for error in errors] == [where] * len(errors)
    assert errors


@pytest.mark.parametrize("key", ["format", "id", "name", "scale", "currency"])
def test_a_line_without_a_key_it_needs_is_refused(key):
    wrong = {name: value for name, value in GOOD.items() if name != key}
    assert len(list(CHECK.iter_errors(wrong))) == 1
