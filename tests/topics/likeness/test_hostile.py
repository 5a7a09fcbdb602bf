"""Scenes made to fool it: never an error, never a right that is wrong."""

import json
from collections import Counter
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from sixwright.kernel.intervals import Verdict
from sixwright.reports.wording.words import say
from sixwright.topics.likeness import checks, pictures
from sixwright.topics.likeness.as_json import as_json
from sixwright.topics.likeness.compute import answer
from topics.likeness import truth
from topics.likeness.errors import headed
from topics.likeness.numbers import FOUR_300
from topics.likeness.truth import person, scene, true_correction

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


OTHER = {"left": "right", "right": "left", "mid": "mid"}


def of(still, change):
    """The sightings of one still (or of all: None) changed, or left out where change gives None."""
    rows = [change(s) if still in {None, s.still} else s for s in GIVEN.sightings]
    return replace(GIVEN, sightings=tuple(row for row in rows if row is not None))


def stills(change):
    return replace(GIVEN, stills={k: change(s) for k, s in GIVEN.stills.items()})


def renamed(still):
    """Left and right marked the other way round."""
    return of(still, lambda s: replace(s, side=OTHER[s.side]))


def turned(s):
    """Mirrored, and marked as if it were not."""
    return replace(s, side=OTHER[s.side],
                   place_px=(GIVEN.stills[s.still].width_px - 1 - s.place_px[0], s.place_px[1]),
                   )  # fmt: skip


def doubled(times):
    """Every still again and again, with its sightings copied."""
    more = {f"{k}-{n}": replace(s, id=f"{k}-{n}") for k, s in GIVEN.stills.items()
            for n in range(times)}  # fmt: skip
    rows = [replace(s, still=f"{s.still}-{n}") for s in GIVEN.sightings for n in range(times)]
    return replace(GIVEN, stills=GIVEN.stills | more, sightings=(*GIVEN.sightings, *rows))


CORNERS = {"endocanthion": "exocanthion", "exocanthion": "endocanthion"}


def other_person(*ids):
    """Stills of somebody else among those of the person."""
    who = person(rng())
    rows = [s for s in GIVEN.sightings if s.still not in ids]
    for shot in SCENE.shots:
        if shot.id in ids:
            rows += truth.sighted(rng(), shot, who, slip=0.3)
    return replace(GIVEN, sightings=tuple(rows))


def photographed(still, slant=0.0004):
    """A photograph of a photograph, taken at a slant: no camera of ours does that."""
    return of(still, lambda s: slanted(s, GIVEN.stills["s0"], slant))


def slanted(sighting, still, slant):
    half = (still.width_px / 2, still.height_px / 2)
    x, y = sighting.place_px[0] - half[0], sighting.place_px[1] - half[1]
    near = 1 + slant * x + slant / 2 * y
    return replace(sighting, place_px=(half[0] + 0.8 * x / near, half[1] + 0.8 * y / near))


def off(still, landmark, by):
    return of(still, lambda s: replace(s, place_px=(s.place_px[0] + by, s.place_px[1]))
              if s.landmark == landmark else s)  # fmt: skip


