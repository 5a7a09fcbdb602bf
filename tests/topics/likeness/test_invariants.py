"""Laws: what must not change when pixels, frames and names do; expressions told apart."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sixwright.kernel.intervals import Verdict
from sixwright.line.likeness import OutlinePoint, Placement, Round, Sculpt, Target, Term
from sixwright.topics.likeness.compute import answer
from topics.likeness.truth import carved, inputs_of, laid, person, scene, shots, sighted, still_of

MADE = scene(21, slip=0.3)


@pytest.fixture(scope="module")
def plain():
    return answer(MADE.inputs).rounds[0]


def corrections(one, least=3):
    return {m.key: np.array(m.correction_mm) for m in one.landmarks if m.sightings >= least}


def same(one, other, turn=None, abs_=0.004):
    ours, theirs = corrections(one), corrections(other)
    assert set(ours) == set(theirs)
    for key, move in ours.items():
        expected = theirs[key] if turn is None else turn @ theirs[key]
        assert move == pytest.approx(expected, abs=abs_), key


def shuffled(rows, order):
    """The same rows in an order that a drawn seed decides."""
    kept = list(rows)
    order.shuffle(kept)
    return kept


@settings(max_examples=2, deadline=None)
@given(order=st.randoms(use_true_random=False))
def test_the_order_of_sightings_stills_and_landmarks_changes_nothing(plain, order):
    given_ = MADE.inputs
    mixed = replace(
        given_,
        sightings=tuple(shuffled(given_.sightings, order)),
        placements=tuple(shuffled(given_.placements, order)),
        stills=dict(shuffled(given_.stills.items(), order)),
    )
    exactly_the_same(answer(mixed).rounds[0], plain)


@settings(max_examples=3, deadline=None)
@given(factor=st.floats(0.2, 5.0))
def test_finer_or_coarser_pixels_change_nothing(plain, factor):
    """Sizes, places and spreads by one factor; a pixel's middle is half a pixel from its edge."""
    stills = {k: replace(s, width_px=factor * s.width_px, height_px=factor * s.height_px)
              for k, s in MADE.inputs.stills.items()}  # fmt: skip
    rows = tuple(replace(s, place_px=tuple(factor * (v + 0.5) - 0.5 for v in s.place_px),
                         sd_px=factor * s.sd_px) for s in MADE.inputs.sightings)  # fmt: skip
    found = answer(replace(MADE.inputs, stills=stills, sightings=rows)).rounds[0]
    # A chance is a share of 20,000 draws, and the last digit decides which draws: 4 deviations.
    exactly_the_same(found, plain, chance=0.015)
    for still, other in zip(found.stills, plain.stills, strict=True):
        assert still.f_px.value == pytest.approx(factor * float(other.f_px.value), rel=1e-6)


def exactly_the_same(one, other, chance=1e-9):
    """Verdicts the same, corrections to a millionth of a millimetre, chances as near as said."""
    theirs = {mark.key: mark for mark in other.landmarks}
    assert set(theirs) == {mark.key for mark in one.landmarks}
    for mark in one.landmarks:
        expected = theirs[mark.key]
        assert (mark.verdict, mark.reason) == (expected.verdict, expected.reason)
        assert mark.correction_mm == pytest.approx(expected.correction_mm, abs=1e-6)
        if mark.p_adjusted is not None:
            assert mark.p_adjusted == pytest.approx(expected.p_adjusted, abs=chance)


def test_a_direction_is_blind_whose_spread_is_above_half_the_tolerance(plain):
    """The paper's rule on the answer's own covariance; some lie between a third and the whole."""
    between = 0
    for mark in plain.landmarks:
        if mark.sightings < 1:
            continue
        variances, axes = np.linalg.eigh(np.array(mark.covariance_mm2))
        spreads, t = np.sqrt(variances), mark.tolerance_mm
        between += int(((spreads > t / 3) & (spreads <= t / 2)).sum())
        between += int(((spreads > t / 2) & (spreads <= t)).sum())
        expected = axes[:, spreads > t / 2]
        assert len(mark.blind) == expected.shape[1], mark.key
        for direction in mark.blind:
            assert np.linalg.norm(expected.T @ direction) == pytest.approx(1)
        if mark.blind and mark.verdict not in {Verdict.FAILS, Verdict.HOLDS}:
            assert mark.verdict is Verdict.UNCHECKED or mark.sightings <= 2
    assert between >= 4


