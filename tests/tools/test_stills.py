"""The demo's stills are photographs of what stands there, by a camera that others agree with.

Truths come from OpenCV (projection), scikit-image (which pixels lie in a triangle) and a ball's
outline by hand; none of them made the stills.
"""

from dataclasses import replace
from io import BytesIO

import cv2
import numpy as np
import pytest
from heads.surface import Surface
from PIL import Image
from skimage.draw import polygon2mask
from stills import film, marking
from stills.cameras import FULL, LOOKED_AT, SHOTS, Shot
from stills.light import Bodies, direction, lit, outward, shaded, sky
from stills.marking import Marked
from stills.raster import seen
from stills.rims import View
from stills.scene import Scene
from stills.tables import _short

BALL_MM = 60.0
STRAIGHT = Shot("s01-quay", "level", 0, 0, 0, 2000, 3000, (30, 40), crop=(470, 290, 500, 500))


def ball(steps=160):
    """A ball about the place that every camera looks at."""
    turn = np.linspace(0, 2 * np.pi, 2 * steps, endpoint=False)
    height = np.linspace(0, np.pi, steps)[1:-1]
    ring = np.stack(
        [
            np.sin(height)[:, None] * np.sin(turn),
            np.repeat(np.cos(height)[:, None], len(turn), 1),
            np.sin(height)[:, None] * np.cos(turn),
        ],
        -1,
    ).reshape(-1, 3)
    a = (np.arange(steps - 3)[:, None] * len(turn) + np.arange(len(turn))).ravel()
    b = (np.arange(steps - 3)[:, None] * len(turn) + (np.arange(len(turn)) + 1) % len(turn)).ravel()
    below = len(turn)
    faces = np.vstack([np.stack([a, a + below, b], 1), np.stack([b, a + below, b + below], 1)])
    return Surface(LOOKED_AT + BALL_MM * ring, faces.astype(np.int32))


def scene(*surfaces):
    starts = np.cumsum([0, *(len(one.vertices) for one in surfaces)])
    vertices = np.vstack([one.vertices for one in surfaces])
    faces = np.vstack(
        [one.faces + start for one, start in zip(surfaces, starts, strict=False)]
    ).astype(np.int32)
    grey, count = np.full((len(vertices), 3), 0.4), len(vertices)
    bodies = Bodies(vertices, faces, outward(vertices, faces), grey, np.zeros(count))
    return Scene(
        bodies, np.repeat(np.arange(len(surfaces)), np.diff(starts)), np.zeros(count, bool)
    )


@pytest.mark.parametrize("shot", SHOTS, ids=lambda shot: shot.id)
def test_a_camera_projects_as_opencv_does(shot):
    places = np.random.default_rng(1).uniform(-120, 120, (50, 3))
    turned, _ = cv2.Rodrigues(shot.axes)
    moved = -shot.axes @ shot.place
    lens = np.array(
        [[shot.squeeze * shot.focal_px, 0, shot.centre[0]], [0, shot.focal_px, shot.centre[1]],
         [0, 0, 1]]
    )  # fmt: skip
    theirs, _ = cv2.projectPoints(places, turned, moved, lens, None)
    assert shot.pixels(places) == pytest.approx(theirs[:, 0], abs=1e-6)
    assert np.linalg.det(shot.axes) == pytest.approx(1)


def test_the_figures_left_is_on_the_right_and_up_is_up_unless_mirrored():
    left, top = STRAIGHT.pixels(LOOKED_AT + np.array([[10.0, 0, 0], [0, 10.0, 0]]))
    middle = STRAIGHT.pixels(LOOKED_AT[None])[0]
    assert left[0] > middle[0]
    assert top[1] < middle[1]
    mirrored = replace(STRAIGHT, mirrored=True)
    assert mirrored.as_kept(left)[0] == pytest.approx(499 - left[0])
    assert mirrored.as_kept(left)[1] == left[1]


def test_a_triangle_covers_the_pixels_in_it_and_the_nearer_one_is_seen():
    corners = np.array([[10.3, 5.2], [52.6, 18.9], [20.1, 44.7]])
    pixels = np.vstack([corners, corners])
    faces = np.array([[0, 2, 1], [3, 5, 4]], np.int32)
    picture = seen(pixels, np.array([100.0] * 3 + [90.0] * 3), faces, (64, 48))
    inside = polygon2mask((48, 64), corners[:, ::-1])
    assert ((picture.face >= 0) == inside).mean() > 0.999
    assert set(np.unique(picture.face)) == {-1, 1}
    assert picture.near[inside & (picture.face >= 0)] == pytest.approx(1 / 90)
    turned = seen(pixels, np.full(6, 100.0), faces[:, ::-1], (64, 48))
    assert (turned.face < 0).all()


def test_what_vertices_carry_is_mixed_between_them():
    pixels = np.array([[0.0, 0.0], [40.0, 0.0], [0.0, 40.0]])
    faces = np.array([[0, 2, 1]], np.int32)
    carried = seen(pixels, np.full(3, 50.0), faces, (30, 30)).carried(faces, pixels)
    assert carried[10, 20] == pytest.approx((20, 10))


