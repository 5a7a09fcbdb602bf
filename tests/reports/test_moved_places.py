"""A place that was moved is told by how far, and not by each of its coordinates."""

from sixwright.project.records import Change, Record
from sixwright.reports.wording.changes import Manner, all_told
from sixwright.reports.wording.words import say

PLACED, SIGHTED = "level-1/gnathion/mid", "s01/cheilion/left"
RECORDS = {
    "landmarks": {PLACED: Record("landmarks", PLACED, {})},
    "sightings": {SIGHTED: Record("sightings", SIGHTED, {})},
}


def said(*changes, manner=Manner.DONE):
    told = all_told(changes, RECORDS, RECORDS, manner=manner)
    return [say(sentence, "en-GB").replace("\xa0", " ") for sentence in told]


def moved(table, id_, **columns):
    return [Change(table, id_, name, was, now) for name, (was, now) in columns.items()]


def test_a_landmark_of_three_coordinates_is_one_sentence():
    """2, 3 and 6 mm along the axes are 7 mm."""
    changes = moved("landmarks", PLACED, x_mm=("0", "2"), y_mm=("1", "-2"), z_mm=("-6", "0"))
    (sentence,) = said(*changes)
    assert sentence.endswith("was moved by 7.00 mm.")
    assert "under the chin" in sentence


def test_what_else_changed_is_told_beside_it():
    changes = moved("sightings", SIGHTED, x_px=("10", "13"), y_px=("10", "14"), sd_px=("1.5", "4"))
    first, second = said(*changes)
    assert first.endswith("was moved by 5.0 px.")
    assert second.endswith("was 1.5 px and is now 4 px.")


def test_one_coordinate_alone_is_told_as_it_is():
    (sentence,) = said(*moved("sightings", SIGHTED, x_px=("10", "13")))
    assert sentence.endswith("was 10 px and is now 13 px.")


def test_a_place_that_comes_or_goes_is_no_move():
    sentences = said(*moved("sightings", SIGHTED, x_px=("", "13"), y_px=("", "14")))
    assert len(sentences) == 2
    assert not any("moved" in each for each in sentences)


def test_what_is_tried_or_taken_back_says_so():
    changes = moved("sightings", SIGHTED, x_px=("10", "13"), y_px=("10", "14"))
    assert said(*changes, manner=Manner.TRIED)[0].endswith("would move by 5.0 px.")
    assert said(*changes, manner=Manner.AGAIN)[0].endswith("was moved back by 5.0 px.")
