"""What outlines tell: laws of their joint noise and belief, and a head with a skin found out."""

from collections import Counter
from dataclasses import replace

import numpy as np
import pytest

from sixwright.kernel.intervals import Verdict
from sixwright.kernel.topic import Tools
from sixwright.line.files import FileMark
from sixwright.line.likeness import OutlinePoint, Target
from sixwright.reports.wording.words import say
from sixwright.storage.cache import memo
from sixwright.storage.meshes.load import MeshLoader
from sixwright.topics.likeness import checks_outlines, shots
from sixwright.topics.likeness.alignment.observed import Lines, Observed
from sixwright.topics.likeness.belief.shapes import Shape, covariance_of, fitted_belief
from sixwright.topics.likeness.compute import answer
from sixwright.topics.likeness.model import Answer
from sixwright.topics.likeness.outlines.drawn import Across, DrawnOutline
from sixwright.topics.likeness.outlines.evidence import drawing_noise
from sixwright.topics.likeness.rounds.outline_distances import STRETCH_MM, worst_stretch
from sixwright.topics.likeness.solids import Solid
from sixwright.topics.likeness.topic import LIKENESS
from storage.meshes import made as written
from topics.likeness.skins import skinned
from topics.likeness.truth import true_correction

RNG = np.random.Generator(np.random.Philox(11))
PLACES = RNG.uniform(-1, 1, (20, 3)) * np.array([10.0, 18.0, 8.0])
RIM = RNG.uniform(-1, 1, (30, 3)) * np.array([10.0, 18.0, 8.0])
OUT = RNG.normal(size=(30, 3))
OUT /= np.linalg.norm(OUT, axis=1)[:, None]


def seen(mix=None, off=None, noise=0.05):
    mix = np.eye(30) if mix is None else mix
    size = 60 + len(mix)
    return Observed(PLACES, np.zeros(size) if off is None else off, noise**2 * np.eye(size),
                np.zeros(20), lines=Lines(RIM, OUT, mix))  # fmt: skip


def test_what_is_believed_of_landmarks_and_outlines_together_is_a_covariance():
    for mix in (np.eye(30), RNG.normal(size=(8, 30))):
        whole = covariance_of(Shape(0.2, 7.0, 1.5, 0.15), seen(mix))
        assert whole == pytest.approx(whole.T)
        assert np.linalg.eigvalsh(whole).min() > -1e-9


def test_outlines_leave_what_is_believed_of_landmarks_as_it_was():
    bare = Observed(PLACES, np.zeros(60), np.eye(60), np.zeros(20))
    shape = Shape(0.2, 7.0, 1.5, 0.15)
    assert covariance_of(shape, seen())[:60, :60] == pytest.approx(covariance_of(shape, bare))


def test_an_outline_through_a_landmark_moves_as_the_landmark_along_its_normal():
    """The law of a linear map: Var(n d) = n' Var(d) n, but for what lies between landmarks."""
    lines = Lines(PLACES[:1], OUT[:1], np.eye(1))
    at = Observed(PLACES, np.zeros(61), np.eye(61), np.zeros(20), lines=lines)
    whole = covariance_of(Shape(0.2, 7.0, 1.5, 0.15), at)
    alone = Shape(0.2, 7.0, 1.5, 0.15)
    own = covariance_of(alone, Observed(PLACES, np.zeros(60), np.eye(60), np.zeros(20)))[:3, :3]
    near = at.beside()[0].reshape(20, 3)[1:]
    rest = 0.15**2 * (near**2).sum() + at.grain()[60, 60]
    assert whole[60, 60] == pytest.approx(OUT[0] @ own @ OUT[0] + rest)
    assert whole[60, :3] == pytest.approx(own @ OUT[0])