def test_a_sculpt_that_lies_elsewhere_is_corrected_the_same(plain):
    turn = np.array([[0.98, 0.199, 0], [-0.199, 0.98, 0], [0, 0, 1.0]])
    turn /= np.linalg.norm(turn, axis=1, keepdims=True)
    moved = [replace(p, place_mm=tuple(map(float, turn @ p.place_mm + [3, -5, 2])))
             for p in MADE.inputs.placements]  # fmt: skip
    same(answer(replace(MADE.inputs, placements=tuple(moved))).rounds[0], plain, turn, abs_=0.03)


def test_a_mirror_world_gives_the_mirrored_answer(plain):
    other = {"left": "right", "right": "left", "mid": "mid"}
    rows = [replace(s, side=other[s.side],
                    place_px=(MADE.inputs.stills[s.still].width_px - 1 - s.place_px[0],
                              s.place_px[1])) for s in MADE.inputs.sightings]  # fmt: skip
    placed = [replace(p, side=other[p.side], place_mm=(-p.place_mm[0], *p.place_mm[1:]))
              for p in MADE.inputs.placements]  # fmt: skip
    turned = answer(replace(MADE.inputs, sightings=tuple(rows), placements=tuple(placed))).rounds[0]
    assert not any(still.flaws for still in turned.stills)
    ours, theirs = corrections(turned), corrections(plain)
    for (name, side), move in theirs.items():
        assert ours[name, other[side]] == pytest.approx(move * [-1, 1, 1], abs=0.01)


def test_stills_mirrored_and_said_so_change_nothing(plain):
    rows = [replace(s, place_px=(MADE.inputs.stills[s.still].width_px - 1 - s.place_px[0],
                                 s.place_px[1])) for s in MADE.inputs.sightings]  # fmt: skip
    stills = {k: replace(s, mirrored=True) for k, s in MADE.inputs.stills.items()}
    found = answer(replace(MADE.inputs, sightings=tuple(rows), stills=stills)).rounds[0]
    same(found, plain)
    assert not any(still.flaws for still in found.stills)
    # The cameras are those of the stills as they were before mirroring.
    for one, other in zip(found.stills, plain.stills, strict=True):
        assert one.c_px == pytest.approx(other.c_px, abs=0.02)
        assert np.array(one.rotation) == pytest.approx(np.array(other.rotation), abs=1e-5)
        assert one.t_mm == pytest.approx(other.t_mm, rel=1e-4, abs=0.01)


def test_only_what_was_seen_counts(plain):
    """A proposal that nobody looked at would make the sculpt confirm itself."""
    places = {"proposed": "glabella", "hidden": "pronasale", "unsure": "sellion"}
    noise = [replace(s, landmark=place, side="mid", state=state, place_px=(10.0, 10.0))
             for state, place in places.items() for s in MADE.inputs.sightings[::12]]  # fmt: skip
    more = replace(MADE.inputs, sightings=(*MADE.inputs.sightings, *noise))
    exactly_the_same(answer(more).rounds[0], plain)


def test_moving_the_sculpt_moves_the_correction_back_by_as_much(plain):
    key = ("subnasale", "mid")
    moved = [replace(p, place_mm=(p.place_mm[0], p.place_mm[1] + 0.5, p.place_mm[2] - 0.3))
             if (p.landmark, p.side) == key else p for p in MADE.inputs.placements]  # fmt: skip
    found = answer(replace(MADE.inputs, placements=tuple(moved))).rounds[0]
    change = corrections(found)[key] - corrections(plain)[key]
    assert change == pytest.approx([0, -0.5, 0.3], abs=0.12)  # less what the gauge takes up
    others = [k for k in corrections(plain) if k != key]
    drift = [np.linalg.norm(corrections(found)[k] - corrections(plain)[k]) for k in others]
    assert np.median(drift) < 0.1


