"""A still whose wrong sightings turned its camera is taken again from where the others say.

Truth and sightings are made by topics.likeness.truth, which shares nothing with the solver.
"""

import numpy as np
import pytest

from sixwright.numerics import again
from sixwright.topics.likeness import compute_person
from topics.likeness.truth import scene


def rejected(made):
    fit = compute_person.person_fit(made.inputs, "who")
    return {
        (row.still, row.landmark, row.side)
        for row, kept in zip(fit.rows, fit.kept, strict=True)
        if not kept
    }


@pytest.mark.parametrize("seed", [29, 30])
def test_the_camera_of_a_profile_is_found_again(seed, monkeypatch):
    made = scene(seed, wrong=0.1)
    in_profile = {key for key in made.wrong if key[0] == "s5"}
    assert {key for key in rejected(made) if key[0] == "s5"} == in_profile
    monkeypatch.setattr(compute_person, "looked_again", lambda _problem, found: found)
    assert {key for key in rejected(made) if key[0] == "s5"} != in_profile  # or this tests nothing


def test_one_camera_is_exchanged_and_the_others_stay():
    cameras = compute_person.person_fit(scene(1).inputs, "who").fitted.solved.cameras
    changed = again._with(cameras, 2, cameras.only([4]))
    assert np.array_equal(changed.rotation[2], cameras.rotation[4])
    others = [0, 1, 3, 4, 5]
    assert np.array_equal(changed.rotation[others], cameras.rotation[others])
    assert changed.log_focal[2] == cameras.log_focal[4]
    assert np.array_equal(changed.anchor, cameras.anchor)
