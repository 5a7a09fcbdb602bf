"""A real photograph, of which no truth exists: the answer must be modest.

scikit-image's `data.astronaut` (NASA, public domain; scikit-image 0.26). The landmarks were marked
by eye by us on the picture enlarged seven times; the sculpt is a plain face that has nothing to do
with the person shown. Only the likeness's modesty is tested, nothing of the person.
"""

from dataclasses import replace

import pytest

from sixwright.kernel.intervals import Verdict
from sixwright.line.likeness import Placement, Sighting, Still
from sixwright.topics.likeness.compute import answer
from sixwright.topics.likeness.person.solution import person_fit
from topics.likeness.truth import PLACES, inputs_of

# On rows 60 to 219 and columns 150 to 299, enlarged 7.093 times (1064 x 1135 px as looked at).
ENLARGED = 1064 / 150
MARKED = {
    ("exocanthion", "right"): (308, 287), ("endocanthion", "right"): (437, 306),
    ("endocanthion", "left"): (619, 318), ("exocanthion", "left"): (768, 309),
    ("sellion", "mid"): (530, 300), ("glabella", "mid"): (530, 235),
    ("pronasale", "mid"): (527, 470), ("subnasale", "mid"): (527, 520),
    ("alare", "right"): (440, 480), ("alare", "left"): (622, 480),
    ("labiale-superius", "mid"): (520, 570), ("labiale-inferius", "mid"): (515, 665),
    ("cheilion", "right"): (378, 566), ("cheilion", "left"): (668, 574),
    ("superciliare", "right"): (345, 200), ("superciliare", "left"): (720, 222),
    ("pogonion", "mid"): (505, 780),
}  # fmt: skip


@pytest.fixture(scope="module")
def inputs():
    data = pytest.importorskip("skimage.data")
    height, width = data.astronaut().shape[:2]
    rows = [Sighting("portrait", *key, (150 + x / ENLARGED - 0.5, 60 + y / ENLARGED - 0.5), 1.0,
                     None, "seen") for key, (x, y) in MARKED.items()]  # fmt: skip
    face = {}
    for (name, side), (x, y, z) in PLACES.items():
        face[name, side] = (x / 6, y / 6, z / 6)
        if side == "left":
            face[name, "right"] = (-x / 6, y / 6, z / 6)
    placed = [Placement("r1", *key, place, 0.2) for key, place in face.items()]
    still = Still("portrait", width_px=float(width), height_px=float(height), person="who",
                  cropped=True)  # fmt: skip
    return replace(inputs_of([], rows, placed), stills={"portrait": still})


@pytest.fixture(scope="module")
def found(inputs):
    return answer(inputs).rounds[0]


def test_nothing_is_judged_from_one_photograph(found):
    assert {mark.verdict for mark in found.landmarks} == {Verdict.UNCHECKED}
    assert found.smallest_mm == (None, None, None) or found.smallest_mm[2] is None


def test_its_focal_length_is_not_pretended_to_be_known(found):
    (still,) = found.stills
    low, high = float(still.f_px.low), float(still.f_px.high)
    # From a metre to some metres away at the scale seen: a portrait lens on this frame.
    assert 60 < low < float(still.f_px.value) < high < 30_000
    assert high / low > 3


def test_it_is_neither_mirrored_nor_squeezed(found):
    (still,) = found.stills
    assert (still.mirrored, still.flaws) == (False, ())


def test_the_camera_stands_before_the_face_and_upright(inputs):
    """No round's frame can be given by one still; in the person's own the camera looks at it."""
    fit = person_fit(inputs, "who")
    (turn,) = fit.fitted.solved.cameras.rotation
    right, down, forward = turn
    assert -forward @ [0, 0, 1] > 0.8
    assert -down @ [0, 1, 0] > 0.8
    assert right @ [1, 0, 0] > 0.8  # the figure's left is on the right as it looks at you
