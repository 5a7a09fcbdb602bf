"""Scenes made to fool it: never an error, never a right that is wrong."""

import json
from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from sixwright.kernel.intervals import Verdict
from sixwright.topics.likeness import checks, model, pictures
from sixwright.topics.likeness.compute import answer
from topics.likeness.truth import scene, true_correction

SCENE = scene(1, slip=0.5)
GIVEN = SCENE.inputs


def rng():
    return np.random.Generator(np.random.Philox(5))


def first(count):
    kept = list(GIVEN.stills)[:count]
    return replace(GIVEN, stills={k: GIVEN.stills[k] for k in kept},
                   sightings=tuple(s for s in GIVEN.sightings if s.still in kept))  # fmt: skip


def copies(count):
    rows = [replace(s, still=f"a{k}") for k in range(count)
            for s in GIVEN.sightings if s.still == "s0"]  # fmt: skip
    stills = {f"a{k}": replace(GIVEN.stills["s0"], id=f"a{k}") for k in range(count)}
    return replace(GIVEN, stills=stills, sightings=tuple(rows))


def placed(change):
    return replace(GIVEN, placements=tuple(replace(p, place_mm=change(i, p.place_mm))
                                           for i, p in enumerate(GIVEN.placements)))  # fmt: skip


def sighted(change):
    return replace(GIVEN, sightings=tuple(replace(s, place_px=change(i, s))
                                          for i, s in enumerate(GIVEN.sightings)))  # fmt: skip


def lens(factor, only=None):
    stills = {
        id_: replace(still, focal_px=shot.focal * factor if only in {None, id_} else None,
                     focal_sd_log=0.02)
        for (id_, still), shot in zip(GIVEN.stills.items(), SCENE.shots, strict=True)
    }  # fmt: skip
    return replace(GIVEN, stills=stills)


def three_sightings():
    counts, rows = Counter(), []
    for row in GIVEN.sightings:
        counts[row.still] += 1
        if row.still != "s3" or counts["s3"] <= 3:
            rows.append(row)
    return replace(GIVEN, sightings=tuple(rows))


def random_places():
    draws = rng().uniform(0, 1200, (len(GIVEN.sightings), 2))
    return sighted(lambda i, _s: (float(draws[i, 0]), float(draws[i, 1])))


def one_still_random():
    draws = rng().uniform(0, 1200, (len(GIVEN.sightings), 2))
    return sighted(lambda i, s: tuple(map(float, draws[i])) if s.still == "s2" else s.place_px)


