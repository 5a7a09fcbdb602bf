"""A landmark that was placed where no head has it is asked about; open mouths are not."""

from dataclasses import replace

import pytest

from architecture.reading import ROOT
from sixwright.kernel.intervals import Verdict
from sixwright.line.likeness import Placement
from sixwright.storage.folder import read
from sixwright.topics.likeness.checks_places import far_of
from sixwright.topics.likeness.compute import answer
from sixwright.topics.likeness.topic import LIKENESS
from topics.likeness.truth import scene


def with_moved(inputs, moves):
    return replace(inputs, placements=tuple(
        replace(p, place_mm=moves.get((p.landmark, p.side), p.place_mm)) for p in inputs.placements
    ))  # fmt: skip


def test_a_nose_wing_on_an_ear_and_a_chin_on_the_nape_are_asked_about():
    made = scene(3)
    assert far_of(made.inputs, "r1") == {}
    ear = next(p.place_mm for p in made.inputs.placements if p.landmark == "tragion")
    moves = {("alare", "left"): ear, ("gnathion", "mid"): (0.4, -20.0, -11.3)}
    inputs = with_moved(made.inputs, moves)
    away = far_of(inputs, "r1")
    assert set(away) == set(moves)
    (found,) = [f for f in LIKENESS.findings(inputs, answer(inputs)) if f.rule == "place"]
    assert (found.verdict, found.measured.value) == (Verdict.DOUBTFUL, 2)


def test_left_for_right_is_asked_about():
    made = scene(3)
    at = {(p.landmark, p.side): p.place_mm for p in made.inputs.placements}
    swapped = {("exocanthion", "left"): at["exocanthion", "right"],
               ("exocanthion", "right"): at["exocanthion", "left"]}  # fmt: skip
    assert set(far_of(with_moved(made.inputs, swapped), "r1")) == set(swapped)


@pytest.mark.parametrize("seed", range(20))
def test_no_head_of_the_hidden_truths_is_asked_about(seed):
    assert far_of(scene(seed).inputs, "r1") == {}


def test_no_head_of_the_demo_is_asked_about_not_even_the_one_that_shouts():
    project = read(ROOT / "examples/sluice-keeper").project
    inputs = scene(1).inputs
    for round_ in project.rounds:
        placed = tuple(p for p in project.placements if p.round == round_)
        assert len(placed) > 30
        assert far_of(replace(inputs, placements=placed), round_) == {}


def test_five_landmarks_lay_no_head():
    few = tuple(Placement("r1", key, "mid", (0.0, float(n), 9.0), None) for n, key in enumerate(
        ("glabella", "sellion", "pronasale", "stomion", "gnathion")))  # fmt: skip
    assert far_of(replace(scene(1).inputs, placements=few), "r1") is None
