"""Keeping, taking and opening again, written to a copy of the demo as a page would ask."""

import shutil
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from sixwright.kernel.errors import ChangeError, InputError
from sixwright.kernel.intervals import Verdict
from sixwright.project.records import Change
from sixwright.storage.cache import TOOLS
from sixwright.storage.edits.choice_changes import keep, keep_new, reopen, take
from sixwright.storage.edits.write import write
from sixwright.storage.folder import read
from sixwright.workflows.review import review

DEMO = Path(__file__).resolve().parents[2] / "examples/sluice-keeper"
TODAY = date(2026, 9, 14)
NOON = datetime(2026, 9, 14, 12, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path):
    return read(Path(shutil.copytree(DEMO, tmp_path / "line")))


def put(folder, *changes):
    write(folder, changes, who="Ada", clock=lambda: NOON)
    return read(folder.path)


def tables(folder):
    return {name: content for name, content in folder.files.items() if name.endswith(".csv")}


def verdict(folder, rule, choice):
    found = review(folder.project, today=TODAY, tools=TOOLS).findings
    return next(f.verdict for f in found if f.id == f"choices.{rule}:choice/{choice}")


def taking(folder, choice, alternative, **more):
    stands = review(folder.project, today=TODAY, tools=TOOLS)
    known = {"by": "Ada", "reason": "it saves 4,871", "on": TODAY}
    return take(folder, stands, (choice, alternative), **(known | more))


def test_a_try_is_kept_as_one_more_way_and_no_table_moves(folder):
    tried = [Change("orders", "muster-watch", "quantity", value="200")]
    after = put(folder, keep(folder, "cape-cloth", "More of the Watch", tried))
    assert tables(after) == tables(folder)
    way = after.project.choices["cape-cloth"].alternatives[-1]
    assert (way.id, way.name) == ("more-of-the-watch", "More of the Watch")
    assert way.changes == (replace(tried[0], was="180"),)


def test_a_try_is_kept_as_a_new_choice(folder):
    tried = [Change("editions", "muster-watch", "price", value="299 USD")]
    after = put(folder, keep_new(folder, "What for the Watch?", "Ten more", tried, first="289"))
    choice = after.project.choices["what-for-the-watch"]
    assert [each.name for each in choice.alternatives] == ["289", "Ten more"]
    assert verdict(after, "open", choice.id) is Verdict.HOLDS
    again = put(after, keep_new(after, "What for the Watch?", "Twenty more", tried))
    assert "what-for-the-watch-2" in again.project.choices


def test_a_way_is_taken_with_its_changes_reason_and_numbers(folder):
    after = put(folder, *taking(folder, "cape-cloth", "stock"))
    assert after.project.parts["cape"].way == "cape-stock"
    taken = after.project.choices["cape-cloth"].taken
    assert (taken.alternative, taken.by, taken.date) == ("stock", "Ada", TODAY)
    assert taken.numbers["profit"] == "42326.534558"
    assert verdict(after, "taken", "cape-cloth") is Verdict.HOLDS
    assert verdict(after, "open", "key-metal") is Verdict.HOLDS


def test_the_first_way_can_be_taken_too(folder):
    after = put(folder, *taking(folder, "cape-cloth", "wool"))
    assert tables(after) == tables(folder)
    assert verdict(after, "taken", "cape-cloth") is Verdict.HOLDS


def test_what_was_taken_is_doubted_once_a_price_moved(folder):
    after = put(folder, *taking(folder, "cape-cloth", "stock"))
    moved = put(after, Change("prices", "cape-stock/230", "unit_price", value="98"))
    assert verdict(moved, "taken", "cape-cloth") is Verdict.DOUBTFUL


def test_a_taken_choice_can_be_opened_again(folder):
    after = put(folder, *taking(folder, "cape-cloth", "wool"))
    opened = put(after, reopen(after, "cape-cloth"))
    assert opened.project.choices == folder.project.choices


def test_what_cannot_be_taken_says_why(folder):
    with pytest.raises(ChangeError, match="Did you mean “cape-cloth”"):
        taking(folder, "cape-clot", "stock")
    with pytest.raises(ChangeError, match="Did you mean “stock”"):
        taking(folder, "cape-cloth", "stok")
    with pytest.raises(InputError, match="reason"):
        taking(folder, "cape-cloth", "stock", reason=" ")
    taken = put(folder, *taking(folder, "cape-cloth", "stock"))
    with pytest.raises(ChangeError, match="open choice"):
        taking(taken, "cape-cloth", "wool")
    with pytest.raises(ChangeError, match="open choice"):
        keep(taken, "cape-cloth", "Felt", [Change("orders", "muster-watch", "quantity", value="1")])


def test_a_way_that_no_longer_fits_is_not_taken(folder):
    moved = put(folder, Change("parts", "cape", "way", value="cape-stock"))
    with pytest.raises(ChangeError, match="cape-wool"):
        taking(moved, "cape-cloth", "stock")


def test_nothing_kept_and_nothing_named_is_refused(folder):
    one = [Change("orders", "muster-watch", "quantity", value="1")]
    with pytest.raises(InputError, match="name"):
        keep(folder, "cape-cloth", " ", one)
    with pytest.raises(InputError, match="changes"):
        keep(folder, "cape-cloth", "Felt", [])
    with pytest.raises(InputError, match="question"):
        keep_new(folder, "", "Felt", one)