HOSTILE = {
    "somebody else in one still": other_person("s1"),
    "two people mixed": other_person("s1", "s3", "s5"),
    "left for right in one still": renamed("s1"),
    "left for right in all stills": renamed(None),
    "a mirrored still marked as if it were not": of("s2", turned),
    "a burst": scene(3, views=(10.0,) * 7, slip=0.3).inputs,
    "a sculpt of twice the size": placed(lambda _i, p: tuple(2 * v for v in p)),
    "a sculpt at full size": placed(lambda _i, p: tuple(6 * v for v in p)),
    "a sculpt a hundred metres away": placed(lambda _i, p: tuple(v + 1e5 for v in p)),
    "a photograph of a photograph": photographed("s1"),
    "a photograph of a photograph, from the side": photographed("s1", 0.0008),
    "photographs of photographs": photographed(None),
    "photographs of photographs, from the side": photographed(None, 0.0008),
    "corners of the eyes named the other way round": of(
        None, lambda s: replace(s, landmark=CORNERS.get(s.landmark, s.landmark))
    ),
    "focal lengths of a telescope": stills(lambda s: replace(s, focal_px=1e9, focal_sd_log=0.02)),
    "focal lengths of nothing": stills(lambda s: replace(s, focal_px=1e-6)),
    "focal lengths sure to nothing": stills(
        lambda s: replace(s, focal_px=3000.0, focal_sd_log=0.0)
    ),
    "spreads of zero": of(None, lambda s: replace(s, sd_px=0.0)),
    "spreads of a kilometre": of(None, lambda s: replace(s, sd_px=1e6)),
    "one still sure beyond reason": of(
        None, lambda s: replace(s, sd_px=1e-3 if s.still == "s1" else 1e4)
    ),
    "stills copied with their sightings": doubled(3),
    "squeezed to a line": stills(lambda s: replace(s, squeeze=1e-3)),
    "squeezed stills that are not": stills(lambda s: replace(s, squeeze=3.0)),
    "a size of one pixel": stills(lambda s: replace(s, width_px=1.0, height_px=1.0)),
    "a size of nothing": stills(lambda s: replace(s, width_px=0.0, height_px=0.0)),
    "a size of ten million pixels": stills(lambda s: replace(s, width_px=1e7, height_px=1e7)),
    "places far outside": of(None, lambda s: replace(s, place_px=(1e8, s.place_px[1]))),
    "one place far outside": off("s1", "pronasale", 1e6),
    "the nose marked elsewhere in all stills": off(None, "pronasale", 40.0),
    "all said to be mirrored": stills(lambda s: replace(s, mirrored=True)),
    "only the middle marked": of(None, lambda s: s if s.side == "mid" else None),
    "only contours": of(None, lambda s: replace(s, how="contour")),
    "no number in a cell": of(
        None,
        lambda s: (
            replace(s, place_px=(float("nan"), s.place_px[1])) if s.landmark == "pronasale" else s
        ),
    ),
    "no end in a cell": of("s1", lambda s: replace(s, place_px=(float("inf"), s.place_px[1]))),
    "no number of a landmark": placed(lambda i, p: (float("nan"), 0.0, 0.0) if i == 3 else p),
    "a tolerance of nothing": replace(
        GIVEN, sculpts={"head": replace(GIVEN.sculpts["head"], tolerance_mm=1e-9)}
    ),
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
    "somebody else in one still", "two people mixed", "left for right in one still",
    "left for right in all stills", "a mirrored still marked as if it were not",
    "a photograph of a photograph",
    "focal lengths of a telescope", "focal lengths of nothing",
    "focal lengths sure to nothing", "spreads of zero", "spreads of a kilometre",
    "one still sure beyond reason", "stills copied with their sightings", "squeezed to a line",
    "squeezed stills that are not", "one place far outside", "all said to be mirrored",
    "the nose marked elsewhere in all stills", "only the middle marked", "no number in a cell",
    "no end in a cell", "no number of a landmark", "a tolerance of nothing",
    "one still", "two stills", "stills all the same", "the nose sighted once",
    "every second sighting shifted", "one still of something else",
    "a still with three sightings", "lens data ten times too long",
    "one still's lens data ten times too long", "lens data ten times too short",
    "stills wrongly of one camera", "sightings said to be perfect",
    "sightings said to be worthless", "sightings anywhere", "all sightings in one place",
    "photographs of photographs, from the side",
}  # fmt: skip
PROVES_NOTHING = {
    "a burst", "left for right in all stills", "a sculpt left for right", "spreads of a kilometre",
    "a size of one pixel", "a size of nothing", "a size of ten million pixels",
    "places far outside", "all said to be mirrored", "only contours", "a tolerance of nothing",
    "two people mixed",
    "no still", "one still", "two stills", "stills all the same", "stills all alike",
    "all landmarks in one place", "landmarks in a line", "a sculpt a hundred times too large",
    "three landmarks placed", "sightings anywhere", "all sightings in one place",
    "no size of any still", "sightings said to be worthless", "placements said to be worthless",
    "nobody depicted",
}  # fmt: skip


@cache
def solved(name):
    return answer(HOSTILE[name])


@pytest.mark.parametrize("name", HOSTILE)
def test_it_answers_and_calls_nothing_right_that_is_wrong(name):
    inputs, answered = HOSTILE[name], solved(name)
    findings = checks.findings(inputs, answered)
    pictures.pictures(inputs, answered)
    json.dumps(as_json(answered), allow_nan=False)
    found = answered.rounds[0]
    holding = [mark for mark in found.landmarks if mark.verdict is Verdict.HOLDS]
    if name in PROVES_NOTHING:
        assert holding == []
        assert any(f.verdict is Verdict.UNCHECKED and f.remedy for f in findings)
    if name in TRUE and holding:
        moves = true_correction(SCENE, dict(found.gauge))
        for mark in holding:
            assert np.linalg.norm(moves[mark.key]) <= mark.tolerance_mm


