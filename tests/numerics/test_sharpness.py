"""The blur of a picture: planted by scipy's Gaussian filter on noise and on edges."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from sixwright.numerics.sharpness import LEAST_PX, blur_px


def noise(seed=1, size=(360, 480)):
    return np.random.Generator(np.random.Philox(seed)).normal(128, 60, size)


@pytest.mark.parametrize("blur", [1.5, 2.0, 3.0, 5.0])
def test_a_planted_blur_of_noise_is_found(blur):
    assert blur_px(gaussian_filter(noise(), blur)) == pytest.approx(blur, rel=0.1)


def test_a_sharper_picture_of_shapes_is_told_from_a_softer_one():
    rng = np.random.Generator(np.random.Philox(2))
    shapes = np.kron(rng.integers(40, 220, (18, 24)), np.ones((20, 20)))
    found = [blur_px(gaussian_filter(shapes, s)) for s in (0.5, 1.0, 2.0, 4.0)]
    assert found == sorted(found)
    assert found[-1] > 2 * found[0]


def test_contrast_and_brightness_change_nothing():
    picture = gaussian_filter(noise(), 2)
    assert blur_px(0.3 * picture + 40) == pytest.approx(blur_px(picture), rel=1e-6)


def test_what_was_in_focus_counts_and_the_rest_may_be_soft():
    picture = gaussian_filter(noise(), 6)
    picture[120:240, 160:320] = gaussian_filter(noise(3), 1.5)[120:240, 160:320]
    assert blur_px(picture) < 2


def test_a_flat_picture_says_nothing_and_noise_is_as_sharp_as_can_be():
    assert blur_px(np.full((90, 90), 7.0)) is None
    framed = np.zeros((90, 90))
    framed[0] = framed[:, -1] = 200.0  # only the outermost line is not flat
    assert blur_px(framed) is None
    assert LEAST_PX <= blur_px(noise()) < 0.7
    with pytest.raises(ValueError, match="must be"):
        blur_px(np.zeros((3, 3, 3)))
