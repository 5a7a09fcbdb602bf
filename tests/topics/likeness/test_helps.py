"""What would help a head most for the time it takes, against doing just that."""

from dataclasses import replace

import numpy as np
import pytest

from sixwright.line.likeness import OutlinePoint
from sixwright.reports.wording.words import say
from sixwright.topics.likeness.compute import answer
from sixwright.topics.likeness.remedies import most_a_minute
from topics.likeness.errors import headed
from topics.likeness.truth import CONTOURS, axes_of, normal_at, seen_at, sighted, still_of

MOST_MM = 0.5


@pytest.fixture(scope="module")
def made():
    return headed(2, "smooth")


@pytest.fixture(scope="module")
def one(made):
    return answer(made.inputs).rounds[0]


def gain_of(one, kind):
    return next(help_ for help_ in one.helps if help_.kind == kind)


def left_open(one, keys):
    """Sum of the spreads of some landmarks, each up to 0.5 mm, as an answer gives them."""
    blocks = [np.array(m.covariance_mm2) for m in one.landmarks if m.key in keys]
    sizes = [np.sqrt(np.linalg.eigvalsh(block).clip(0)) for block in blocks]
    return float(np.minimum(sizes, MOST_MM).sum())


def test_the_largest_gain_a_minute_comes_first(one):
    rates = [help_.gain / help_.minutes for help_ in one.helps]
    assert len(rates) == 3
    assert rates == sorted(rates, reverse=True)


def test_two_stills_help_more_than_the_better_of_them(one):
    stills = gain_of(one, "stills")
    assert stills.views[0] == one.next_views[0]
    assert stills.gain > one.next_views[0].gain + 0.02


def test_two_more_stills_help_as_much_as_was_said(made, one):
    """Two stills are taken from there by the truth's own cameras, marked, and all solved anew."""
    rng = np.random.Generator(np.random.Philox(3))
    shots = [
        replace(made.shots[0], id=f"more{n}", yaw=view.yaw_deg, pitch=view.pitch_deg)
        for n, view in enumerate(gain_of(one, "stills").views)
    ]
    more = replace(
        made.inputs,
        stills=made.inputs.stills | {shot.id: still_of(shot) for shot in shots},
        sightings=(
            *made.inputs.sightings,
            *(row for shot in shots for row in sighted(rng, shot, made.person, slip=0.0)),
        ),
    )
    keys = {m.key for m in one.landmarks if m.covariance_mm2}
    fall = 1 - left_open(answer(more).rounds[0], keys) / left_open(one, keys)
    assert fall == pytest.approx(gain_of(one, "stills").gain, abs=0.08)


def outline_through(row, shot, place):
    """Two points of the outline on either side of a contour's sighting, as the truth runs."""
    key = (row.landmark, row.side)
    stand = axes_of(shot)[3]
    view = (stand - place) / np.linalg.norm(stand - place)
    normal = normal_at(key, place)
    edge = normal - (normal @ view) * view
    along = np.cross(edge / np.linalg.norm(edge), view)
    at = seen_at(shot, place)
    ends = [np.array(row.place_px) + seen_at(shot, place + t * along) - at for t in (-9, 9)]
    return [
        OutlinePoint(row.still, f"{row.landmark}-{row.side}", n, (float(x), float(y)))
        for n, (x, y) in enumerate(ends)
    ]


def test_outlines_help_as_much_as_was_said(made, one):
    """Each is drawn through its sighting the way that the truth's own surface runs."""
    shots = {shot.id: shot for shot in made.shots}
    drawn = [
        point
        for row in made.inputs.sightings
        if row.landmark in CONTOURS
        for point in outline_through(row, shots[row.still], made.person[row.landmark, row.side])
    ]
    keys = {m.key for m in one.landmarks if m.covariance_mm2}
    again = answer(replace(made.inputs, outlines=tuple(drawn))).rounds[0]
    assert "outlines" not in {help_.kind for help_ in again.helps}
    fall = 1 - left_open(again, keys) / left_open(one, keys)
    assert fall == pytest.approx(gain_of(one, "outlines").gain, abs=0.03)


def test_what_helps_is_said_with_where_from_and_by_how_much(one):
    text = say(most_a_minute(one), "en-GB")
    assert text.startswith("What helps most for the time it takes: two more stills (one from the")
    assert "; one from" in text
    assert "would cut the uncertainty by a" in text


def test_fewer_than_three_stills_are_told_nothing_of_this(made):
    few = {id_: still for id_, still in made.inputs.stills.items() if id_ in {"s0", "s3"}}
    rows = tuple(s for s in made.inputs.sightings if s.still in few)
    found = answer(replace(made.inputs, stills=few, sightings=rows)).rounds[0]
    assert found.helps == ()
    assert most_a_minute(found) is None
