"""What a page says of a landmark on a sculpt becomes a row of landmarks.csv, or a refusal."""

from dataclasses import replace

import pytest

from sixwright.kernel.errors import InputError
from sixwright.project.records import rows_of
from sixwright.workflows.placing import Place, placed

TIP = Place("calm-1", "pronasale", "mid", (0.1, -5.84504, 20.97651), "placed", "")
ROW = {
    "round": "calm-1", "landmark": "pronasale", "side": "mid", "x_mm": "0.1000",
    "y_mm": "-5.8450", "z_mm": "20.9765", "sd_mm": "0.05", "how": "placed",
}  # fmt: skip
STANDS = "0.1000|-5.8450|20.9765|0.05|placed"


def records(**rows):
    tables = {"rounds": {"calm-1": {"id": "calm-1", "sculpt": "calm"}}}
    return rows_of(tables | {"landmarks": dict(rows.items())})


def test_a_place_by_hand_is_a_row_with_its_spread():
    (change,) = placed(records(), TIP)
    assert (change.table, dict(change.add)) == ("landmarks", ROW)


def test_a_carried_place_is_less_sure():
    (change,) = placed(records(), replace(TIP, how="carried"))
    assert (change.add["sd_mm"], change.add["how"]) == ("0.1", "carried")


def test_the_same_once_more_changes_nothing_and_another_only_what_differs():
    there = records(**{"calm-1/pronasale/mid": ROW})
    assert placed(there, replace(TIP, was=STANDS)) == ()
    (change,) = placed(there, replace(TIP, was=STANDS, place_mm=(0.1, -5.845, 21.0)))
    assert (change.column, change.was, change.value) == ("z_mm", "20.9765", "21.0000")


def test_it_is_taken_out():
    there = records(**{"calm-1/pronasale/mid": ROW})
    (change,) = placed(there, replace(TIP, was=STANDS, place_mm=None))
    assert change.remove
    assert placed(records(), replace(TIP, place_mm=None)) == ()


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"was": STANDS}, "placed elsewhere meanwhile"),
        ({"round": "calm-9"}, "no round “calm-9” any more"),
        ({"landmark": "elbow"}, "“elbow” is no landmark"),
        ({"side": "left"}, "has no side “left”"),
        ({"how": "guessed"}, "placed or carried"),
    ],
)
def test_what_does_not_fit_is_refused(wrong, said):
    with pytest.raises(InputError, match=said):
        placed(records(), replace(TIP, **wrong))
