"""Outlines marked at the wrong place along themselves, where they are believed to say little.

Truth and sightings are made by topics.likeness.truth, which shares nothing with the solver.
"""

from dataclasses import replace

import numpy as np
import pytest

from numerics.scenes import rejected
from sixwright.topics.likeness.compute import answer
from sixwright.topics.likeness.solve import outliers as wrong
from topics.likeness.truth import scene, without_wrong


def shifted(inputs, still, landmark, side, by):
    """The inputs with one sighting at another place, px."""
    rows = [
        replace(s, place_px=(s.place_px[0] + by[0], s.place_px[1] + by[1]))
        if (s.still, s.landmark, s.side) == (still, landmark, side)
        else s
        for s in inputs.sightings
    ]
    return replace(inputs, sightings=tuple(rows))


@pytest.mark.parametrize("by", [60.0, -60.0])
@pytest.mark.parametrize("seed", [0, 1, 2, 5])
def test_a_chin_marked_too_far_along_its_outline_is_named(seed, by, monkeypatch):
    """In profile the underside of the chin runs from front to back: across the image."""
    inputs = shifted(scene(seed).inputs, "s5", "gnathion", "mid", (by, 0.0))
    assert rejected(inputs) == {("s5", "gnathion", "mid")}
    monkeypatch.setattr(wrong, "CONTOUR_PRICE", 1e9)
    assert rejected(inputs) == set()  # or this tests nothing


@pytest.mark.parametrize("by", [60.0, -60.0])
@pytest.mark.parametrize("seed", [0, 1, 4, 6])
def test_of_two_jaw_angles_neither_is_believed_where_one_is_too_far_along(seed, by):
    inputs = shifted(scene(seed).inputs, "s0", "gonion", "left", (0.0, by))
    both = {key for key in rejected(inputs) if key[1:] == ("gonion", "left")}
    assert len(both) == 2


def test_right_outlines_are_seldom_called_wrong():
    """Ten scenes with some 85 outlines, none of them wrong."""
    assert sum(len(rejected(scene(seed).inputs)) for seed in range(10)) <= 1


def test_a_still_that_its_wrong_sightings_leave_too_few_counts_as_if_they_were_not_there():
    made = scene(17, wrong=0.1)
    found, without = (answer(inputs).rounds[0] for inputs in (made.inputs, without_wrong(made)))
    profile, alone = (
        next(s for s in answered.stills if s.id == "s5") for answered in (found, without)
    )
    assert (profile.reason, alone.reason) == ("robbed", "sightings")
    assert {("s5", *key) for key in profile.rejected} == {k for k in made.wrong if k[0] == "s5"}
    for one, other in zip(found.landmarks, without.landmarks, strict=True):
        assert one.sightings == other.sightings
        if other.sightings >= 3:
            assert np.abs(np.subtract(one.correction_mm, other.correction_mm)).max() < 0.01
