"""An outline drawn, moved, cut and taken away, as rows of outlines.csv."""

from dataclasses import replace

import pytest

from sixwright.kernel.errors import InputError
from sixwright.line.likeness import Still
from sixwright.project.records import rows_of
from sixwright.workflows.outlining import MOST, OutlineEdit, drawn, outline_stands, outlines_on

STILLS = {"quay": Still("quay", width_px=600.0, height_px=400.0)}
ROWS = {
    f"quay/jaw-left/{n}": {"still": "quay", "outline": "jaw-left", "point": str(n), "x_px": x,
                           "y_px": "20", "sd_px": "1.5", "note": "mine"}
    for n, x in ((2, "30"), (1, "10"), (10, "50"))
}  # fmt: skip
THERE = rows_of({"outlines": ROWS})
WAS = "10,20 30,20 50,20"
NEW = OutlineEdit("quay", "chin", (("10.13", "5"), ("12", "6")), "soft", "")


def line(*points, was=WAS):
    return OutlineEdit("quay", "jaw-left", tuple(points), "sharp", was)


def test_a_new_outline_is_a_row_a_point_to_a_quarter_of_a_pixel():
    changes = drawn({}, STILLS, NEW)
    assert [dict(c.add) for c in changes] == [
        {"still": "quay", "outline": "chin", "point": n, "x_px": x, "y_px": y, "sd_px": "4"}
        for n, x, y in (("1", "10.25", "5"), ("2", "12", "6"))
    ]


def test_rows_stand_in_the_order_of_their_points():
    assert outline_stands(outlines_on(THERE, "quay")["jaw-left"]) == WAS


def test_a_moved_point_changes_its_own_cell_alone():
    (change,) = drawn(THERE, STILLS, line(("10", "20"), ("31", "20"), ("50", "20")))
    assert (change.id, change.column, change.was, change.value) == (
        "quay/jaw-left/2", "x_px", "30", "31")  # fmt: skip
    assert drawn(THERE, STILLS, line(("10", "20"), ("30", "20"), ("50", "20"))) == ()


def test_a_point_taken_away_or_added_leaves_the_others_their_rows():
    changes = drawn(THERE, STILLS, line(("10", "20"), ("50", "20")))
    moved, gone = changes
    assert (moved.id, moved.column, moved.value) == ("quay/jaw-left/2", "x_px", "50")
    assert (gone.id, gone.remove) == ("quay/jaw-left/10", True)
    (added,) = drawn(THERE, STILLS, line(("10", "20"), ("30", "20"), ("50", "20"), ("70", "20")))
    assert added.add["point"] == "11"
    assert [c.remove for c in drawn(THERE, STILLS, line())] == [True] * 3


@pytest.mark.parametrize(
    ("asked", "why"),
    [
        (replace(NEW, still="pier"), "no still “pier”"),
        (replace(NEW, outline="elbow"), "“elbow” is no outline"),
        (replace(NEW, points=(("601", "5"),)), "outside the still"),
        (replace(NEW, points=(("1", "1"),) * (MOST + 1)), "at most 400 points"),
        (replace(NEW, sure="certain"), "nothing was written"),
        (line(("10", "20"), was="10,20 30,20"), "drawn elsewhere meanwhile"),
    ],
)
def test_what_cannot_be_drawn_says_why(asked, why):
    with pytest.raises(InputError, match=why):
        drawn(THERE, STILLS, asked)
