"""A still marked twice says how surely its hand marks, and that is what is written."""

from dataclasses import replace

import numpy as np
import pytest

from sixwright.kernel.errors import InputError
from sixwright.line.likeness import Sighting
from sixwright.project.records import rows_of
from sixwright.reports.wording.hands import told_hand
from sixwright.reports.wording.words import say
from sixwright.workflows.calibrate import hand_of, spreads_used
from sixwright.workflows.marking import Mark, marked, sure_px
from topics.builders import bolts

KEYS = [("exocanthion", "left"), ("exocanthion", "right"), ("subnasale", "mid"),
        ("cheilion", "left"), ("cheilion", "right"), ("pronasale", "mid"), ("sellion", "mid"),
        ("alare", "left")]  # fmt: skip
SOFT = {("sellion", "mid"), ("alare", "left")}


def project(**line):
    marks = [Sighting("quay", *key, (100.0, 50.0), 4.0 if key in SOFT else 1.5, state="seen")
             for key in KEYS]  # fmt: skip
    rows = {f"quay/{m.landmark}/{m.side}": {"still": "quay", "sd_px": f"{m.sd_px:g}"}
            for m in marks}  # fmt: skip
    rows["pier/stomion/mid"] = {"still": "pier", "sd_px": "1.5"}
    records = rows_of({"sightings": rows, "line": {"line": line}})
    return replace(bolts(), sightings=tuple(marks), records=records)


def again(sharp=3.0, soft=3.0, far=()):
    rng = np.random.Generator(np.random.Philox(5))
    gaps = {key: rng.choice([-1, 1], 2) * (soft if key in SOFT else sharp) for key in KEYS}
    gaps |= dict.fromkeys(far, np.array([80.0, 0.0]))
    return {key: tuple(np.array([100.0, 50.0]) + gap) for key, gap in gaps.items()}


def test_spreads_are_found_by_how_surely_each_was_marked_and_written():
    line = project()
    hand = hand_of(line, "quay", again())
    sharp, soft, guess = (hand.spreads[word] for word in ("sharp", "soft", "guess"))
    assert (sharp.pairs, soft.pairs, guess.pairs) == (6, 2, 0)
    assert sharp.found.value == pytest.approx(3 / np.sqrt(2))
    changes = {(c.table, c.id, c.column): c.value for c in spreads_used(line, "quay", hand)}
    used = np.sqrt((8 * 1.5**2 + 12 * 4.5) / 20)  # eight differences of 1.5 px are believed
    assert changes["line", "line", "marking.sharp_px"] == f"{used:.1f}" == "1.9"
    assert ("line", "line", "marking.guess_px") not in changes
    assert changes["sightings", "quay/pronasale/mid", "sd_px"] == "1.9"
    assert changes["sightings", "quay/alare/left", "sd_px"] == changes[
        "line", "line", "marking.soft_px"]  # fmt: skip
    assert not any(id_.startswith("pier") for _, id_, _ in changes)
    told = " ".join(say(sentence, "en-GB") for sentence in told_hand(hand))
    assert "Sharp: 2.1\N{NO-BREAK SPACE}px by 6 landmarks (1.5\N{NO-BREAK SPACE}px to" in told
    assert "1.9\N{NO-BREAK SPACE}px is used" in told
    assert "Not among them, so as before: A guess." in told


def test_a_place_that_was_mistaken_is_left_out_and_named():
    hand = hand_of(project(), "quay", again(far=KEYS[:1]))
    assert hand.far == (KEYS[0],)
    assert hand.spreads["sharp"].pairs == 5
    told = " ".join(say(sentence, "en-GB") for sentence in told_hand(hand))
    assert "one is another place: left outer eye corner" in told


def test_fewer_than_six_say_nothing():
    few = dict(list(again().items())[:5])
    with pytest.raises(InputError, match=r"Mark 6 landmarks again at least.*5 were"):
        hand_of(project(), "quay", few)


def test_the_line_s_own_spreads_are_what_a_new_mark_is_written_with():
    from sixwright.line.likeness import Still

    records = rows_of({"line": {"line": {"marking.soft_px": "5.5"}}})
    assert sure_px(records) == {"sharp": "1.5", "soft": "5.5", "guess": "10"}
    stills = {"quay": Still("quay", width_px=600.0, height_px=400.0)}
    mark = Mark("quay", "pronasale", "mid", "1", "2", "soft", "seen", "")
    assert marked(records, stills, mark)[0].add["sd_px"] == "5.5"
