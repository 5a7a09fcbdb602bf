"""New bytes of a choice's file: what was there stays as it was, and reads as it was meant."""

import tomllib
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.kernel.errors import InputError
from sixwright.project.assemble_choices import assemble_choices
from sixwright.project.choices import Alternative, Choice, Decision
from sixwright.project.records import Change
from sixwright.storage.tables.choices_text import (
    new_choice,
    with_alternative,
    with_taken,
    without_taken,
)

CAPE = Path(__file__).resolve().parents[2] / "examples/sluice-keeper/choices/cape-cloth.toml"
FELT = Alternative(
    "felt",
    "Felt “thin”, 0.4\\",
    (
        Change("parts", "cape", column="way", was="cape-wool", value="cape-felt"),
        Change("ways", "cape-felt", add={"part": "cape", "maker": 'F"B', "note": "a\nb"}),
        Change("contents", "muster-watch/cape", remove=True),
    ),
)
NUMBERS = {"profit": "42326.534558", "margin_after_fixed_share/both-tides": "138.7"}
TAKEN = Decision("stock", date(2026, 9, 14), "Ada", "it’s “enough”\nfor now", NUMBERS)
INLINE = b"""question = "?"   # asked twice
alternatives = [
  {id = "a"},
  {id = "b", changes = [{table = "parts", id = "x", column = "way", value = "y"}]},
]
"""


def read(content):
    problems = []
    document = tomllib.loads(content.decode("utf-8").removeprefix("\ufeff"))
    found = assemble_choices({"choices/it.toml": document}, {}, problems)
    assert problems == [], [str(problem) for problem in problems]
    return found["it"]


def test_an_alternative_is_added_at_the_end_and_nothing_else_moves():
    before = CAPE.read_bytes()
    after = with_alternative(before, FELT)
    assert after.startswith(before)
    assert read(after).alternatives == (*read(before).alternatives, FELT)


def test_what_is_taken_is_added_at_the_end_and_nothing_else_moves():
    before = CAPE.read_bytes()
    after = with_taken(before, TAKEN)
    assert after.startswith(before)
    assert read(after).taken == TAKEN
    assert read(after).alternatives == read(before).alternatives


def test_opened_again_it_is_as_it_was():
    before = CAPE.read_bytes()
    assert read(without_taken(with_taken(before, TAKEN))) == read(before)


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"], ids=["plain", "marked"])
def test_a_list_of_alternatives_in_one_keeps_its_comments(mark):
    after = with_alternative(mark + INLINE, FELT)
    assert after.startswith(mark + b'question = "?"   # asked twice\n')
    assert read(after).alternatives == (*read(INLINE).alternatives, FELT)


def test_lines_end_as_the_files_own():
    before = CAPE.read_bytes().replace(b"\n", b"\r\n")
    after = with_taken(with_alternative(before, FELT), TAKEN)
    assert after.startswith(before)
    assert after.replace(b"\r\n", b"").count(b"\n") == 0


def test_a_file_without_an_end_of_line_is_ended_first():
    before = CAPE.read_bytes().rstrip()
    assert read(with_taken(before, TAKEN)).taken == TAKEN


def test_a_new_choice_is_read_as_it_was_meant():
    made = Choice("it", "Felt “or” not?", (Alternative("now", "As it is"), FELT))
    assert read(new_choice(made)) == made


text = st.text(st.characters(blacklist_categories=["Cs", "Cc"]), min_size=1, max_size=20).filter(
    lambda value: value == value.strip()
)


@given(text, text, text)
def test_any_words_come_back_as_they_went(question, name, value):
    change = Change("parts", "x", column="note", was=value, value=name)
    made = Choice("it", question, (Alternative("a", name), Alternative("b", name, (change,))))
    assert read(new_choice(made)) == made
    taken = Decision("b", date(2026, 1, 2), name, question, {"profit": "1"})
    assert read(with_taken(new_choice(made), taken)).taken == taken


def test_what_cannot_be_is_refused():
    cape = CAPE.read_bytes()
    taken = with_taken(cape, TAKEN)
    with pytest.raises(InputError, match="new to this choice"):
        with_alternative(cape, Alternative("stock", "again", FELT.changes))
    with pytest.raises(InputError, match="open it again"):
        with_alternative(taken, FELT)
    with pytest.raises(InputError, match="taken already"):
        with_taken(taken, TAKEN)
    with pytest.raises(InputError, match="one of"):
        with_taken(cape, Decision("silk", date(2026, 1, 2), "Ada", "why"))
