"""What is chosen for a sculptor becomes rows of asks.csv, at most one page of them."""

from dataclasses import replace
from datetime import date

import pytest

from sixwright.kernel.errors import InputError
from sixwright.kernel.intervals import Interval, Verdict
from sixwright.kernel.sentences import Sentence
from sixwright.line.likeness import Round, SculptAsk
from sixwright.project.records import rows_of
from sixwright.topics.likeness.wishes import Wish
from sixwright.workflows.sculptor import MOST, asks_of, kept
from topics.builders import bolts

DAY = date(2026, 9, 14)


def wish(id_, landmark="", side="", about="nose", direction="0.4 mm in"):
    return Wish(id_, about, landmark, side, Sentence("It."), direction, 0.4,
                Interval(0.4, 0.2, 0.6), 0.9, Verdict.FAILS)  # fmt: skip


NOSE, TIP = wish("nose"), wish("pronasale-mid", "pronasale", "mid", "nose tip")
SIZE = wish("nose-size", direction="0.2 mm smaller a side")
WORDS = {each.id: f"Words of {each.id}." for each in (NOSE, TIP, SIZE)}


def project(*asks):
    rows = {ask.id: {"id": ask.id} for ask in asks}
    return replace(
        bolts(),
        rounds={"m-1": Round("m-1", "m", 1)},
        sculpt_asks={ask.id: ask for ask in asks},
        records=rows_of({"asks": rows}),
    )


def test_what_is_chosen_is_kept_with_its_words_direction_and_millimetres():
    (first, second) = kept(project(), "m-1", (NOSE, TIP), WORDS, DAY)
    assert dict(first.add) == {
        "id": "m-1-nose", "subject": "nose", "sculpt": "m", "round": "m-1",
        "words": "Words of nose.", "direction": "0.4 mm in", "mm": "0.4", "from": "likeness",
        "state": "open", "date": "2026-09-14",
    }  # fmt: skip
    assert (second.add["landmark"], second.add["side"]) == ("pronasale", "mid")


def test_what_is_asked_already_is_not_asked_twice_but_after_it_was_withdrawn():
    stands = SculptAsk("m-1-nose", "m-1", "m", "nose", direction="0.4 mm in")
    with pytest.raises(InputError, match="Pick what"):
        kept(project(stands), "m-1", (NOSE,), WORDS, DAY)
    (size,) = kept(project(stands), "m-1", (NOSE, SIZE), WORDS, DAY)
    assert size.add["id"] == "m-1-nose-size"
    withdrawn = project(replace(stands, state="withdrawn"))
    assert asks_of(withdrawn, "m-1") == ()
    (again,) = kept(withdrawn, "m-1", (NOSE,), WORDS, DAY)
    assert again.add["id"] == "m-1-nose-2"


def test_one_page_holds_no_more_than_six():
    many = [wish(f"w{n}", about=f"place {n}") for n in range(MOST + 1)]
    words = {each.id: "." for each in many}
    assert len(kept(project(), "m-1", many[:MOST], words, DAY)) == MOST
    with pytest.raises(InputError, match=r"One page holds 6 asks.*0 are on it already, and 7"):
        kept(project(), "m-1", many, words, DAY)
    with pytest.raises(InputError, match="nothing was written"):
        kept(project(), "m-1", (), {}, DAY)
