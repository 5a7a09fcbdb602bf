"""Whether a part fits the small-parts cylinder, against points and bodies in the gauge itself.

16 CFR 1501.4: 1.25 in across, 1.00 to 2.25 in deep with a sloping bottom (the rule was read, the
three numbers are from memory).
"""

from fractions import Fraction
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.topics.care.small_parts import LONGEST_MM, GaugeFit, fit

RADIUS, SHALLOW, DEEP = 15.875, 25.4, 57.15
lengths = st.floats(0.2, 90).map(lambda mm: Fraction(mm).limit_denominator(1000))


def is_inside(points):
    """Points (n × 3, mm) in the gauge: its axis is z, its open end z = 0, its bottom slopes."""
    x, y, z = np.asarray(points, float).T
    bottom = SHALLOW + (DEEP - SHALLOW) * (x + RADIUS) / (2 * RADIUS)
    near = 1e-9
    return (x**2 + y**2 <= RADIUS**2 + near) & (z >= -near) & (z <= bottom + near)


@given(st.tuples(lengths, lengths, lengths))
def test_the_box_of_what_fits_lies_in_the_gauge(size):
    """All eight corners, with one side along the axis: no body in the box sticks out."""
    if fit(size) is not GaugeFit.FITS:
        return
    half = [float(length) / 2 for length in size]
    ways = ((0, 1, 2), (1, 2, 0), (2, 0, 1))
    corners = np.array(list(product((-1, 1), repeat=3)))
    found = []
    for across, over, along in ways:
        placed = corners * [half[across], half[over], half[along]]
        placed[:, 2] += half[along]
        found.append(is_inside(placed).all())
    assert any(found)


def test_no_two_points_of_the_gauge_are_further_apart_than_its_longest():
    rng = np.random.default_rng(1501)
    rim = rng.uniform(0, 2 * np.pi, 4000)
    x, y = RADIUS * np.cos(rim), RADIUS * np.sin(rim)
    top = np.column_stack([x, y, 0 * x])
    bottom = np.column_stack([x, y, SHALLOW + (DEEP - SHALLOW) * (x + RADIUS) / (2 * RADIUS)])
    assert is_inside(top).all()
    assert is_inside(bottom).all()
    far = np.linalg.norm(top[:, None, :] - bottom[None, ::40, :], axis=2).max()
    assert LONGEST_MM - 0.5 < far <= LONGEST_MM


@pytest.mark.parametrize(
    ("size", "found"),
    [
        ((11, "4.5", "1.6"), GaugeFit.FITS),
        (("24.26", "24.26", "1.75"), GaugeFit.FITS),
        ((22, 22, 22), GaugeFit.FITS),
        ((23, 23, 23), GaugeFit.OPEN),
        ((40, 40, 40), GaugeFit.OPEN),
        ((50, 4, 4), GaugeFit.OPEN),
        ((66, 4, 4), GaugeFit.TOO_LONG),
        ((None, 4, 4), GaugeFit.UNKNOWN),
        ((0, 4, 4), GaugeFit.UNKNOWN),
    ],
    ids=["a key", "a coin", "a cube that just fits", "a cube that just does not", "a ball",
         "a peg that may lie aslant", "a rod", "no length", "no thickness"],
)  # fmt: skip
def test_what_three_lengths_tell(size, found):
    assert fit([None if length is None else Fraction(str(length)) for length in size]) is found


def test_cloth_is_never_too_long_for_it():
    size = (Fraction(240), Fraction(95), Fraction(4))
    assert fit(size) is GaugeFit.TOO_LONG
    assert fit(size, folds=True) is GaugeFit.OPEN


@given(st.tuples(lengths, lengths, lengths), st.permutations((0, 1, 2)))
def test_which_length_is_called_which_changes_nothing(size, order):
    assert fit(size) is fit([size[at] for at in order])
