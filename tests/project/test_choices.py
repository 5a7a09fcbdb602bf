"""Choices read from their files: what is well formed, and each way in which one is not."""

import tomllib
from datetime import date
from pathlib import Path

import pytest

from sixwright.kernel.errors import FolderError
from sixwright.project.assemble_choices import assemble_choices
from sixwright.project.records import Change, Record
from sixwright.storage.folder import read_files

DEMO = Path(__file__).resolve().parents[2] / "examples/sluice-keeper"
RECORDS = {"parts": {"cape": Record("parts", "cape", {"id": "cape", "way": "wool", "mine": "x"})}}
GOOD = """
question = "Which cloth?"
[[alternatives]]
id = "wool"
name = "Wool"
[[alternatives]]
id = "stock"
[[alternatives.changes]]
table = "parts"
id = "cape"
column = "way"
was = "wool"
value = "stock"
"""
TAKEN = """
[taken]
alternative = "stock"
date = 2026-09-14
by = "Ada"
reason = "it saves"
numbers = {profit = "12.5", break_even = 500}
"""


def read(text, name="cape-cloth"):
    problems = []
    found = assemble_choices({f"choices/{name}.toml": tomllib.loads(text)}, RECORDS, problems)
    return found, problems


def only_problem(text, name="cape-cloth"):
    found, problems = read(text, name)
    assert found == {}
    assert len(problems) == 1, [str(problem) for problem in problems]
    return problems[0]


def test_a_choice_has_its_question_and_its_alternatives():
    found, problems = read(GOOD)
    assert problems == []
    choice = found["cape-cloth"]
    assert (choice.id, choice.question, choice.file) == (
        "cape-cloth", "Which cloth?", "choices/cape-cloth.toml",
    )  # fmt: skip
    assert [(each.id, each.name) for each in choice.alternatives] == [
        ("wool", "Wool"), ("stock", "stock"),
    ]  # fmt: skip
    assert choice.first.changes == ()
    change = Change("parts", "cape", column="way", was="wool", value="stock")
    assert choice.alternatives[1].changes == (change,)
    assert choice.taken is None


def test_what_was_taken_is_read_with_its_numbers():
    taken = read(GOOD + TAKEN)[0]["cape-cloth"].taken
    assert (taken.alternative, taken.date, taken.by) == ("stock", date(2026, 9, 14), "Ada")
    assert taken.numbers == {"profit": "12.5", "break_even": "500"}


@pytest.mark.parametrize(
    ("written", "kept"),
    [
        ("value = 12", "12"),
        ("value = true", "yes"),
        ("value = [3, 4]", "3 4"),
        ("value = 2026-01-02", "2026-01-02"),
        ('value = ""', ""),
    ],
)
def test_a_value_is_taken_as_a_table_would_write_it(written, kept):
    text = GOOD.replace('value = "stock"', written)
    assert read(text)[0]["cape-cloth"].alternatives[1].changes[0].value == kept


def test_a_row_can_be_added_or_removed():
    added = GOOD.replace('column = "way"\nwas = "wool"\nvalue = "stock"', 'add = {kind = "prop"}')
    assert read(added)[0]["cape-cloth"].alternatives[1].changes[0].add == {"kind": "prop"}
    gone = GOOD.replace('column = "way"\nwas = "wool"\nvalue = "stock"', "remove = true")
    assert read(gone)[0]["cape-cloth"].alternatives[1].changes[0].remove


def test_a_column_of_the_producers_own_can_be_changed():
    text = GOOD.replace('column = "way"', 'column = "mine"')
    assert read(text)[1] == []


def test_a_cell_that_changed_since_is_no_error_of_reading():
    assert read(GOOD.replace('was = "wool"', 'was = "felt"'))[1] == []


def test_a_row_that_is_gone_is_no_error_of_reading():
    assert read(GOOD.replace('id = "cape"', 'id = "cloak"'))[1] == []