def test_a_similarity_of_the_whole_head_is_no_error():
    """Turned, moved and made larger, landmarks and outlines alike: nothing is off."""
    turn = np.array([[0, -0.02, 0.01], [0.02, 0, -0.03], [-0.01, 0.03, 0]])
    move = np.array([0.3, -0.2, 0.1])

    def moved(places):
        return places @ turn.T + 0.01 * places + move

    off = np.concatenate([moved(PLACES).ravel(), (OUT * moved(RIM)).sum(axis=1)])
    found = fitted_belief(seen(off=off)).sculpt
    kept = np.abs(found.middle())
    assert kept.max() < 1e-6


def test_told_in_fewer_sums_a_law_of_the_whole_stays():
    """Orthonormal sums of all of an outline's moves tell all that the moves themselves do."""
    off = np.concatenate([RNG.normal(0, 0.2, 60), RNG.normal(0, 0.2, 30)])
    mix = np.linalg.qr(RNG.normal(size=(30, 30)))[0]
    whole = fitted_belief(seen(off=off)).sculpt.middle()
    told = fitted_belief(seen(mix, np.concatenate([off[:60], mix @ off[60:]]))).sculpt.middle()
    assert told == pytest.approx(whole, abs=1e-6)


def line_of(at_mm, off_px=0.0, sd_px=1.5, a_mm=20.0):
    count = len(at_mm)
    drawn = DrawnOutline("s", "jaw", np.zeros((count, 2)), np.full(count, sd_px))
    empty = np.zeros((count, 3))
    return Across(drawn, 0, np.arange(count), empty, empty, np.ones(count), np.zeros((count, 2)),
                  np.zeros((count, 2)), np.full(count, a_mm), np.full(count, off_px),
                  np.asarray(at_mm, float))  # fmt: skip


def test_points_of_one_drawing_share_their_error_the_more_the_nearer():
    noise = drawing_noise(line_of([0, 0.5, 3.0, 40.0]))
    assert np.diag(noise) == pytest.approx(1.5**2)
    assert noise[0, 1] > noise[0, 2] > noise[0, 3] > 0
    assert noise[0, 3] == pytest.approx(0.3 * 1.5**2, rel=0.01)  # drawn too far out as a whole
    assert np.linalg.eigvalsh(noise).min() > 0


def test_many_points_do_not_make_a_drawing_sure():
    """The mean of any number of points of one drawing is no surer than what it shares."""
    for count in (10, 200):
        noise = drawing_noise(line_of(np.linspace(0, 10, count)))
        assert np.sqrt(noise.mean()) > np.sqrt(0.3) * 1.5


def stretch(off, noise=0.0025, allowed=0.25, span=12.0):
    at = np.linspace(0, span, len(off))
    return worst_stretch(at, np.array(off), noise * np.eye(len(off)), np.zeros((len(off), 2)),
                         allowed)  # fmt: skip


def test_the_stretch_that_is_off_is_found_with_its_side():
    off = np.zeros(61)
    off[30:46] = -0.6
    found = stretch(off)
    assert not found.out
    assert found.start_mm == pytest.approx(6.0)
    assert found.end_mm - found.start_mm == pytest.approx(STRETCH_MM)
    assert float(found.off_mm.low) > 0.5


def test_where_nothing_is_off_the_stretch_that_may_be_off_most_is_told():
    off = np.zeros(61)
    off[:16] = 0.1
    found = stretch(off)
    assert found.start_mm == 0
    assert float(found.off_mm.high) < 0.25


def test_a_right_outline_is_called_wrong_in_one_of_twenty_at_most():
    rng = np.random.Generator(np.random.Philox(5))
    calls = []
    for _ in range(400):
        off = 0.25 + rng.normal(0, 0.2, 61)  # at the edge of what is allowed, all along
        calls.append(stretch(off, 0.04).off_mm.low > 0.25)
    assert np.mean(calls) < 0.075


@pytest.fixture(scope="module")
def jaw():
    made = skinned(3, "jaw")
    solid = Solid(made.sculpt)
    inputs = made.scene.inputs
    return (
        made,
        answer(inputs, lambda _: solid).rounds[0],
        answer(replace(inputs, outlines=())).rounds[0],
    )


