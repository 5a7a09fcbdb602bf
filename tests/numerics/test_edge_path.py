"""A path that clings to edges: along planted edges, whose places are known by their formula."""

import itertools

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from sixwright.numerics.edge_path import edge_path

CENTRE, RADIUS = np.array([210.0, 190.0]), 120.0


def disc(*, noise=8.0, blur=1.5, size=(400, 420)):
    """A light disc on a dark ground, blurred, with noise."""
    y, x = np.mgrid[: size[0], : size[1]]
    inside = np.hypot(x - CENTRE[0], y - CENTRE[1]) < RADIUS
    rng = np.random.Generator(np.random.Philox(9))
    return gaussian_filter(np.where(inside, 180.0, 60.0), blur) + rng.normal(0, noise, size)


def on_rim(degrees):
    angle = np.radians(degrees)
    return tuple(CENTRE + RADIUS * np.array([np.cos(angle), np.sin(angle)]))


def along(path):
    """Places every pixel or so along a path's straight pieces."""
    pieces = [a + np.linspace(0, 1, max(2, int(np.hypot(*(b - a)))))[:, None] * (b - a)
              for a, b in itertools.pairwise(path)]  # fmt: skip
    return np.concatenate(pieces)


@pytest.mark.parametrize(("start", "end"), [(10, 80), (-150, -60), (100, 175)])
def test_between_two_clicks_on_a_rim_it_runs_along_the_rim(start, end):
    ends = on_rim(start), on_rim(end)
    path = edge_path(disc(), *ends)
    assert tuple(path[0]) == ends[0]
    assert tuple(path[-1]) == ends[1]
    off = np.abs(np.hypot(*(along(path) - CENTRE).T) - RADIUS)
    chord = RADIUS * (1 - np.cos(np.radians(end - start) / 2))
    assert off.mean() < 1.0
    assert off.max() < 3.0 < chord / 4
    assert len(path) < 40  # few enough to be moved one by one


def test_clicks_that_miss_the_rim_by_a_little_are_led_back_to_it():
    ends = tuple(np.array(on_rim(20)) + 4), tuple(np.array(on_rim(90)) - 4)
    path = along(edge_path(disc(), *ends))
    inner = path[len(path) // 5 : -len(path) // 5]
    assert np.abs(np.hypot(*(inner - CENTRE).T) - RADIUS).mean() < 1.2


def test_where_nothing_is_to_cling_to_it_is_nearly_straight():
    flat = np.full((200, 200), 90.0)
    path = along(edge_path(flat, (20.0, 30.0), (180.0, 120.0)))
    length = np.hypot(*np.diff(path, axis=0).T).sum()
    assert length < 1.09 * np.hypot(160, 90)  # eight directions are at most 8.2 % longer


def test_a_large_stretch_is_followed_on_a_smaller_picture():
    big = np.kron(disc(noise=0), np.ones((4, 4)))
    ends = [tuple(4 * np.array(on_rim(d)) + 1.5) for d in (10, 80)]
    off = np.abs(np.hypot(*((along(edge_path(big, *ends)) - 1.5) / 4 - CENTRE).T) - RADIUS)
    assert off.mean() < 1.5


def test_a_place_outside_is_refused_and_one_click_twice_is_a_point():
    with pytest.raises(ValueError, match="place must lie within 420 by 400 px"):
        edge_path(disc(), (0.0, 0.0), (500.0, 2.0))
    assert len(edge_path(disc(), (50.0, 50.0), (50.2, 50.0))) == 2