def test_one_still_decides_nothing_in_depth():
    found = solved("one still").rounds[0]
    assert {mark.verdict for mark in found.landmarks} == {Verdict.UNCHECKED}


def test_a_still_of_something_else_is_left_out_and_said_so():
    inputs, answered = HOSTILE["one still of something else"], solved("one still of something else")
    stills = {still.id: still for still in answered.rounds[0].stills}
    assert (stills["s2"].used, stills["s2"].reason) == (False, "unfit")
    finding = next(
        f for f in checks.findings(inputs, answered) if f.id == "likeness.still:still/s2"
    )
    assert finding.verdict is Verdict.FAILS
    assert finding.remedy is not None


def test_pictures_of_pictures_are_mostly_told_by_how_they_are_bent():
    """Not always: what the slant does to all stills alike looks like noise and another head."""
    bent = 0
    for seed in range(8):
        inputs = scene(seed).inputs
        rows = tuple(slanted(s, inputs.stills[s.still], 0.0004) for s in inputs.sightings)
        found = answer(replace(inputs, sightings=rows)).rounds[0]
        bent += {mark.reason for mark in found.landmarks} == {"bent"}
    assert bent >= 6  # of 40 heads 33
    one = "a photograph of a photograph, from the side"
    left_out = {s.id: s.reason for s in solved(one).rounds[0].stills if not s.used}
    assert left_out == {"s1": "slant"}
    finding = told(one)["likeness.still:still/s1"]
    assert (finding.verdict, finding.remedy is None) == (Verdict.DOUBTFUL, False)


def test_a_still_robbed_by_its_wrong_sightings_is_said_to_be_so():
    made = scene(17, wrong=0.1)
    answered = answer(made.inputs)
    finding = next(f for f in checks.findings(made.inputs, answered)
                   if f.id == "likeness.still:still/s5")  # fmt: skip
    assert (finding.verdict, finding.remedy is None) == (Verdict.DOUBTFUL, False)
    told_of = say(finding.message, "en-GB")
    assert told_of.startswith("s5 was left out: no other still puts ")
    assert "left ear notch" in told_of


def test_sightings_of_nothing_fit_no_head():
    found = solved("sightings anywhere").rounds[0]
    assert {mark.reason for mark in found.landmarks} == {"misfit"}


def test_two_names_taken_for_each_other_in_all_stills_are_doubted_and_not_blamed():
    found = solved("corners of the eyes named the other way round").rounds[0]
    odd = {mark.landmark: mark.verdict for mark in found.landmarks if mark.reason == "exchanged"}
    assert odd == dict.fromkeys(CORNERS, Verdict.DOUBTFUL)
    assert not any(mark.reason == "exchanged" for mark in answer(GIVEN).rounds[0].landmarks)


def test_stills_beyond_numbers_are_said_and_no_traceback(monkeypatch):
    def singular(*_):
        raise np.linalg.LinAlgError

    monkeypatch.setattr("sixwright.topics.likeness.compute.person_fit", singular)
    answered = answer(GIVEN)
    assert {s.reason for s in answered.rounds[0].stills} == {"unsolved"}
    findings = checks.findings(GIVEN, answered)
    assert {f.verdict for f in findings if f.rule == "still"} == {Verdict.UNCHECKED}
    assert {mark.verdict for mark in answered.rounds[0].landmarks} == {Verdict.UNCHECKED}


def test_a_still_with_three_sightings_is_not_used_and_says_how_many_it_needs():
    inputs, answered = (
        HOSTILE["a still with three sightings"],
        solved("a still with three sightings"),
    )
    still = next(s for s in answered.rounds[0].stills if s.id == "s3")
    assert (still.used, still.reason, still.sightings) == (False, "sightings", 3)
    finding = next(
        f for f in checks.findings(inputs, answered) if f.id == "likeness.still:still/s3"
    )
    assert (finding.verdict, finding.missing) == (Verdict.UNCHECKED, ("sightings/s3",))