def test_from_files_it_is_the_same_and_remembered(jaw, tmp_path, monkeypatch):
    monkeypatch.setenv("SIXWRIGHT_CACHE", str(tmp_path / "cache"))
    made, told, _ = jaw
    (tmp_path / "h.stl").write_bytes(written.stl(made.sculpt))
    inputs = made.scene.inputs
    one = replace(inputs.rounds["r1"], mesh="h.stl", unit="mm", up="+y", front="+z")
    inputs = replace(inputs, rounds={"r1": one}, meshes={"h.stl": FileMark(1, 1)})
    tools = Tools(memo, load=MeshLoader(tmp_path, memo))
    found = LIKENESS.answer(inputs, tools).rounds[0]
    pairs = zip(found.outlines, told.outlines, strict=True)
    differ = [one.outline for one, other in pairs if one.verdict is not other.verdict]
    assert len(differ) <= 1  # a file holds 32 bits, and one lies at its limit
    assert found.hidden is not None
    bare = Tools(memo, load=None)
    assert LIKENESS.answer(inputs, bare).rounds[0].outlines == ()
    assert LIKENESS.answer(inputs, tools).rounds[0] == found


def gonions(one):
    return [mark for mark in one.landmarks if mark.landmark == "gonion"]


def test_a_jaw_too_wide_or_narrow_is_seen_by_its_outlines_and_not_by_its_points(jaw):
    made, told, bare = jaw
    truth = true_correction(made.scene, dict(told.gauge))
    assert all(np.linalg.norm(truth[mark.key]) > 0.35 for mark in gonions(told))
    assert Verdict.FAILS in {mark.verdict for mark in gonions(told)}
    assert Verdict.FAILS not in {mark.verdict for mark in gonions(bare)}
    for mark in gonions(told):
        assert mark.ask_mm[0] == pytest.approx(truth[mark.key][0], abs=0.25)


def test_an_outline_beside_a_point_is_no_second_sighting_of_it(jaw):
    """Marked once and 25 px wrong, such points were called wrong where outlines passed them."""
    made, _, _ = jaw
    points = {("pronasale", "mid"), ("pogonion", "mid"), ("alare", "left"), ("alare", "right")}
    rows, kept = [], set()
    for row in made.scene.inputs.sightings:
        key = (row.landmark, row.side)
        if key in points and key not in kept:
            kept.add(key)
            rows.append(replace(row, place_px=(row.place_px[0] + 15, row.place_px[1] - 20)))
        elif key not in points:
            rows.append(row)
    assert kept == points
    inputs = replace(made.scene.inputs, sightings=tuple(rows))
    one = answer(inputs, lambda _: Solid(made.sculpt)).rounds[0]
    said = {mark.key: (mark.sightings, mark.verdict, mark.reason) for mark in one.landmarks}
    assert {said[key] for key in points} == {(1, Verdict.UNCHECKED, "one-sighting")}


def test_the_outlines_of_that_jaw_are_off_by_what_the_surface_is(jaw):
    _, told, _ = jaw
    judged = [line for line in told.outlines if not line.reason]
    assert len(judged) >= 15
    assert any(line.verdict is Verdict.FAILS and line.outline.startswith("jaw") for line in judged)
    assert not any(line.verdict is Verdict.FAILS and line.outline.startswith("nose")
                   for line in judged)  # fmt: skip
    assert all(line.across >= line.drawn / 2 for line in judged)


def test_without_a_mesh_outlines_say_nothing_and_change_nothing(jaw):
    made, _, _ = jaw
    inputs = made.scene.inputs
    # They still turn the direction that contour sightings tell of.
    points = tuple(row for row in inputs.sightings if row.landmark not in {"gonion", "gnathion"})
    alone = replace(inputs, sightings=points)
    found = answer(alone).rounds[0]
    assert found.outlines == ()
    assert found == answer(replace(alone, outlines=())).rounds[0]


