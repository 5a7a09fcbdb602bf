"""What a row is called, in words that a producer would use."""

import pytest

from sixwright.project.names import cell_name, row_name
from sixwright.project.records import Record


@pytest.mark.parametrize(
    ("table", "id_", "called"),
    [
        ("sightings", "quay/exocanthion/left", "left outer eye corner in quay"),
        ("landmarks", "calm-1/gnathion/mid", "under the chin on calm-1"),
        ("landmarks", "calm-1/scar/right", "right scar on calm-1"),
        ("sightings", "quay/unheard-of/mid", "unheard-of in quay"),
    ],
)
def test_a_landmark_is_called_by_its_plain_name(table, id_, called):
    terms = {"scar": Record("terms", "scar", {"id": "scar", "name": "scar"})}
    assert row_name({"terms": terms}, table, id_) == called


def hands():
    parts = {
        id_: Record("parts", id_, {"id": id_, "name": name})
        for id_, name in (("left", "Open hand"), ("right", "Open hand"), ("fist", "Fist"))
    }
    ways = {
        f"{id_}-way": Record(
            "ways", f"{id_}-way", {"id": f"{id_}-way", "part": id_, "maker": "Yard"}
        )
        for id_ in parts
    }
    return {"parts": parts, "ways": ways}


@pytest.mark.parametrize(
    ("table", "id_", "called"),
    [
        ("parts", "left", "Open hand (left)"),
        ("parts", "fist", "Fist"),
        ("ways", "right-way", "Open hand (right, Yard)"),
        ("ways", "fist-way", "Fist (Yard)"),
        ("contents", "box/right", "Open hand (right) in box"),
        ("prices", "right-way/500", "Open hand (right, Yard), from 500"),
    ],
)
def test_what_shares_its_name_is_told_apart_by_its_id(table, id_, called):
    assert row_name(hands(), table, id_) == called


def test_a_price_that_has_no_row_yet_is_called_by_its_quote():
    assert cell_name(hands(), "prices", "fist-way", "unit_price") == "Price a piece of Fist (Yard)"
    assert cell_name(hands(), "prices", "fist-way/500", "unit_price") == (
        "Price a piece of Fist (Yard), from 500"
    )