def test_lens_data_that_the_stills_contradict_are_named_and_not_used():
    wrong = solved("one still's lens data ten times too long").rounds[0]
    plain = answer(GIVEN).rounds[0]
    flaws = {s.id: [f.kind for f in s.flaws] for s in wrong.stills if s.flaws}
    assert flaws == {"s1": ["focal"]}
    for one, other in zip(wrong.landmarks, plain.landmarks, strict=True):
        if one.correction_mm and other.correction_mm:
            assert one.correction_mm == pytest.approx(other.correction_mm, abs=0.02)


def test_a_lone_sighting_is_never_judged():
    mark = next(m for m in solved("the nose sighted once").rounds[0].landmarks
                if m.landmark == "pronasale")  # fmt: skip
    assert (mark.sightings, mark.verdict, mark.reason) == (1, Verdict.UNCHECKED, "one-sighting")


def told(name):
    return {f.id: f for f in checks.findings(HOSTILE[name], solved(name))}


def test_a_head_left_for_right_is_doubted_once_and_no_still_is_blamed():
    """Five of six stills fit only mirrored: rather the head than all of them."""
    for name in ("a sculpt left for right", "left for right in all stills"):
        found = told(name)
        side = found["likeness.side:round/r1"]
        assert (side.verdict, side.measured.value >= 5) == (Verdict.DOUBTFUL, True)
        assert side.remedy is not None
        blamed = [f.id for f in found.values() if f.rule == "still" and f.verdict in
                  {Verdict.FAILS, Verdict.DOUBTFUL}]  # fmt: skip
        assert blamed == []
        marks = solved(name).rounds[0].landmarks
        assert {mark.verdict for mark in marks} == {Verdict.UNCHECKED}
    assert not any(f.rule == "side" for f in told("one still").values())


def test_left_and_right_marked_the_other_way_round_are_named():
    """What is not symmetrical in the person tells, mirrored and not."""
    for name, still, reason in (("left for right in one still", "s1", "sides"),
                                ("a mirrored still marked as if it were not", "s2", "swapped"),
                                ):  # fmt: skip
        found = next(s for s in solved(name).rounds[0].stills if s.id == still)
        assert (found.used, found.reason) == (False, reason)
        finding = told(name)[f"likeness.still:still/{still}"]
        assert (finding.verdict, finding.remedy is None) == (Verdict.FAILS, False)


def test_somebody_elses_still_does_not_pass():
    found = told("somebody else in one still")
    rules = ("still", "sighting", "left-out")
    odd = [found[f"likeness.{rule}:still/s1"].verdict for rule in rules
           if f"likeness.{rule}:still/s1" in found]  # fmt: skip
    assert Verdict.FAILS in odd


def test_copied_sightings_count_once():
    """Copied noise is no new evidence: with it as such, right landmarks failed."""
    found = solved("stills copied with their sightings").rounds[0]
    assert {s.reason for s in found.stills if not s.used} == {"copy"}
    assert sum(s.used for s in found.stills) == 6
    plain = answer(GIVEN).rounds[0]
    for one, other in zip(found.landmarks, plain.landmarks, strict=True):
        assert one.correction_mm == other.correction_mm
        assert one.verdict is other.verdict


def test_a_size_of_another_file_is_named():
    for name in ("a size of one pixel", "a size of ten million pixels", "places far outside"):
        finding = told(name)["likeness.still:still/s1"]
        assert (finding.verdict, finding.missing) == (
            Verdict.UNCHECKED, ("stills/s1/width_px", "stills/s1/height_px"))  # fmt: skip


def test_one_place_far_outside_is_only_one_wrong_sighting():
    stills_ = {s.id: s for s in solved("one place far outside").rounds[0].stills}
    assert ("pronasale", "mid") in stills_["s1"].rejected
    assert all(s.used for s in stills_.values())


def test_a_place_that_is_lost_along_the_line_of_sight_turns_no_frame_to_itself():
    """An ear notch that two poor stills see was 16 mm off, where nothing held it to the sculpt;
    with it 19 of 25 failed, by up to 8."""
    made = headed(5, "independent", **FOUR_300)
    found = answer(made.inputs).rounds[0]
    weights = dict(found.gauge)
    assert max(weights.values()) < 5 * sorted(weights.values())[-4]
    truth = true_correction(made, weights)
    for mark in found.landmarks:
        if mark.off_mm is not None:
            assert mark.off_mm.low < np.linalg.norm(truth[mark.key]) + 0.2, mark.key
