"""Which still is marked next: the one with most detail, and once its side is known, by that."""

from dataclasses import replace

import pytest

from sixwright.line.likeness import Placement, Round, Sculpt, Sighting, Still
from sixwright.line.picture_files import PictureFile
from sixwright.topics.likeness.further.model import Viewpoint
from sixwright.topics.likeness.model import Answer, RoundAnswer, StillAnswer
from sixwright.workflows.rank_stills import ranked_stills
from topics.builders import bolts

MARKS = [("exocanthion", "left"), ("exocanthion", "right"), ("subnasale", "mid"),
         ("cheilion", "left"), ("cheilion", "right"), ("gnathion", "mid"), ("pronasale", "mid"),
         ("sellion", "mid"), ("glabella", "mid"), ("stomion", "mid"), ("alare", "left"),
         ("alare", "right")]  # fmt: skip
FROM_LEFT = ((0.0, 0.0, -1.0), (0.0, -1.0, 0.0), (-1.0, 0.0, 0.0))  # looks along -x
FROM_AHEAD = ((1.0, 0.0, 0.0), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0))
GAINS = (Viewpoint(90.0, 0.0, 0.4, 3), Viewpoint(75.0, 0.0, 0.3, 2), Viewpoint(0.0, 0.0, 0.02, 0))


def project(**marked):
    blurs = {"small": (400, 1.0), "sharp": (1080, 1.0), "soft": (1080, 4.0)}
    stills = {id_: Still(id_, file=f"{id_}.png", width_px=1440, height_px=blurs[id_][0])
              for id_ in blurs}  # fmt: skip
    seen = [Sighting(id_, *key, (1.0, 1.0), state="seen")
            for id_, count in marked.items() for key in MARKS[:count]]  # fmt: skip
    pictures = {f"{id_}.png": PictureFile("", 1440, high, blur_px=blur)
                for id_, (high, blur) in blurs.items()}  # fmt: skip
    return replace(bolts(), stills=stills, sightings=tuple(seen), pictures=pictures)


def heads(**rotations):
    answers = tuple(StillAnswer(id_, used=True, rotation=turn) for id_, turn in rotations.items())
    one = RoundAnswer("r", "m", 1, "keeper", "neutral", latest=True, stills=answers, gains=GAINS)
    return Answer((one,))


def order(project, answer=None):
    return [one.still.id for one in ranked_stills(project, answer)]


def test_before_marking_size_and_sharpness_decide_together():
    assert order(project()) == ["sharp", "small", "soft"]
    (first, *_) = ranked_stills(project(), None)
    assert first.detail_px == pytest.approx(1080)


def test_once_six_are_marked_what_their_side_tells_decides():
    marked = project(soft=6, small=7)
    known = heads(soft=FROM_LEFT, small=FROM_AHEAD)
    assert order(marked, known) == ["soft", "small", "sharp"]
    (soft, small, _) = ranked_stills(marked, known)
    assert (soft.side.yaw_deg, soft.side.gain) == (90.0, 0.4)
    assert (small.side.yaw_deg, small.side.gain) == (0.0, 0.02)
    assert order(project(soft=5), known)[0] == "sharp"  # of five, its side is not said yet


def test_a_still_with_enough_marks_comes_last():
    assert order(project(sharp=12), heads(sharp=FROM_LEFT)) == ["small", "soft", "sharp"]


def test_a_still_whose_landmarks_of_the_sculpt_are_all_settled_comes_last():
    marked = project(sharp=6)
    sculpt = Sculpt("calm", person="keeper")
    placed = tuple(Placement("calm-1", *key, (0.0, 0.0, 0.0)) for key in MARKS[:8])
    line = replace(
        marked,
        stills={id_: replace(still, person="keeper") for id_, still in marked.stills.items()},
        sculpts={"calm": sculpt},
        rounds={"calm-1": Round("calm-1", sculpt="calm", number=1)},
        placements=placed,
    )
    assert order(line)[0] == "sharp"  # two of the sculpt's eight are still to be looked for
    hidden = tuple(Sighting("sharp", *key, None, state="hidden") for key in MARKS[6:8])
    done = replace(line, sightings=line.sightings + hidden)
    assert order(done) == ["small", "soft", "sharp"]
    proposed = tuple(replace(each, state="proposed") for each in hidden)
    assert order(replace(line, sightings=line.sightings + proposed))[0] == "sharp"


def test_what_was_not_opened_comes_after_what_was():
    line = project()
    assert order(replace(line, pictures={"soft.png": line.pictures["soft.png"]}))[0] == "soft"
