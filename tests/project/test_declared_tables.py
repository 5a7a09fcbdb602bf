"""A table is declared once, and all that is said of it anywhere follows from that."""

import importlib.util
import subprocess
import sys
from fractions import Fraction
from pathlib import Path
from string import Formatter

import pytest

from reports.lines import real_size, reviewed
from sixwright.kernel.errors import QuantityError
from sixwright.project.check_cells import Notation, typed
from sixwright.project.columns import (
    ABOVE_0,
    ABOVE_0_TO_1,
    ANY,
    BELOW_1,
    BETWEEN_0_AND_1,
    NOT_NEGATIVE,
    ONE_TO_7,
    CellType,
    ColumnSchema,
)
from sixwright.project.tables import GROUPS, LARGE_TABLES, TABLES
from sixwright.reports.pages.tables import table_page

ROOT = Path(__file__).resolve().parents[2]
ALL = (*TABLES, *LARGE_TABLES)
EACH = [pytest.param(table, id=table.name) for table in ALL]
NEW = Path(__file__).with_name("a_new_table.py")


@pytest.mark.parametrize("table", EACH)
def test_a_table_says_what_it_is_and_what_its_columns_mean(table):
    assert table.one
    assert table.title
    assert table.meaning.endswith(".")
    assert [column.name for column in table.columns if not column.meaning] == []
    assert not any(column.meaning.endswith(".") for column in table.columns)


@pytest.mark.parametrize("table", EACH)
def test_what_a_table_names_is_there(table):
    columns = {column.name: column for column in table.columns}
    assert len(columns) == len(table.columns)
    assert set(table.key) <= set(columns)
    named = {name for _, name, _, _ in Formatter().parse(table.called) if name}
    assert named <= set(columns)
    tables = {each.name for each in TABLES}
    assert {name for column in table.columns for name in column.refers} <= tables
    if table.currency:
        by = columns[table.currency]
        assert by.cell is CellType.CURRENCY or by.refers


def test_each_table_and_each_key_is_declared_once():
    names = [table.name for table in ALL]
    assert len(set(names)) == len(names) > 25
    assert sum(len(of.tables) for of in GROUPS) == len(TABLES)
    files = [table.file for table in ALL if table.file != "line.toml"]
    assert len(set(files)) == len(files)


@pytest.mark.parametrize(
    ("bounds", "inside", "outside"),
    [
        (NOT_NEGATIVE, ["0", "7"], ["-0.001"]),
        (ABOVE_0, ["0.001"], ["0", "-1"]),
        (ABOVE_0_TO_1, ["0.001", "1"], ["0", "1.001"]),
        (BELOW_1, ["0", "0.999"], ["-0.001", "1"]),
        (BETWEEN_0_AND_1, ["0.001", "0.999"], ["0", "1"]),
        (ONE_TO_7, ["1", "7"], ["0.999", "7.001"]),
        (ANY, ["-9", "0", "9"], []),
    ],
    ids=lambda value: getattr(value, "words", ""),
)
def test_a_range_allows_what_its_words_say(bounds, inside, outside):
    assert all(bounds.allows(Fraction(number)) for number in inside)
    assert not any(bounds.allows(Fraction(number)) for number in outside)


@pytest.mark.parametrize(
    ("column", "words", "is_unknown"),
    [
        (ColumnSchema("mass_g", CellType.NUMBER), "not known", True),
        (ColumnSchema("name", CellType.TEXT), "none", False),
        (ColumnSchema("cap", CellType.COUNT, empty="no limit"), "no limit", False),
        (ColumnSchema("way", CellType.ID, empty="not known"), "not known", True),
    ],
    ids=["a number", "a text", "a number that may be left out", "a text that something rests on"],
)
def test_an_empty_cell_means_what_its_column_says(column, words, is_unknown):
    assert column.when_empty == words
    assert column.is_unknown_when_empty is is_unknown


LISTED = ColumnSchema("hazards", CellType.WORDS, choices=("magnet", "cell"), also=("none",))


@pytest.mark.parametrize(
    ("text", "words"),
    [("magnet", ("magnet",)), ("cell  magnet cell", ("cell", "magnet")), ("none", ("none",))],
)
def test_words_that_are_listed_are_read(text, words):
    assert typed(text, LISTED, Notation(None)) == words


@pytest.mark.parametrize(
    ("text", "found"), [("magnets", "magnets"), ("cell none", "none"), ("none none cell", "none")]
)
def test_other_words_are_refused_with_those_there_are(text, found):
    with pytest.raises(QuantityError) as refused:
        typed(text, LISTED, Notation(None))
    assert refused.value.found == found
    assert refused.value.expected == "words of magnet, cell; or none alone"


@pytest.mark.parametrize(
    ("column", "said"),
    [
        (
            ColumnSchema("mass_g", CellType.NUMBER, unit="g", meaning="mass of one"),
            "mass of one (g)",
        ),
        (
            ColumnSchema("yield", CellType.SHARE, allowed=ABOVE_0_TO_1, meaning="good ones"),
            "good ones; above 0 and at most 1",
        ),
        (
            ColumnSchema(
                "hazards", CellType.WORDS, choices=("a", "b"), also=("none",), meaning="what hurts"
            ),
            "what hurts: `a`, `b`, or `none`",
        ),
    ],
    ids=["a unit", "bounds", "words"],
)
def test_a_column_says_its_unit_its_bounds_and_its_words(column, said):
    assert column.in_full == said


def test_a_page_of_a_table_says_all_that_the_docs_say_of_its_columns():
    docs = (ROOT / "docs/folder.md").read_text(encoding="utf-8").replace("`", "")
    judged = reviewed(real_size(parts=4, boxes=1))
    for name in ("parts", "ways", "editions", "line"):
        fold = table_page(judged, name).blocks[-1]
        for row in fold.blocks[0].rows:
            label, column, meaning, empty = (cell.value for cell in row.cells)
            assert f"| {column} | {meaning} | {empty} |" in docs, label


def _folder_docs():
    spec = importlib.util.spec_from_file_location("folder_docs", ROOT / "tools/folder_docs.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_docs_of_the_folder_are_current():
    text = (ROOT / "docs/folder.md").read_text(encoding="utf-8")
    assert _folder_docs().folder_text(text) == text, "python tools/folder_docs.py writes it anew"


def test_one_declaration_is_read_named_edited_exported_and_documented(tmp_path):
    """A table of moulds, declared in a process of its own; no other line of code knows of it."""
    run = subprocess.run(
        [sys.executable, str(NEW), str(tmp_path)], capture_output=True, text=True, check=False
    )
    assert run.returncode == 0, run.stderr
    said = run.stdout
    assert "moulds.csv, row 2, column shots" in said
    assert "expected a whole number, above 0, found “0”" in said
    assert "moulds.csv, row 2, column part" in said
    assert "the id of a part" in said
    assert "title Moulds" in said
    assert "answer One row a mould. It stands in moulds.csv." in said
    assert "form Add a mould: name, shots" in said
    assert "told The mould Lantern mould was added." in said
    assert "told Shots of Lantern mould was not known and is now 40." in said
    assert "told Cost of Lantern mould was not known and is now 12 CNY." in said
    assert "told Lender of Lantern mould was empty and is now FZ." in said
    assert "sheet moulds" in said
    assert "| `shots` | how many it lasts; above 0 | not known |" in said
    assert "| `lender` | whose it is | ours |" in said
