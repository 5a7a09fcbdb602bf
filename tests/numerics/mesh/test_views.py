"""What a camera sees of a mesh, against OpenCV's cameras and polygons, and a sphere's formulas."""

import cv2
import numpy as np
import pytest
from scipy.spatial import cKDTree

from numerics.mesh.shapes import mesh, sphere, torus
from sixwright.kernel.errors import InputError
from sixwright.numerics.mesh import views
from sixwright.numerics.mesh.views import ImageWindow, Lens, model_of, outline, view

QUARTER = 0.25  # of an image's pixel
FINE = 16  # pixels of the test's own picture to one of the image's
BITS = 8  # OpenCV takes corners in 256ths of a pixel


def turned(seed):
    """A rotation from any one side."""
    rng = np.random.Generator(np.random.Philox(seed))
    return cv2.Rodrigues(rng.normal(size=3))[0]


def lens(seed=1, *, away=320.0, squeeze=1.0, mirrored=None):
    return Lens(
        turned(seed), np.array([4.0, -3.0, away]), 1400.0, np.array([310.3, 255.6]), squeeze,
        mirrored,
    )  # fmt: skip


def by_opencv(places, camera):
    """Where OpenCV puts places; the mirror is ours: x becomes width - 1 - x."""
    matrix = np.array(
        [[camera.squeeze * camera.focal_px, 0, camera.middle_px[0]],
         [0, camera.focal_px, camera.middle_px[1]], [0, 0, 1]]
    )  # fmt: skip
    turn = cv2.Rodrigues(camera.rotation)[0]
    found = cv2.projectPoints(places.astype(np.float64), turn, camera.translation, matrix, None)[0]
    found = found.reshape(-1, 2)
    if camera.mirrored_width_px is not None:
        found[:, 0] = camera.mirrored_width_px - 1 - found[:, 0]
    return found


CAMERAS = {
    "plain": lens(1),
    "squeezed": lens(2, squeeze=1.3),
    "mirrored": lens(3, mirrored=640.0),
    "near": lens(4, away=90.0),
}


@pytest.mark.parametrize("camera", CAMERAS.values(), ids=CAMERAS)
def test_places_fall_where_opencv_puts_them(camera):
    places = torus(12, 5).vertices
    assert camera.pixels(places) == pytest.approx(by_opencv(places, camera), abs=1e-6)


@pytest.mark.parametrize("camera", CAMERAS.values(), ids=CAMERAS)
def test_a_ray_through_a_places_pixel_runs_through_the_place(camera):
    places = torus(12, 5).vertices[::37]
    along = camera.directions(camera.pixels(places))
    away = places - camera.eye
    across = np.cross(along, away) / np.linalg.norm(along, axis=1)[:, None]
    assert np.abs(across).max() < 1e-9 * np.abs(away).max() * 100


def drawn_by_opencv(made, camera, window):
    """(height, width): whether OpenCV's polygons of all faces cover a pixel's middle."""
    at = (by_opencv(made.vertices, camera) - [window.left, window.top]) / window.step
    picture = np.zeros((window.height, window.width), np.uint8)
    for corners in np.round(at[made.faces] * 2**BITS).astype(np.int32):
        cv2.fillConvexPoly(picture, corners, 1, lineType=cv2.LINE_8, shift=BITS)
    return picture > 0


def rim(met):
    """Places between two pixels of which one is covered."""
    across = np.argwhere(met[:, 1:] != met[:, :-1]) + np.array([0, 0.5])
    down = np.argwhere(met[1:] != met[:-1]) + np.array([0.5, 0])
    return np.vstack([across, down])


@pytest.mark.parametrize("camera", CAMERAS.values(), ids=CAMERAS)
def test_the_edge_lies_within_a_quarter_pixel_of_a_second_renderers(camera):
    made = torus(12, 5, 160, 90, bumps=0.1)
    shown = by_opencv(made.vertices, camera)
    middle = shown[shown[:, 0].argmin()]  # at the left edge
    window = ImageWindow(*(middle - 24), 1 / FINE, 48 * FINE, 48 * FINE)
    ours = rim(view(model_of(made), camera, window).face >= 0)
    theirs = rim(drawn_by_opencv(made, camera, window))
    assert len(ours) > 500
    for some, others in ((ours, theirs), (theirs, ours)):
        off = cKDTree(others).query(some)[0] / FINE
        assert off.max() <= QUARTER
        assert off.mean() <= QUARTER / 4


