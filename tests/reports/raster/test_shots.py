"""Pictures through lenses: points and marks lie where the camera puts them, bars are true."""

from io import BytesIO

import cv2
import numpy as np
import pytest
from PIL import Image

from line.heads import plain_head
from sixwright.line.meshes import MeshRef
from sixwright.line.shots import Camera, Placed, ShotSighting, ThroughStill, Trace, TwelveSides
from sixwright.numerics.mesh.views import ImageWindow, model_of
from sixwright.reports.raster import panel, photograph, shots
from sixwright.reports.raster.traces import traces

HEAD = plain_head()
MODEL = model_of(HEAD)
SIZE = (640, 480)


def camera(yaw=20.0, *, squeeze=1.0, mirrored=False):
    lens = shots.looking(MODEL, yaw, 4.0, 330.0, 2200.0)
    rows = tuple(tuple(float(v) for v in row) for row in lens.rotation)
    shift = tuple(float(v) for v in lens.translation)
    return Camera(rows, shift, 2200.0, (330.0, 250.0), squeeze, mirrored, *map(float, SIZE))


def as_file(points, kind="PNG", **more):
    out = BytesIO()
    Image.fromarray(points).save(out, kind, **more)
    return out.getvalue()


def blob(at):
    """A still that is dark but for a soft spot whose middle is at a place."""
    x, y = np.meshgrid(np.arange(SIZE[0]), np.arange(SIZE[1]))
    light = 250 * np.exp(-((x - at[0]) ** 2 + (y - at[1]) ** 2) / (2 * 6.0**2))
    return np.repeat(light[..., None], 3, axis=2).astype(np.uint8)


@pytest.mark.parametrize("step", [0.4, 0.83, 1.0, 1.7])
def test_a_place_of_the_still_lies_where_the_window_says(step):
    at = np.array([331.3, 204.8])
    window = ImageWindow(at[0] - 120 * step - 3.2, at[1] - 90 * step + 1.7, step, 240, 200)
    still = photograph.photograph(as_file(blob(at)), SIZE)
    shown = photograph.cut(still, window)[..., 0]
    y, x = np.mgrid[: shown.shape[0], : shown.shape[1]]
    inside = (
        np.hypot(x - window.shown(at[None])[0, 0], y - window.shown(at[None])[0, 1]) < 25 / step
    )
    weight = shown * inside
    middle = np.array([(x * weight).sum(), (y * weight).sum()]) / weight.sum()
    assert np.abs(middle - window.shown(at[None])[0]).max() * step < 0.25


def test_beyond_the_stills_edge_is_paper():
    still = photograph.photograph(as_file(np.zeros((*SIZE[::-1], 3), np.uint8)), SIZE)
    shown = photograph.cut(still, ImageWindow(-50, -50, 1, 80, 80))
    assert (shown[:40, :40] == panel.PAPER).all()
    assert (shown[55:, 55:] == 0).all()


def test_a_still_that_was_turned_by_its_camera_is_shown_upright():
    points = np.zeros((SIZE[0], SIZE[1], 3), np.uint8)  # on its side: height and width changed
    exif = Image.Exif()
    exif[0x0112] = 6
    assert photograph.photograph(as_file(points, "JPEG", exif=exif), SIZE) is not None


@pytest.mark.parametrize(
    "content",
    [None, b"", b"\xff\xd8\xff\xe0 no more", as_file(np.zeros((9, 9, 3), np.uint8))],
    ids=["none", "empty", "cut off", "of another size"],
)
def test_what_is_no_still_of_that_size_is_left_out(content):
    assert photograph.photograph(content, SIZE) is None


@pytest.mark.parametrize("mirrored", [False, True])
@pytest.mark.parametrize("squeeze", [1.0, 1.25])
def test_the_scale_bar_is_as_long_as_it_says(squeeze, mirrored):
    """Ten millimetres across, at the middle of the head, put into the picture by OpenCV."""
    taken = camera(squeeze=squeeze, mirrored=mirrored)
    lens = shots.lens_of(taken)
    window = shots.window_of(MODEL, lens, shots.PANEL)
    bar, words = panel.scale_bar(*shots.PANEL, shots._pixels_a_mm(MODEL, lens, window))
    length = bar.points[2][0] - bar.points[1][0]
    across = lens.rotation[0]  # along the image's rows
    ends = MODEL.middle + np.outer([-5, 5], across)
    matrix = np.array([[squeeze * 2200.0, 0, 330], [0, 2200.0, 250], [0, 0, 1]])
    turn = cv2.Rodrigues(lens.rotation)[0]
    shown = cv2.projectPoints(ends, turn, lens.translation, matrix, None)[0].reshape(-1, 2)
    assert words.text == "10 mm"
    assert length == pytest.approx(abs(shown[1, 0] - shown[0, 0]) / window.step, rel=1e-3)


@pytest.mark.parametrize("mirrored", [False, True])
def test_the_whole_head_is_in_the_window(mirrored):
    lens = shots.lens_of(camera(mirrored=mirrored))
    window = shots.window_of(MODEL, lens, shots.PANEL)
    at = window.shown(lens.pixels(HEAD.vertices.astype(float)))
    assert (at > 0).all()
    assert (at < shots.PANEL).all()
    assert (at.min(axis=0) < np.array(shots.PANEL) * 0.2).any()


