"""Whether a slant is told from noise: against least squares done twice, and on clean stills."""

import numpy as np
import pytest
from scipy import stats

from sixwright.topics.likeness.person.solution import person_fit
from sixwright.topics.likeness.solve.slant import _bends, _chance, slants
from topics.likeness.truth import scene


@pytest.mark.parametrize("seed", range(5))
def test_the_chance_is_that_of_the_f_test_of_two_least_squares_fits(seed):
    """Outside: numpy's lstsq fits a linear model with and without the columns, scipy has F."""
    rng = np.random.Generator(np.random.Philox(seed))
    known, bends = rng.normal(size=(40, 9)), rng.normal(size=(40, 3))
    data = known @ rng.normal(size=9) + rng.normal(size=40) + seed * 0.2 * bends[:, 0]
    left = [data - m @ np.linalg.lstsq(m, data)[0] for m in (known, np.hstack([known, bends]))]
    plain, bent = (float(r @ r) for r in left)
    expected = stats.f.sf((plain - bent) / 3 / (bent / (40 - 12)), 3, 40 - 12)
    free = np.eye(40) - known @ np.linalg.pinv(known)
    assert _chance(bends, left[0], free) == pytest.approx(expected, rel=1e-8)


def test_a_slant_is_a_shear_and_two_convergences_to_first_order():
    """Outside: a plane seen at a slant maps by a homography (hartley-zisserman, 2.3)."""
    rng = np.random.Generator(np.random.Philox(3))
    place = rng.uniform(-400, 400, (30, 2))
    small = 1e-7
    away = place - np.median(place, axis=0)
    homography = np.array([[1, 3e-4, 0], [0, 1, 0], [small, -2 * small, 1]])
    moved = np.column_stack([away, np.ones(30)]) @ homography.T
    change = moved[:, :2] / moved[:, 2:] - away
    columns = _bends(place)[:, :, :3].reshape(60, 3)
    found = np.linalg.lstsq(columns, change.ravel())[0]
    assert columns @ found == pytest.approx(change.ravel(), abs=1e-4)
    size = np.abs(away).max()
    assert found == pytest.approx([3e-4 * size, -small * size**2, 2 * small * size**2], rel=1e-3)


def test_clean_stills_look_bent_no_more_often_than_chance_has_it():
    chances = []
    for seed in range(10):
        chances += list(slants(person_fit(scene(seed).inputs, "who").fitted).each)
    judged = [chance for chance in chances if chance < 1]
    assert len(judged) > 40
    assert np.mean(np.array(judged) < 0.1) < 0.25
    assert min(judged) > 1e-5


def test_too_little_is_no_evidence():
    assert _chance(np.ones((5, 3)), np.ones(5), np.eye(5)) == 1.0