HOSTILE = {
    "no still": first(0),
    "one still": first(1),
    "two stills": first(2),
    "stills all the same": copies(4),
    "stills all alike": scene(2, views=(0.0, 1.0, 0.5, -1.0), slip=0.5).inputs,
    "all landmarks in one place": placed(lambda _i, _p: (0.0, 0.0, 10.0)),
    "twelve landmarks in one place": placed(
        lambda i, p: GIVEN.placements[0].place_mm if i < 12 else p
    ),
    "landmarks in a line": placed(lambda _i, p: (p[0], 0.0, 0.0)),
    "landmarks in a plane": placed(lambda _i, p: (p[0], p[1], 0.0)),
    "a sculpt a hundred times too large": placed(lambda _i, p: tuple(100 * v for v in p)),
    "a sculpt left for right": placed(lambda _i, p: (-p[0], p[1], p[2])),
    "no landmark placed": replace(GIVEN, placements=()),
    "three landmarks placed": replace(GIVEN, placements=GIVEN.placements[:3]),
    "the nose sighted once": replace(
        GIVEN,
        sightings=tuple(s for s in GIVEN.sightings if s.landmark != "pronasale" or s.still == "s1"),
    ),
    "sightings anywhere": random_places(),
    "every second sighting shifted": sighted(
        lambda i, s: (s.place_px[0] + 200 * (i % 2), s.place_px[1])
    ),
    "one still of something else": one_still_random(),
    "all sightings in one place": sighted(lambda _i, _s: (500.0, 500.0)),
    "a still with three sightings": three_sightings(),
    "lens data ten times too long": lens(10),
    "one still's lens data ten times too long": lens(10, "s1"),
    "lens data ten times too short": lens(0.1),
    "stills wrongly of one camera": replace(
        GIVEN, stills={k: replace(s, camera="c") for k, s in GIVEN.stills.items()}
    ),
    "no size of any still": replace(
        GIVEN, stills={k: replace(s, width_px=None) for k, s in GIVEN.stills.items()}
    ),
    "sightings said to be perfect": replace(
        GIVEN, sightings=tuple(replace(s, sd_px=1e-3) for s in GIVEN.sightings)
    ),
    "sightings said to be worthless": replace(
        GIVEN, sightings=tuple(replace(s, sd_px=100.0) for s in GIVEN.sightings)
    ),
    "placements said to be worthless": replace(
        GIVEN, placements=tuple(replace(p, sd_mm=3.0) for p in GIVEN.placements)
    ),
    "nobody depicted": replace(
        GIVEN, sculpts={"head": replace(GIVEN.sculpts["head"], person=None)}
    ),
}
# Where the landmarks are those of the hidden truth, so that a false `holds` can be told.
TRUE = {
    "one still", "two stills", "stills all the same", "the nose sighted once",
    "every second sighting shifted", "one still of something else",
    "a still with three sightings", "lens data ten times too long",
    "one still's lens data ten times too long", "lens data ten times too short",
    "stills wrongly of one camera", "sightings said to be perfect",
    "sightings said to be worthless", "sightings anywhere", "all sightings in one place",
}  # fmt: skip
PROVES_NOTHING = {
    "no still", "one still", "two stills", "stills all the same", "stills all alike",
    "all landmarks in one place", "landmarks in a line", "a sculpt a hundred times too large",
    "three landmarks placed", "sightings anywhere", "all sightings in one place",
    "no size of any still", "sightings said to be worthless", "placements said to be worthless",
    "nobody depicted",
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_it_answers_and_calls_nothing_right_that_is_wrong(name):
    inputs = HOSTILE[name]
    answered = answer(inputs)
    findings = checks.findings(inputs, answered)
    pictures.pictures(inputs, answered)
    json.dumps(model.as_json(answered), allow_nan=False)
    found = answered.rounds[0]
    holding = [mark for mark in found.landmarks if mark.verdict is Verdict.HOLDS]
    if name in PROVES_NOTHING:
        assert holding == []
        assert any(f.verdict is Verdict.UNCHECKED and f.remedy for f in findings)
    if name in TRUE and holding:
        truth = true_correction(SCENE, dict(found.gauge))
        for mark in holding:
            assert np.linalg.norm(truth[mark.key]) <= mark.tolerance_mm


def test_one_still_decides_nothing_in_depth():
    found = answer(HOSTILE["one still"]).rounds[0]
    assert {mark.verdict for mark in found.landmarks} == {Verdict.UNCHECKED}


def test_a_still_of_something_else_is_left_out_and_said_so():
    inputs = HOSTILE["one still of something else"]
    answered = answer(inputs)
    stills = {still.id: still for still in answered.rounds[0].stills}
    assert (stills["s2"].used, stills["s2"].reason) == (False, "unfit")
    finding = next(
        f for f in checks.findings(inputs, answered) if f.id == "likeness.still:still/s2"
    )
    assert finding.verdict is Verdict.FAILS
    assert finding.remedy is not None


def test_a_still_with_three_sightings_is_not_used_and_says_how_many_it_needs():
    inputs = HOSTILE["a still with three sightings"]
    answered = answer(inputs)
    still = next(s for s in answered.rounds[0].stills if s.id == "s3")
    assert (still.used, still.reason, still.sightings) == (False, "sightings", 3)
    finding = next(
        f for f in checks.findings(inputs, answered) if f.id == "likeness.still:still/s3"
    )
    assert (finding.verdict, finding.missing) == (Verdict.UNCHECKED, ("sightings/s3",))


def test_lens_data_that_the_stills_contradict_are_named_and_not_used():
    wrong = answer(HOSTILE["one still's lens data ten times too long"]).rounds[0]
    plain = answer(GIVEN).rounds[0]
    flaws = {s.id: [f.kind for f in s.flaws] for s in wrong.stills if s.flaws}
    assert flaws == {"s1": ["focal"]}
    for one, other in zip(wrong.landmarks, plain.landmarks, strict=True):
        if one.correction_mm and other.correction_mm:
            assert one.correction_mm == pytest.approx(other.correction_mm, abs=0.02)


def test_a_lone_sighting_is_never_judged():
    mark = next(m for m in answer(HOSTILE["the nose sighted once"]).rounds[0].landmarks
                if m.landmark == "pronasale")  # fmt: skip
    assert (mark.sightings, mark.verdict, mark.reason) == (1, Verdict.UNCHECKED, "one-sighting")