def shot(**more):
    place = (0.0, -5.0, 20.0)
    marks = (
        Placed(place, (0.0, 0.0, 3.0), fails=True),
        Placed((5.0, 4.0, 14.0), None, fails=False),
    )
    seen = (
        ShotSighting((300.0, 240.0), rejected=False),
        ShotSighting((360.0, 200.0), rejected=True),
    )
    return ThroughStill("r", "s", MeshRef("h.stl"), "0", "s.png", camera(**more), seen, marks)


def test_a_picture_of_a_still_has_four_panels_and_the_same_bytes_twice():
    still = as_file(blob((320, 240)))
    made = shots.drawn(shot(), MODEL, still)
    assert made == shots.drawn(shot(), MODEL, still)
    assert Image.open(BytesIO(made)).size == (1248, 1408)


def test_a_correction_is_violet_and_points_to_the_persons_landmark_three_times_as_long():
    marks = shot().landmarks
    lens = shots.lens_of(camera())
    window = shots.window_of(MODEL, lens, shots.PANEL)
    drawn = list(shots._moves(marks, lens, window))
    line = next(m for m in drawn if isinstance(m, panel.Stroke))
    assert line.colour == panel.NEEDS
    ends = np.array([(0.0, -5.0, 20.0), (0.0, -5.0, 20.0 + 3 * 3.0)])  # 3 mm out of the face
    assert np.array(line.points) == pytest.approx(window.shown(lens.pixels(ends)))
    picture = panel.with_marks(panel.ground(*shots.PANEL), tuple(drawn))
    x, y = np.round(np.mean(line.points, axis=0)).astype(int)
    assert np.abs(picture[y, x] - panel.NEEDS).max() < 60


def test_a_landmark_that_the_sculpt_hides_is_not_drawn():
    back = Placed((0.0, 5.0, -17.0), None, fails=False)
    tip = Placed((0.0, -5.5, 19.5), None, fails=False)
    lens = shots.lens_of(camera(0.0))
    assert shots._in_sight((back, tip), MODEL, lens) == (tip,)
    assert shots._in_sight((), MODEL, lens) == ()


def test_a_sighting_that_was_left_out_is_struck_through():
    window = ImageWindow(0, 0, 1, *SIZE)
    marks = list(shots._rings(shot().sightings, window))
    assert [type(mark).__name__ for mark in marks] == ["Ring", "Ring", "Stroke"]
    assert marks[0].at == (300.0, 240.0)


def test_twelve_sides_are_twelve_panels_at_one_scale():
    made = shots.drawn(TwelveSides("r", MeshRef("h.stl"), "0"), MODEL, None)
    picture = np.asarray(Image.open(BytesIO(made)).convert("L"), float)
    assert picture.shape[::-1] == (1224, 1066)
    assert len(shots.SIDES) == 12
    bars = [picture[i * 358 + 336, j * 308 + 14 : j * 308 + 200] < 90
            for i in range(3) for j in range(4)]  # fmt: skip
    lengths = [bar.sum() for bar in bars]
    assert min(lengths) > 30
    assert max(lengths) - min(lengths) <= 3


def test_without_its_still_the_sculpt_is_shown_on_paper():
    made = shots.drawn(shot(), MODEL, None)
    corner = np.asarray(Image.open(BytesIO(made)))[60, 600]
    assert np.abs(corner.astype(int) - panel.PAPER).max() < 6


def test_the_left_is_to_the_left_of_a_mirrored_still():
    """Drawn over a mirrored still, the figure's left ear lies where it lies in that still."""
    for mirrored in (False, True):
        lens = shots.lens_of(camera(0.0, mirrored=mirrored))
        left, right = lens.pixels(np.array([[12.0, 0, 0], [-12.0, 0, 0]]))
        assert (left[0] > right[0]) is not mirrored


def test_a_drawn_outline_has_teeth_from_the_sculpts_three_times_as_long():
    window = ImageWindow(100.0, 50.0, 0.5, *SIZE)
    drawn = Trace(
        ((200.0, 100.0), (200.0, 110.0)), ((196.0, 100.0), (203.0, 110.0)), (True, False), 0.42,
        (200.0, 105.0),
    )  # fmt: skip
    line, first, second, words = traces((drawn,), window, longer=3.0)
    assert line.points == ((200.0, 100.0), (200.0, 120.0))  # at two pixels of the panel to one
    assert first.points == ((192.0, 100.0), (216.0, 100.0))
    assert second.points == ((206.0, 120.0), (188.0, 120.0))
    assert (first.colour, second.colour) == (panel.NEEDS, panel.INK)
    assert words.text == "0.4 mm out"


def test_an_outline_inside_the_sculpts_says_in_and_one_that_is_right_says_nothing():
    window = ImageWindow(0, 0, 1, *SIZE)
    drawn = Trace(((5.0, 5.0),), ((6.0, 5.0),), (True,), -0.31, (5.0, 5.0))
    assert [
        m.text for m in traces((drawn,), window, longer=3.0) if isinstance(m, panel.PanelText)
    ] == ["0.3 mm in"]
    right = Trace(((5.0, 5.0),), ((6.0, 5.0),), (False,))
    assert not any(isinstance(m, panel.PanelText) for m in traces((right,), window, longer=3.0))
