"""How sure a solution is: the noise is found from what is left over, weighed against a belief."""

import numpy as np
import pytest
from scipy.optimize import minimize_scalar

from sixwright.topics.likeness.person import solution
from sixwright.topics.likeness.solve import spread
from topics.likeness.truth import scene


def settled(squares, count, *, steps=200):
    """A variance factor from so many squares and their sum, by ever more of the solver's steps."""
    factor = 1.0
    for _ in range(steps):
        now = np.array([factor, 1.0, 1.0])
        found = np.array([squares / factor, 0.0, 0.0])
        factor = spread._factors(np.diag([float(count), 0.0, 0.0]), found, now)[0]
    return factor


@pytest.mark.parametrize("count", [1, 4, 30, 200])
@pytest.mark.parametrize("variance", [0.1, 0.5, 1.0, 3.0, 20.0])
def test_a_factor_is_the_likeliest_under_the_belief(count, variance):
    """Outside: scipy's minimiser of the same posterior, written out for one factor."""
    squares = count * variance

    def unlikely(log_v):  # normal residuals; the factor's logarithm is normal, variance 2 / BELIEF
        return count * log_v + squares / np.exp(log_v) + spread.BELIEF * log_v**2 / 2

    likeliest = minimize_scalar(unlikely, bounds=(-4, 6), method="bounded", options={"xatol": 1e-9})
    assert settled(squares, count) == pytest.approx(np.exp(likeliest.x), rel=1e-4)


def test_nothing_stated_is_believed_against_many_sightings():
    assert settled(0.25 * 400, 400) == pytest.approx(0.25, rel=0.02)
    assert settled(9.0 * 400, 400) == pytest.approx(9.0, rel=0.02)


def test_definitions_that_do_not_slip_are_found_sharper_than_stated():
    """The truth's places do not slip; every definition states that they do, by 1 mm or more."""
    noise = solution.person_fit(scene(3).inputs, "who").fitted.problem.noise
    assert noise.definition < 0.12
    assert 0.35 < noise.pixel.mean() < 1.3  # squared; 1 is right


@pytest.mark.parametrize("seed", [4, 11])
def test_the_noise_settles(seed):
    fitted = solution.person_fit(scene(seed, wrong=0.1).inputs, "who").fitted
    more = spread.fit(fitted.problem, fitted.solved, passes=60).problem.noise
    assert np.abs(np.log(more.pixel / fitted.problem.noise.pixel)).max() < 0.01
    assert abs(np.log(more.definition / fitted.problem.noise.definition)) < 0.01