def test_of_another_expression_only_the_nose_tells(jaw):
    made, _, _ = jaw
    solid = Solid(made.sculpt)
    inputs = made.scene.inputs
    stills = {id_: replace(still, expression="laughing") if id_ in {"s3", "s5"} else still
              for id_, still in inputs.stills.items()}  # fmt: skip
    one = answer(replace(inputs, stills=stills), lambda _: solid).rounds[0]
    reasons = {(line.still, line.outline.split("-")[0]): line.reason for line in one.outlines}
    assert reasons["s3", "nose"] == reasons["s5", "nose"] == ""
    assert reasons["s3", "chin"] == reasons["s5", "jaw"] == "expression"
    assert reasons["s4", "chin"] == ""


def test_where_the_sculpt_is_meant_to_differ_no_outline_is_judged(jaw):
    made, told, _ = jaw
    solid = Solid(made.sculpt)
    targets = tuple(Target("head", "gonion", side, (0.5 * sign, 0.0, 0.0))
                    for side, sign in (("left", -1), ("right", 1)))  # fmt: skip
    one = answer(replace(made.scene.inputs, targets=targets), lambda _: solid).rounds[0]
    places = np.array([mark.place_mm for mark in gonions(one)])
    count = {(line.still, line.outline): line.across for line in told.outlines}
    less = [line for line in one.outlines if line.across < count[line.still, line.outline]]
    assert len(less) >= 4
    assert all("jaw" in line.outline or "cheek" in line.outline for line in less)
    assert {line.reason for line in less} <= {"", "meant"}
    assert len(places) == 2


def test_hair_is_shown_and_never_taken_for_the_head(jaw):
    made, _, bare = jaw
    solid = Solid(made.sculpt)
    inputs = made.scene.inputs
    hair = tuple(replace(row, outline=f"hair-{row.outline}") for row in inputs.outlines)
    one = answer(replace(inputs, outlines=hair), lambda _: solid).rounds[0]
    assert {line.reason for line in one.outlines} == {"apart"}
    assert all(line.verdict is Verdict.UNCHECKED for line in one.outlines)
    assert sum(bool(line.places) for line in one.outlines) >= 15
    assert one.landmarks == bare.landmarks


def test_each_outline_is_one_finding_in_words(jaw):
    _, told, _ = jaw
    found = checks_outlines.findings(Answer((told,)))
    assert len(found) == sum(not line.reason for line in told.outlines)
    assert Counter(f.verdict for f in found) == Counter(
        line.verdict for line in told.outlines if not line.reason
    )
    wrong = next(f for f in found if f.verdict is Verdict.FAILS)
    words = say(wrong.message, "en-GB").replace("\N{NO-BREAK SPACE}", " ")
    assert " lies 0." in words
    assert "side that of head, round 1 (" in words


def test_an_outline_that_no_head_can_judge_says_why(jaw):
    made, _, _ = jaw
    solid = Solid(made.sculpt)
    inputs = made.scene.inputs
    across = tuple(OutlinePoint("s0", "wart", n, (500.0 + 9 * n, 600.0), 1.5) for n in range(12))
    one = answer(replace(inputs, outlines=across), lambda _: solid).rounds[0]
    (finding,) = checks_outlines.findings(Answer((one,)))
    assert finding.verdict is Verdict.UNCHECKED
    assert say(finding.message, "en-GB") == "The wart in s0 runs along no outline of head, round 1."


def test_the_picture_through_a_still_has_its_outlines(jaw):
    _, told, _ = jaw
    line = next(line for line in told.outlines if line.verdict is Verdict.FAILS)
    trace = shots._trace(line)
    assert len(trace.drawn_px) == len(trace.sculpt_px) == len(trace.wrong) == len(line.places)
    assert any(trace.wrong)
    assert not all(trace.wrong)
    assert abs(trace.off_mm) == pytest.approx(float(line.worst.off_mm.value))
