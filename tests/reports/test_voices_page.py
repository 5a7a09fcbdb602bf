"""The page of voices: its first sentences say what goes where and who disagrees, in numbers."""

import csv
from datetime import date
from pathlib import Path

import pytest

from sixwright.reports.document import Answer, Table
from sixwright.reports.pages import document
from sixwright.reports.prompt.text import document_text
from sixwright.reports.wording.words import say
from sixwright.storage.cache import TOOLS
from sixwright.storage.folder import read
from sixwright.workflows.review import review

DEMO = Path(__file__).resolve().parents[2] / "examples/sluice-keeper"
TODAY = date(2026, 9, 14)


@pytest.fixture(scope="module")
def page():
    found = review(read(DEMO).project, today=TODAY, tools=TOOLS, only=("voices",))
    return document(found, "voices")


def sentences(page):
    answer = page.blocks[0]
    assert isinstance(answer, Answer)
    return [say(s, "en-GB").replace("\xa0", " ").replace("\u202f", " ") for s in answer.sentences]


def ratings():
    """Voter to option to level and backer, read by nothing of ours."""
    with (DEMO / "votes.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["poll"] == "heads"]
    found = {}
    for row in sorted(rows, key=lambda row: row["date"]):
        found.setdefault(row["voter"], {})[row["option"]] = int(row["answer"])
    return found, {row["voter"]: row["backer"] for row in rows}


def test_the_first_sentence_says_which_heads_every_buyer_can_have(page):
    answers, _ = ratings()
    calm = sum(
        any(told.get(head, 0) >= 4 for head in ("hd-l2", "hd-l3", "hd-m1"))
        for told in answers.values()
    )
    assert sentences(page)[0] == (
        f"Shouting, Laughing and Level divide nobody and together reach {calm} of {len(answers)} "
        "voters: every buyer can have them."
    )


def test_then_who_disagrees_and_by_how_much(page):
    answers, backers = ratings()
    levels = {who: told["hd-m2"] for who, told in answers.items()}

    def wanting(*kinds):
        these = [level for who, level in levels.items() if backers[who] in kinds]
        return f"{sum(level >= 4 for level in these) / len(these):.0%}".replace("%", " %")

    against = sum(level <= 2 for level in levels.values()) / len(levels)
    assert sentences(page)[1:3] == [
        (
            f"Counting aloud divides them: {wanting('yes', 'no', '')} want it, and "
            f"{100 * against:.0f} % (30 % to 43 %) do not."
        ),
        f"Of backers {wanting('yes')} want it, of others {wanting('no')}.",
    ]


def test_then_the_boxes_that_it_adds_voters_to(page):
    answers, _ = ratings()

    def reach(*heads):
        return sum(any(told.get(h, 0) >= 4 for h in heads) for told in answers.values())

    muster = reach("hd-m1", "hd-m2") - reach("hd-m1")
    rest = ("hd-m1", "hd-l1", "hd-l2", "hd-l3")
    both = reach(*rest, "hd-m2") - reach(*rest)
    assert sentences(page)[3] == (
        f"It belongs in Muster Long Watch ({muster} voters more) and Both Tides ({both} voters "
        "more), as a piece that a buyer can leave out; now every buyer gets it."
    )


def test_then_what_many_ask_and_nobody_has_answered(page):
    assert sentences(page)[4].endswith(
        "voters speak of The lantern’s batteries, and none of them has an answer."
    )
    assert len(sentences(page)) == 5


def test_the_table_of_a_divided_head_has_every_box_and_what_it_does_there(page):
    table = next(b for b in page.blocks if isinstance(b, Table) and "goes" in str(b.name))
    now = {str(row.cells[0].value): row.cells[1].value for row in table.rows}
    assert now == {
        "Muster Watch": "not in it", "Muster Long Watch": "all get it",
        "Low Water Watch": "not in it", "Low Water Long Watch": "not in it",
        "Both Tides": "all get it",
    }  # fmt: skip
    for row in table.rows:
        without, with_it, free, forced = (int(cell.value) for cell in row.cells[2:])
        assert without <= with_it
        assert free <= forced


def test_no_voter_is_on_the_page(page):
    _, backers = ratings()
    text = document_text(page, styled=False)
    assert not [voter for voter in backers if voter in text]