def test_the_outline_of_a_ball_is_where_geometry_has_it():
    """Seen from d away, a ball's rim is a circle of radius f r / sqrt(d² - r²) in the middle."""
    view = View.of(STRAIGHT, scene(ball()))
    rims = [rim for rim in view.rims() if len(rim.places) > 50]
    assert len(rims) == 1
    away = STRAIGHT.pixels(rims[0].places) - STRAIGHT.pixels(LOOKED_AT[None])[0]
    hand = 3000 * BALL_MM / np.sqrt(2000**2 - BALL_MM**2)
    assert np.linalg.norm(away, axis=1) == pytest.approx(hand, abs=0.05)
    assert rims[0].seen.mean() > 0.95


def test_what_stands_behind_is_not_seen():
    view = View.of(STRAIGHT, scene(ball()))
    ends = LOOKED_AT + BALL_MM * np.array([[0, 0, 1.0], [0, 0, -1.0], [0.6, 0, 0.8], [2.4, 0, 0]])
    assert view.sees(ends).tolist() == [True, False, True, True]


def test_a_ball_is_lit_on_one_side_and_throws_a_shadow():
    side = np.linspace(-200, 200, 260)
    x, z = (axis.ravel() for axis in np.meshgrid(side, side))
    floor = np.stack([x, np.full(x.size, LOOKED_AT[1] - 100), z], 1)
    vertices = np.vstack([ball().vertices, floor])
    free = lit(vertices, direction(0, 90)).astype(bool)
    on_floor = free[len(ball().vertices) :]
    away = np.hypot(x - LOOKED_AT[0], z - LOOKED_AT[2])
    assert not on_floor[away < BALL_MM - 4].any()
    assert on_floor[away > BALL_MM + 4].all()


def test_the_sky_falls_from_above_and_the_main_light_from_its_side():
    bodies = scene(ball(60)).bodies
    above = sky(bodies)[:, 1]
    up = bodies.outward[:, 1]
    assert above[up > 0.9].mean() > 1.5 * above[up < -0.9].mean()
    sent = shaded(bodies, np.zeros_like(bodies.vertices), (90, 0), STRAIGHT.place)[:, 0]
    out = bodies.outward[:, 0]
    assert sent[out > 0.9].min() > 3 * sent[out < -0.9].max()


def test_a_still_is_a_small_jpeg_of_its_size_and_mirrored_where_it_was():
    bodies = scene(ball(60)).bodies
    bodies.colour[bodies.vertices[:, 0] > 0] = 0.05  # his left is dark
    from_all = sky(bodies)
    pictures = {}
    for mirrored in (False, True):
        shot = replace(STRAIGHT, mirrored=mirrored)
        content = film.photograph(shot, bodies, from_all, np.random.default_rng(3))
        assert len(content) <= film.LARGEST_BYTES
        pictures[mirrored] = np.asarray(Image.open(BytesIO(content)).convert("L"), float)
        assert pictures[mirrored].shape == (500, 500)
    inside = np.s_[200:300]
    for mirrored, dark in ((False, 300), (True, 200)):
        light = 500 - dark
        assert pictures[mirrored][inside, dark - 20 : dark + 20].mean() < 100
        assert pictures[mirrored][inside, light - 20 : light + 20].mean() > 120


def test_one_sighting_in_fifteen_is_wrong_and_far_off():
    marks = [Marked("s", ("vertex", "mid"), np.zeros(2), edge=False, wrong=False)] * 150
    wrong = [one for one in marking.some_wrong(marks, np.random.default_rng(0), 4) if one.wrong]
    assert len(wrong) == 10
    assert all(40 <= np.linalg.norm(one.place) <= 75 for one in wrong)


def test_a_traced_line_errs_as_one_hand_does():
    """Across it by 1.4 px, neighbours alike: the correlation of points 12 px apart is 0.51."""
    chance = np.random.default_rng(5)
    line = np.stack([np.linspace(0, 1200, 400), np.full(400, 7.0)], 1)
    off = np.array([marking._drawn(line, chance)[:, 1] - 7 for _ in range(200)])
    assert off.std() == pytest.approx(np.hypot(1.2, 0.8), rel=0.06)
    beside = np.corrcoef(off[:, 40], off[:, 41])[0, 1]
    shared = 1.2**2 * np.exp(-12 / 40) / (1.2**2 + 0.8**2)
    assert beside == pytest.approx(shared, abs=0.15)


def test_lists_of_numbers_take_one_line():
    assert _short('{"a": [\n  1.5,\n  -2\n ]}') == '{"a": [1.5, -2]}'


def test_every_still_keeps_the_head_in_the_picture():
    for shot in SHOTS:
        ends = LOOKED_AT + np.array(
            [[0, 118, 0], [0, -100, 0], [95, 0, 0], [-95, 0, 0], [0, 0, 100]]
        )
        at = shot.pixels(ends)
        assert (at > 0).all(), shot.id
        assert (at < np.array(shot.size)).all(), shot.id
        assert shot.crop is None or (np.array(shot.corner) + shot.size <= FULL).all()
