"""The camera against the folder's formula, published numbers, and differences."""

import numpy as np
import pytest
from scipy.linalg import rq

from numerics.scenes import head, pixels, rng_of, rotation
from sixwright.numerics.cameras import (
    belief_cost,
    belief_terms,
    camera_of,
    places_px,
    project,
)
from sixwright.topics.likeness.solve.sightings import Noise, Sightings, whitened

# Hartley & Zisserman, 2nd edition, example 6.2 (from memory; the decomposition was re-verified).
EXAMPLE_6_2 = np.array([
    [353.553, 339.645, 277.744, -1449460.0],
    [-103.528, 23.3212, 459.607, -632525.0],
    [0.707107, -0.353553, 0.612372, -918.559],
])  # fmt: skip
PRINTED_TO = 0.05
ANGLES_PRINTED_TO = 0.0005


def random_camera(seed):
    rng = rng_of(seed)
    points, _ = head(rng)
    turn = rotation(rng, rng.uniform(-90, 90), rng.uniform(-20, 20), rng.uniform(-20, 20))
    shift = np.array([rng.normal(0, 5), rng.normal(0, 5), rng.uniform(100, 600)])
    return points, turn, shift, rng.uniform(1000, 9000), np.array([710.0, 530.0])


@pytest.mark.parametrize("seed", range(5))
def test_it_shows_what_the_folders_formula_says(seed):
    points, turn, shift, focal, centre = random_camera(seed)
    anchor = points.mean(axis=0)
    camera = camera_of(anchor, turn, shift, focal_px=focal, centre_px=centre)
    shown, depth = places_px(camera.only([0] * len(points)), points)
    assert shown == pytest.approx(pixels(points, turn, shift, focal, centre), abs=1e-7)
    assert camera.translation()[0] == pytest.approx(shift, abs=1e-9)
    inside = points @ turn.T + shift
    assert depth == pytest.approx(inside[:, 2] / (anchor @ turn[2] + shift[2]), abs=1e-12)


def test_a_squeezed_frame_is_narrower_about_its_principal_point():
    points, turn, shift, focal, centre = random_camera(1)
    camera = camera_of(points[0], turn, shift, focal_px=focal, centre_px=centre)
    step = np.zeros((1, 10))
    step[0, 8] = np.log(0.75)
    shown, _ = places_px(camera.stepped(step).only([0] * len(points)), points)
    assert shown == pytest.approx(pixels(points, turn, shift, focal, centre, 0.75), abs=1e-7)


@pytest.mark.parametrize("seed", range(3))
def test_derivatives_agree_with_differences(seed):
    points, turn, shift, focal, centre = random_camera(seed)
    camera = camera_of(points.mean(axis=0), turn, shift, focal_px=focal, centre_px=centre)
    step = np.zeros((1, 10))
    step[0, 8] = 0.1
    camera = camera.stepped(step)
    rows = [0] * len(points)
    shown = project(camera.only(rows), points)
    for unknown in range(10):
        h = 1e-5
        step = np.zeros((1, 10))
        step[0, unknown] = h
        more, _ = places_px(camera.stepped(step).only(rows), points)
        less, _ = places_px(camera.stepped(-step).only(rows), points)
        assert shown.by_camera[:, :, unknown] == pytest.approx((more - less) / 2 / h, rel=1e-4,
                                                               abs=1e-3)  # fmt: skip
    for axis in range(3):
        moved = np.zeros(3)
        moved[axis] = 1e-4
        more, _ = places_px(camera.only(rows), points + moved)
        less, _ = places_px(camera.only(rows), points - moved)
        assert shown.by_point[:, :, axis] == pytest.approx((more - less) / 2e-4, rel=1e-5, abs=1e-5)


def test_beliefs_differentiate_to_what_is_added_to_the_normal_equations():
    points, turn, shift, focal, centre = random_camera(2)
    camera = camera_of(points[0], turn, shift, focal_px=focal, centre_px=centre)
    mean, sd = np.zeros(10), np.array([np.inf] * 3 + [5, 6, 0.3, 4, 5, 0.2, 0.7])
    system, side = belief_terms(camera, mean, sd)
    for unknown in range(10):
        step = np.zeros((1, 10))
        step[0, unknown] = 1e-5
        ahead = belief_cost(camera.stepped(step), mean, sd)[0]
        behind = belief_cost(camera.stepped(-step), mean, sd)[0]
        assert side[0, unknown] == pytest.approx(-(ahead - behind) / 4e-5, rel=1e-5, abs=1e-5)
        turned = (belief_terms(camera.stepped(-step), mean, sd)[1]
                  - belief_terms(camera.stepped(step), mean, sd)[1])[0] / 2e-5  # fmt: skip
        assert system[0, unknown] == pytest.approx(turned, rel=1e-5, abs=1e-5)