BAD = {
    "no question": (GOOD.replace("question", "asks"), "question", None),
    "an empty question": (GOOD.replace("Which cloth?", " "), "question", None),
    "one alternative": ('question = "?"\n[[alternatives]]\nid = "a"', "alternatives", None),
    "an id with capitals": (GOOD.replace('id = "stock"\n', 'id = "Stock Cloth"\n'),
                            "alternatives[2].id", "stock-cloth"),
    "an id twice": (GOOD.replace('id = "stock"\n', 'id = "wool"\n'), "alternatives[2].id", None),
    "no such table": (GOOD.replace('"parts"', '"pats"'),
                      "alternatives[2].changes[1].table", "parts"),
    "the table of acceptances": (GOOD.replace('"parts"', '"accepted"'),
                                 "alternatives[2].changes[1].table", None),
    "no such column": (GOOD.replace('"way"', '"wey"'),
                       "alternatives[2].changes[1].column", "way"),
    "no value": (GOOD.replace('value = "stock"', ""), "alternatives[2].changes[1].value", None),
    "a table for a value": (GOOD.replace('value = "stock"', "value = {a = 1}"),
                            "alternatives[2].changes[1].value", None),
    "two kinds of change": (GOOD + "remove = true", "alternatives[2].changes[1]", None),
    "no kind of change": (GOOD.replace('column = "way"\n', ""), "alternatives[2].changes[1]",
                          None),
    "a misspelt key": (GOOD.replace("was =", "wass ="), "alternatives[2].changes[1].wass", "was"),
    "a cell twice": (GOOD + GOOD[GOOD.index("[[alternatives.changes]]"):],
                     "alternatives[2].changes[2]", None),
    "changes in the first": (GOOD.replace('name = "Wool"', 'changes = [{table = "parts"}]'),
                             "alternatives[1].changes", None),
    "an alternative that changes nothing": (GOOD[: GOOD.index("[[alternatives.changes]]")],
                                            "alternatives[2].changes", None),
    "taken what is not there": (GOOD + TAKEN.replace('"stock"', '"stok"'), "taken.alternative",
                                "stock"),
    "taken on no day": (GOOD + TAKEN.replace("2026-09-14", '"2026-02-30"'), "taken.date", None),
    "taken without a date": (GOOD + TAKEN.replace("date = 2026-09-14", ""), "taken.date", None),
    "taken by nobody": (GOOD + TAKEN.replace('"Ada"', '""'), "taken.by", None),
    "taken for no reason": (GOOD + TAKEN.replace("reason", "motive"), "taken.reason", None),
}  # fmt: skip


@pytest.mark.parametrize("text, key, near", BAD.values(), ids=BAD.keys())  # noqa: PT006
def test_a_file_that_is_no_choice_is_refused_with_its_key(text, key, near):
    problem = only_problem(text)
    assert problem.file == "choices/cape-cloth.toml"
    assert problem.key == key
    assert problem.suggestion == near
    assert problem.expected
    assert problem.found


def test_a_files_name_is_the_choices_id():
    assert only_problem(GOOD, "Cape Cloth").suggestion == "cape-cloth.toml"


def test_every_fault_of_every_file_is_told():
    problems = []
    bad = tomllib.loads(GOOD.replace('"parts"', '"pats"').replace("Which cloth?", ""))
    assemble_choices({"choices/a.toml": bad, "choices/b.toml": bad}, RECORDS, problems)
    assert [problem.file for problem in problems] == ["choices/a.toml"] * 2 + ["choices/b.toml"] * 2


def demo_files():
    return {
        path.relative_to(DEMO).as_posix(): path.read_bytes()
        for path in [
            *DEMO.glob("*.toml"),
            *DEMO.glob("*.csv"),
            *sorted(DEMO.glob("choices/*.toml")),
        ]
    }


def test_the_demo_has_its_three_choices():
    project = read_files(DEMO, demo_files()).project
    assert set(project.choices) == {"cape-cloth", "key-metal", "muster-hair"}
    assert [len(each.alternatives[1].changes) for each in project.choices.values()] == [1, 13, 2]


@pytest.mark.parametrize("content", [b"question = ", b"\xff\xfe", b""])
def test_a_folder_with_a_broken_choice_is_refused_and_names_it(content):
    with pytest.raises(FolderError) as caught:
        read_files(DEMO, demo_files() | {"choices/cape-cloth.toml": content})
    assert {problem.file for problem in caught.value.problems} == {"choices/cape-cloth.toml"}