def test_a_placement_that_is_less_sure_makes_its_correction_as_much_less_sure(plain):
    key = ("cheilion", "left")
    rough = [replace(p, sd_mm=0.4) if (p.landmark, p.side) == key else p
             for p in MADE.inputs.placements]  # fmt: skip
    found = answer(replace(MADE.inputs, placements=tuple(rough))).rounds[0]

    def variances(one):
        mark = next(m for m in one.landmarks if m.key == key)
        return np.diag(np.array(mark.covariance_mm2))

    wider = (variances(found) - variances(plain)) / (0.4**2 - 0.02**2)
    assert (wider <= 1.01).all()
    assert (wider > 0.8).all()  # what is missing the alignment shares out


def test_a_meant_difference_changes_the_verdict_and_not_the_correction(plain):
    aim = Target("head", "subnasale", "mid", (5.0, 0.0, 0.0))
    found = answer(replace(MADE.inputs, targets=(aim,))).rounds[0]
    same(found, plain, abs_=0.06)  # by less weight in the frame for the place that is off now
    mark = next(m for m in found.landmarks if m.landmark == "subnasale")
    assert mark.verdict is Verdict.FAILS


def expressions(seed, *, as_one=False):
    """Six stills in two expressions: the mouth of the second is elsewhere by 3 mm or so."""
    rng = np.random.Generator(np.random.Philox(seed))
    who = person(rng)
    mouth = {"cheilion", "labiale-superius", "labiale-inferius", "stomion", "pogonion"}
    smile = {k: v + (rng.normal(0, 2, 3) if k[0] in mouth else 0) for k, v in who.items()}
    sculpt = carved(rng, who, 1.15)
    made = shots(rng, (0.0, 25.0, -30.0, 55.0, -70.0, 10.0, 35.0, -50.0), noise=1.0)
    made = [replace(s, expression="smile" if n >= 5 else "neutral") for n, s in enumerate(made)]
    faces = {"neutral": who, "smile": smile}
    rows = [row for shot in made for row in sighted(rng, shot, faces[shot.expression], slip=0.0)]
    placed = [Placement("r1", *k, tuple(map(float, v)), 0.01) for k, v in sculpt.items()]
    inputs = inputs_of(made, rows, placed, seed)
    if as_one:
        stills = {s.id: still_of(replace(s, expression="neutral")) for s in made}
        inputs = replace(inputs, stills=stills)
    return inputs, who, sculpt, mouth


def mouth_error(made, found):
    _, who, sculpt, mouth = made
    truth = laid(who, sculpt, dict(found.gauge))
    off = [np.array(m.correction_mm) - (truth[m.key] - sculpt[m.key])
           for m in found.landmarks if m.landmark in mouth and m.sightings > 1]  # fmt: skip
    return float(np.sqrt(np.mean(np.square(off))))


def rejected(found):
    return sum(len(still.rejected) for still in found.stills)


def test_expressions_are_solved_together_and_kept_apart():
    made = [expressions(seed) for seed in range(2)]
    found = [answer(one[0]).rounds[0] for one in made]
    assert np.mean([mouth_error(*pair) for pair in zip(made, found, strict=True)]) < 0.1
    assert sum(rejected(one) for one in found) <= 2
    # Said to be one expression, the smile's sightings contradict the rest and are named.
    assert rejected(answer(expressions(0, as_one=True)[0]).rounds[0]) >= 4


def test_a_second_expression_adds_to_what_is_known_of_the_skull():
    inputs, *_ = expressions(3)
    alone = replace(inputs, stills={k: s for k, s in inputs.stills.items()
                                    if s.expression == "neutral"})  # fmt: skip
    both, one = answer(inputs).rounds[0], answer(alone).rounds[0]
    eyes = {"endocanthion", "exocanthion", "sellion"}

    def spread(found):
        return np.mean([np.trace(np.array(m.covariance_mm2))
                        for m in found.landmarks if m.landmark in eyes])  # fmt: skip

    assert spread(both) < spread(one)