@pytest.mark.parametrize(
    ("place", "pixel"),
    [((0, 0, 0), (1577.97, 688.61)), ((100, 100, 100), (1645.28, 723.37)),
     ((500, 0, 200), (2750.39, 1338.59))],
)  # fmt: skip
def test_the_camera_of_example_6_2_shows_what_its_matrix_does(place, pixel):
    """The printed camera, taken apart by scipy, through ours; pixels computed from P (facts, C)."""
    upper, turn = rq(EXAMPLE_6_2[:, :3])
    signs = np.sign(np.diag(upper))
    k, turn = upper * signs, signs[:, None] * turn
    k, shift = k / k[2, 2], np.linalg.solve(k, EXAMPLE_6_2[:, 3])
    printed = [[468.2, 91.2, 300.0], [0, 427.2, 200.0], [0, 0, 1]]
    assert k == pytest.approx(np.array(printed), abs=PRINTED_TO)
    focal = k[1, 1]
    camera = camera_of(np.array([2000.0, 0.0, 0.0]), turn, shift, focal_px=focal,
                       centre_px=np.zeros(2))  # fmt: skip
    x, y = places_px(camera, np.array([place], float))[0][0] / focal
    skewed = (k[0, 0] * x + k[0, 1] * y + k[0, 2], k[1, 1] * y + k[1, 2])
    assert skewed == pytest.approx(pixel, abs=PRINTED_TO)


@pytest.mark.parametrize(
    ("focal", "width", "degrees"),
    [(50, 36, 39.598), (50, 24, 26.991), (50, 43.2666, 46.793), (35, 36, 54.432),
     (85, 36, 23.913), (105, 36, 19.455)],
)  # fmt: skip
def test_fields_of_view_are_those_of_lens_tables(focal, width, degrees):
    """2 atan(w / 2f): what lies at the printed angle is shown at the edge of the frame."""
    camera = camera_of(np.zeros(3), np.eye(3), np.array([0, 0, 1.0]), focal_px=focal,
                       centre_px=np.zeros(2))  # fmt: skip
    edges = np.radians(degrees + np.array([-ANGLES_PRINTED_TO, ANGLES_PRINTED_TO])) / 2
    within, beyond = (
        places_px(camera, np.array([[np.tan(edge), 0, 0]]))[0][0, 0] for edge in edges
    )
    assert within < width / 2 < beyond


@pytest.mark.parametrize(
    ("distance_m", "ratio"), [(0.3, 1.500), (0.5, 1.273), (1.0, 1.128), (1.5, 1.083), (2.5, 1.049)]
)
def test_near_features_look_larger_by_the_ratio_of_distances(distance_m, ratio):
    """Features 0.12 m apart in depth: (D + d/2) / (D - d/2) (facts, computed)."""
    camera = camera_of(np.zeros(3), np.diag([1.0, -1.0, -1.0]), np.array([0, 0, distance_m]),
                       focal_px=1000.0, centre_px=np.zeros(2))  # fmt: skip
    places = np.array([[0.01, 0, 0.06], [0.01, 0, -0.06]])
    near, far = places_px(camera.only([0, 0]), places)[0][:, 0]
    assert near / far == pytest.approx(ratio, abs=ANGLES_PRINTED_TO)


def test_depth_of_two_views_is_as_sure_as_the_stereo_formula_says():
    """Z² s / (f b) with Z = 1 m, f = 1500 px, b = 0.1 m, s = 0.5 px of disparity: 3.33 mm."""
    turn, focal = np.diag([1.0, -1.0, -1.0]), 1500.0
    views = [camera_of(np.zeros(3), turn, np.array([x, 0, 1000.0]), focal_px=focal,
                       centre_px=np.zeros(2)) for x in (-50.0, 50.0)]  # fmt: skip
    by_point = np.concatenate([project(view, np.zeros((1, 3))).by_point[0] for view in views])
    each = 0.5 / np.sqrt(2)  # of one view, so that the difference has 0.5
    spread = np.sqrt(np.linalg.inv(by_point.T @ by_point / each**2)[2, 2])
    assert spread == pytest.approx(3.333, abs=0.01)


@pytest.mark.parametrize("drawn", [False, True])
def test_a_contour_says_little_along_itself_and_its_guessed_direction_less_across(drawn):
    """From the front, of a cheek that faces left: across is x, along is y; 10 px a mm, 2 px."""
    camera = camera_of(np.zeros(3), np.diag([1.0, -1.0, -1.0]), np.array([0, 0, 1e6]),
                       focal_px=1e7, centre_px=np.zeros(2))  # fmt: skip
    out, across = np.array([[1.0, 0.0, 0.0]]), np.array([[1.0, 0.0]])
    seen = Sightings(np.zeros(1, np.int64), np.zeros(1, np.int64), np.zeros((1, 2)),
                     np.array([2.0]), np.diag([0.15, 0.5, 0.5])[None] ** 2, np.array([True]), out,
                     across if drawn else np.full((1, 2), np.nan), 0.5)  # fmt: skip
    shown = project(camera, np.zeros((1, 3)))
    weight = whitened(seen, camera, shown, Noise(np.ones(1))).whitener[0]
    spread = np.linalg.inv(weight.T @ weight)
    leak = 0.0 if drawn else (np.sin(np.radians(20)) * 5.0) ** 2  # of what is open along it
    expected = np.diag([2.0**2 + 1.5**2 + leak, 2.0**2 + 5.0**2])
    assert spread == pytest.approx(expected, abs=1e-2)
