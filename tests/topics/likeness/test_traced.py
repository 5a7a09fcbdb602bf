"""Drawn outlines against a sculpt's: on spheres and ellipsoids, where all of it is a formula."""

import numpy as np
import pytest

from numerics.mesh.shapes import mesh, sphere
from sixwright.line.likeness import OutlinePoint
from sixwright.numerics.cameras import camera_of
from sixwright.numerics.rotations import facing
from sixwright.numerics.similarity import Similarity
from sixwright.topics.likeness.outline_kinds import MovedBy, moves_with
from sixwright.topics.likeness.outlines.drawn import across, drawn_on, shown_rim
from sixwright.topics.likeness.solids import Solid

AXES = np.array([13.0, 19.0, 16.0])
BALL = sphere(1.0, 6)
EGG = Solid(mesh(BALL.vertices * AXES, BALL.faces))
FOCAL, MIDDLE, AWAY = 8000.0, np.array([700.0, 500.0]), 330.0
SAME = Similarity(1.0, np.eye(3), np.zeros(3))
# The person's frame is another one: turned, smaller and moved.
OTHER = Similarity(1.3, facing(0.4, -0.2), np.array([2.0, -5.0, 1.0]))


def camera(yaw, onto=SAME):
    """A camera that stands before the round's frame, written in the person's."""
    turn = facing(np.radians(yaw), 0.15)
    shift = np.array([1.0, -2.0, AWAY])
    return camera_of(np.zeros(3), turn @ onto.rotation, (turn @ onto.shift + shift) / onto.scale,
                     focal_px=FOCAL, centre_px=MIDDLE)  # fmt: skip


def conic(yaw, axes, middle=(0, 0, 0)):
    """The outline of an ellipsoid as its dual quadric projects to it: hartley-zisserman, 8.3."""
    turn = facing(np.radians(yaw), 0.15)
    matrix = np.diag([FOCAL, FOCAL, 1.0])
    matrix[:2, 2] = MIDDLE
    whole = matrix @ np.column_stack([turn, turn @ np.array(middle, float) + [1.0, -2.0, AWAY]])
    dual = whole @ np.diag([*np.square(axes), -1.0]) @ whole.T
    found = np.linalg.inv(dual)
    centre = dual[:2, 2] / dual[2, 2]
    sizes, ways = np.linalg.eigh(found[:2, :2])
    rest = np.array([*centre, 1]) @ found @ np.array([*centre, 1])
    angle = np.linspace(0, 2 * np.pi, 61)[:-1]
    round_ = np.stack([np.cos(angle), np.sin(angle)], axis=1) * np.sqrt(-rest / sizes)
    return centre + round_ @ ways.T


def held(places, yaw, onto=SAME, solid=EGG):
    rows = [OutlinePoint("s", "jaw", n, (float(x), float(y)), 1.5)
            for n, (x, y) in enumerate(places)]  # fmt: skip
    one = camera(yaw, onto)
    eye = onto.of(-one.rotation[0].T @ one.translation()[0])
    return across(drawn_on("s", rows, None)[0], shown_rim(solid.rim(eye), one, onto), 0)


YAWS = (0, 35, -80)


@pytest.mark.parametrize("onto", [SAME, OTHER], ids=["same frame", "another frame"])
@pytest.mark.parametrize("yaw", YAWS)
def test_the_sculpts_own_outline_is_nothing_off(yaw, onto):
    found = held(conic(yaw, AXES), yaw, onto)
    assert len(found.rows) == 60
    assert np.abs(found.off_mm).max() < 0.01


@pytest.mark.parametrize("onto", [SAME, OTHER], ids=["same frame", "another frame"])
@pytest.mark.parametrize("yaw", YAWS)
def test_a_person_moved_is_off_by_the_moves_share_along_the_normal(yaw, onto):
    move = np.array([0.2, -0.15, 0.25])
    found = held(conic(yaw, AXES, middle=move), yaw, onto)
    normal = found.place_mm / AXES**2
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    assert found.off_mm == pytest.approx(normal @ move, abs=0.015)
    assert found.off_mm.max() > 0.15
    assert found.off_mm.min() < -0.15


def test_a_larger_sphere_is_off_by_its_radius_whichever_way_it_is_turned():
    ball = Solid(mesh(BALL.vertices * 15, BALL.faces))
    for yaw in YAWS:
        found = held(conic(yaw, np.full(3, 15.3)), yaw, solid=ball)
        assert found.off_mm == pytest.approx(0.3, abs=0.01)
        assert found.radius_mm == pytest.approx(15, rel=0.1)


def test_how_far_along_is_the_length_of_the_outline_in_millimetres():
    ball = Solid(mesh(BALL.vertices * 15, BALL.faces))
    found = held(conic(0, np.full(3, 15.0)), 0, solid=ball)
    assert found.at_mm[-1] == pytest.approx(2 * np.pi * 15 * 59 / 60, rel=0.01)


def test_a_line_across_the_face_runs_along_no_outline():
    inner = MIDDLE + np.array([[x, 20.0] for x in np.linspace(-150, 150, 30)])
    assert held(inner, 0) is None


def test_what_is_far_from_every_outline_is_left_out_and_the_rest_stays():
    places = conic(0, AXES)
    places[:20] += 5.0 * (places[:20] - MIDDLE) / 10
    found = held(places, 0)
    assert found.rows.min() >= 19
    assert np.abs(found.off_mm[2:]).max() < 0.05


def test_a_few_points_on_another_outline_are_left_out():
    places = conic(0, AXES)
    middle = places.mean(axis=0)
    places[30:32] += 22.0 * (places[30:32] - middle) / np.linalg.norm(
        places[30:32] - middle, axis=1)[:, None]  # fmt: skip
    found = held(places, 0)
    assert not {30, 31} & set(found.rows.tolist())
    assert len(found.rows) >= 54


def test_an_outline_of_a_mirrored_still_is_turned_round():
    rows = [OutlinePoint("s", "jaw", n, (10.0 * n, 5.0)) for n in range(3)]
    rows.append(OutlinePoint("s", "dot", 1, (3.0, 3.0)))
    rows.append(OutlinePoint("other", "jaw", 1, (3.0, 3.0)))
    plain, turned = drawn_on("s", rows[::-1], None), drawn_on("s", rows, 100.0)
    assert [one.outline for one in plain] == ["jaw"]
    assert turned[0].place_px[:, 0] == pytest.approx(99 - plain[0].place_px[:, 0])
    assert plain[0].sd_px == pytest.approx(1.5)


@pytest.mark.parametrize(
    ("outline", "kind"),
    [("jaw-left", MovedBy.MOBILE), ("cheek-right-2", MovedBy.MOBILE), ("chin", MovedBy.MOBILE),
     ("nose", MovedBy.RIGID), ("brow-left", MovedBy.MOBILE),
     ("forehead", MovedBy.RIGID), ("hair", MovedBy.APART),
     ("Mask edge", MovedBy.APART), ("mask-edge", MovedBy.APART), ("wart", MovedBy.MOBILE)],
)  # fmt: skip
def test_what_moves_an_outline_is_told_by_its_name(outline, kind):
    assert moves_with(outline) is kind