SPHERE = sphere(10.0, 6)


def test_a_sphere_is_as_wide_as_its_tangent_cone():
    camera = Lens(np.eye(3), np.array([0, 0, 100.0]), 1000.0, np.array([200.0, 200.0]))
    window = ImageWindow(80, 80, 0.5, 480, 480)
    seen = view(model_of(SPHERE), camera, window)
    radius = 1000 * 10 / np.sqrt(100**2 - 10**2)
    assert np.sqrt(seen.cover.sum() / 4 / np.pi) == pytest.approx(radius, abs=QUARTER)
    assert seen.depth.min() == pytest.approx(90, abs=0.01)


def test_what_faces_the_light_is_lightest_and_nothing_is_black():
    camera = Lens(np.eye(3), np.array([0, 0, 100.0]), 1000.0, np.array([200.0, 200.0]))
    seen = view(model_of(SPHERE), camera, ImageWindow(80, 80, 1, 240, 240))
    row, column = np.unravel_index(seen.shade.argmax(), seen.shade.shape)
    assert row < 120
    assert column < 120
    assert seen.shade[seen.cover > 0].min() > 0.13
    assert not seen.shade[seen.cover == 0].any()


def test_faces_smaller_than_a_pixel_are_shaded_alike_each_by_its_own_plane(monkeypatch):
    camera = Lens(np.eye(3), np.array([0, 0, 100.0]), 1000.0, np.array([200.0, 200.0]))
    window = ImageWindow(80, 80, 4, 60, 60)
    smooth = view(model_of(SPHERE), camera, window)
    monkeypatch.setattr(views, "SMOOTHED_TO", 0)
    flat = view(model_of(SPHERE), camera, window)
    inner = smooth.cover == 1
    assert np.abs(flat.shade - smooth.shade)[inner].max() < 0.04
    assert (flat.shade != smooth.shade).any()


def test_an_edge_pixel_is_covered_in_part():
    camera = Lens(np.eye(3), np.array([0, 0, 100.0]), 1000.0, np.array([200.0, 200.0]))
    model = model_of(SPHERE)
    coarse = view(model, camera, ImageWindow(80, 80, 8, 30, 30)).cover
    fine = view(model, camera, ImageWindow(80 - 3.5, 80 - 3.5, 1, 240, 240)).face >= 0
    wanted = fine.reshape(30, 8, 30, 8).mean(axis=(1, 3))
    assert np.abs(coarse - wanted).max() < 0.2  # nine rays in place of sixty-four
    assert np.abs(coarse - wanted).mean() < 0.01


def test_the_outline_is_the_edge_and_the_step_behind_it():
    """A small sphere before a large one: two circles."""
    both = mesh(
        np.vstack([SPHERE.vertices, SPHERE.vertices * 0.4 + [0, 0, -30]]),
        np.vstack([SPHERE.faces, SPHERE.faces + len(SPHERE.vertices)]),
    )
    camera = Lens(np.eye(3), np.array([0, 0, 200.0]), 2000.0, np.array([150.0, 150.0]))
    edge = outline(view(model_of(both), camera, ImageWindow(0, 0, 1, 301, 301)), jump=2.0)
    away = np.hypot(*(np.argwhere(edge) - 150).T)
    large = 2000 * 10 / np.sqrt(200**2 - 10**2)
    small = 2000 * 4 / np.sqrt(170**2 - 4**2)
    near = np.minimum(np.abs(away - large), np.abs(away - small))
    assert near.max() < 1.5
    assert (np.abs(away - small) < 1.5).sum() > 200
    assert (np.abs(away - large) < 1.5).sum() > 400


def test_a_window_without_pixels_is_refused():
    with pytest.raises(InputError, match="window must have pixels"):
        view(model_of(SPHERE), CAMERAS["plain"], ImageWindow(0, 0, 1, 0, 5))
