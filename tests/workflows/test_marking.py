"""A mark on a still as changes of the rows, and the order in which landmarks are asked for."""

from dataclasses import replace

import pytest

from sixwright.kernel.errors import InputError
from sixwright.line.landmarks import LANDMARKS, MARKED_FIRST, marking_order
from sixwright.line.likeness import Still
from sixwright.project.records import rows_of
from sixwright.workflows.marking import Mark, marked, stands

STILLS = {"quay": Still("quay", width_px=600.0, height_px=400.0)}
NEW = Mark("quay", "exocanthion", "left", "100.13", "50.9", "soft", "seen", "")
ROW = {"still": "quay", "landmark": "exocanthion", "side": "left", "x_px": "100.25", "y_px": "51",
       "sd_px": "4", "how": "point", "state": "seen", "note": "wet hair"}  # fmt: skip
THERE = rows_of({"sightings": {"quay/exocanthion/left": ROW}})
WAS = stands(ROW)


def test_a_first_mark_is_a_row_to_a_quarter_of_a_pixel():
    (change,) = marked({}, STILLS, NEW)
    key = {"still": "quay", "landmark": "exocanthion", "side": "left"}
    assert change.add == {**key, "x_px": "100.25", "y_px": "51", "sd_px": "4", "state": "seen"}


def test_a_mark_that_moves_changes_its_own_cells_and_no_other():
    changes = marked(THERE, STILLS, replace(NEW, x_px="-0.4", sure="guess", was=WAS))
    assert {(c.column, c.was, c.value) for c in changes} == {
        ("x_px", "100.25", "-0.5"), ("sd_px", "4", "10")}  # fmt: skip
    assert marked(THERE, STILLS, replace(NEW, was=WAS)) == ()


def test_what_is_hidden_has_no_place():
    changes = marked(THERE, STILLS, replace(NEW, state="hidden", was=WAS))
    assert {c.column: c.value for c in changes} == {
        "x_px": "", "y_px": "", "sd_px": "", "state": "hidden"}  # fmt: skip


@pytest.mark.parametrize(
    ("mark", "said"),
    [
        (replace(NEW, still="gate"), "no still"),
        (replace(NEW, landmark="elbow"), "no landmark"),
        (replace(NEW, side="mid"), "no side"),
        (replace(NEW, landmark="pronasale"), "no side"),
        (replace(NEW, x_px="600"), "outside"),
        (replace(NEW, y_px="-1"), "outside"),
        (replace(NEW, x_px="nan"), "outside"),
        (replace(NEW, x_px="1e999"), "outside"),
        (replace(NEW, x_px=""), "no place"),
        (replace(NEW, x_px="=1+1"), "no place"),
        (replace(NEW, state="proposed"), "sharp, soft or a guess"),
        (replace(NEW, sure="certain"), "sharp, soft or a guess"),
        (replace(NEW, was=WAS), "meanwhile"),
    ],
)
def test_what_cannot_be_a_mark_is_refused_with_the_reason(mark, said):
    with pytest.raises(InputError, match=said):
        marked({}, STILLS, mark)


def test_a_mark_of_another_window_is_not_overwritten():
    with pytest.raises(InputError, match="elsewhere meanwhile"):
        marked(THERE, STILLS, replace(NEW, x_px="9"))


def test_a_mark_that_is_sent_again_after_its_answer_was_lost_is_no_conflict():
    """It was written, and the page does not know: nobody else has marked it."""
    assert marked(THERE, STILLS, NEW) == ()


def test_a_still_of_unknown_size_takes_no_mark():
    with pytest.raises(InputError, match="wide"):
        marked({}, {"quay": Still("quay")}, NEW)


def test_each_landmark_is_asked_for_once_and_the_six_first():
    order = marking_order()
    assert order[:6] == MARKED_FIRST
    assert len(set(order)) == len(order)
    assert len(order) == sum(2 if mark.paired else 1 for mark in LANDMARKS.values())