def test_a_landmark_of_the_lines_own_counts_as_its_term_says():
    scar = Term("scar", "scar", rigid=True, contour=False, sd_mm=0.8)
    rows = [replace(s, landmark="scar", side="left") if (s.landmark, s.side) == ("cheilion", "left")
            else s for s in MADE.inputs.sightings]  # fmt: skip
    placed = [replace(p, landmark="scar", side="left")
              if (p.landmark, p.side) == ("cheilion", "left") else p
              for p in MADE.inputs.placements]  # fmt: skip
    found = answer(replace(MADE.inputs, terms={"scar": scar}, sightings=tuple(rows),
                           placements=tuple(placed))).rounds[0]  # fmt: skip
    assert ("scar", "left") in dict(found.gauge)
    assert next(m for m in found.landmarks if m.landmark == "scar").name == "left scar"


def test_a_drawn_outline_turns_the_direction_that_a_contour_tells_of():
    """The jaw's sighting moved along a drawn outline changes little, across it much."""
    still, key = "s0", ("gonion", "left")
    at = next(s.place_px for s in MADE.inputs.sightings
              if (s.still, s.landmark, s.side) == (still, *key))  # fmt: skip
    way = np.array([0.6, 0.8])
    outline = tuple(OutlinePoint(still, "jaw", n, tuple(map(float, at + n * 40 * way)))
                    for n in range(-3, 4))  # fmt: skip

    def moved(by):
        rows = [replace(s, place_px=(float(s.place_px[0] + by[0]), float(s.place_px[1] + by[1])))
                if (s.still, s.landmark, s.side) == (still, *key) else s
                for s in MADE.inputs.sightings]  # fmt: skip
        one = answer(replace(MADE.inputs, sightings=tuple(rows), outlines=outline)).rounds[0]
        return np.array(next(m for m in one.landmarks if m.key == key).correction_mm)

    start, along = moved((0, 0)), moved(6 * way)
    across = moved(6 * np.array([-0.8, 0.6]))
    assert np.linalg.norm(across - start) > np.linalg.norm(along - start)


def test_two_people_are_solved_apart():
    other = scene(22, slip=0.3)
    inputs = replace(
        MADE.inputs,
        sculpts=MADE.inputs.sculpts | {"second": Sculpt("second", None, "other")},
        rounds=MADE.inputs.rounds | {"q1": Round("q1", "second", 1)},
        placements=MADE.inputs.placements
        + tuple(replace(p, round="q1") for p in other.inputs.placements),
        stills=MADE.inputs.stills
        | {f"q{k}": replace(s, id=f"q{k}", person="other") for k, s in other.inputs.stills.items()},
        sightings=MADE.inputs.sightings
        + tuple(replace(s, still=f"q{s.still}") for s in other.inputs.sightings),
    )
    both = answer(inputs).rounds
    same(both[0], answer(MADE.inputs).rounds[0], abs_=1e-9)
    same(both[1], answer(other.inputs).rounds[0], abs_=1e-9)


def test_renaming_stills_does_not_change_which_further_still_is_advised(plain):
    """The first by id was once believed to be like the next one; here it is cropped and large."""
    first = min(MADE.inputs.stills)
    odd = replace(MADE.inputs.stills[first], cropped=True)
    given_ = replace(MADE.inputs, stills=MADE.inputs.stills | {first: odd})
    name = {id_: f"z{id_}" if id_ == first else id_ for id_ in given_.stills}
    renamed = replace(
        given_,
        stills={name[k]: replace(s, id=name[k]) for k, s in given_.stills.items()},
        sightings=tuple(replace(s, still=name[s.still]) for s in given_.sightings),
    )
    ours, theirs = (answer(i).rounds[0].next_views for i in (renamed, given_))
    assert [(v.yaw_deg, v.pitch_deg) for v in ours] == [(v.yaw_deg, v.pitch_deg) for v in theirs]
    for one, other in zip(ours, theirs, strict=True):
        assert one.gain == pytest.approx(other.gain, abs=1e-6)


def test_a_person_whose_stills_are_singular_does_not_end_the_review(monkeypatch):
    """Whatever step of it fails: the other parts of the line are still told."""
    from sixwright.topics.likeness import compute

    def singular(*_args, **_more):
        raise np.linalg.LinAlgError("Singular matrix")

    for step in ("person_fit", "left_out", "first_of", "next_views"):
        with monkeypatch.context() as patched:
            patched.setattr(compute, step, singular)
            (one,) = answer(MADE.inputs).rounds
            assert len(one.landmarks) == len(MADE.inputs.placements), step
