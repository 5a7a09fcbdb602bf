"""A still whose wrong sightings turned its camera is taken again from where the others say.

Truth and sightings are made by topics.likeness.truth, which shares nothing with the solver.
"""

import numpy as np
import pytest

from numerics.scenes import rejected
from sixwright.kernel.intervals import Verdict
from sixwright.topics.likeness.compute import answer
from sixwright.topics.likeness.person import solution
from sixwright.topics.likeness.solve import outliers as wrong
from sixwright.topics.likeness.solve import second_look as again
from topics.likeness.truth import scene, without_wrong


@pytest.mark.parametrize("seed", [30, 42])
def test_the_camera_of_a_profile_is_found_again(seed, monkeypatch):
    made = scene(seed, wrong=0.1)
    in_profile = {key for key in made.wrong if key[0] == "s5"}
    assert {key for key in rejected(made.inputs) if key[0] == "s5"} == in_profile
    monkeypatch.setattr(solution, "looked_again", lambda _problem, found: found)
    assert {
        key for key in rejected(made.inputs) if key[0] == "s5"
    } != in_profile  # or this tests nothing


def test_one_camera_is_exchanged_and_the_others_stay():
    cameras = solution.person_fit(scene(1).inputs, "who").fitted.solved.cameras
    changed = again._with(cameras, 2, cameras.only([4]))
    assert np.array_equal(changed.rotation[2], cameras.rotation[4])
    others = [0, 1, 3, 4, 5]
    assert np.array_equal(changed.rotation[others], cameras.rotation[others])
    assert changed.log_focal[2] == cameras.log_focal[4]
    assert np.array_equal(changed.anchor, cameras.anchor)


@pytest.mark.parametrize("seed", [2, 44])
def test_a_right_sighting_that_was_rejected_comes_back(seed, monkeypatch):
    inputs = without_wrong(scene(seed, wrong=0.1))
    assert rejected(inputs) == set()
    monkeypatch.setattr(
        wrong, "_readmitted", lambda problem, *_: np.zeros(len(problem.sightings), bool)
    )
    assert rejected(inputs) != set()  # or this tests nothing


def test_two_that_are_left_of_three_are_asked_whether_they_agree(monkeypatch):
    """Of the left ear notch one sighting is right and two are wrong: nothing can be said of it."""
    inputs = scene(27, wrong=0.1).inputs

    def ear():
        marks = answer(inputs).rounds[0].landmarks
        return next(m for m in marks if m.key == ("tragion", "left"))

    assert (ear().verdict, ear().sightings) == (Verdict.DOUBTFUL, 0)
    monkeypatch.setattr(wrong, "_agree", lambda *_: True)
    assert ear().sightings == 2


def test_what_comes_back_takes_its_doubt_with_it(monkeypatch):
    """Wrong sightings turned a still; a right one, of a nose wing, went with them."""
    made = scene(15, wrong=0.1)

    def nose_wing():
        marks = answer(made.inputs).rounds[0].landmarks
        return next(m for m in marks if m.key == ("alare", "right"))

    assert rejected(made.inputs) == made.wrong
    assert (nose_wing().sightings, nose_wing().reason) == (5, "")
    monkeypatch.setattr(wrong, "BACK_SHARE", 0.2)
    assert rejected(made.inputs) != made.wrong  # or this tests nothing
    assert nose_wing().sightings == 4
