"""Smooth fields seen with noise: scikit-learn's Gaussian process, and laws of contrasts."""

import numpy as np
import pytest

from sixwright.numerics.fields import contrasts, posterior, smoothness
from sixwright.numerics.similarity import tangent


@pytest.fixture
def places():
    rng = np.random.Generator(np.random.Philox(2))
    return rng.uniform(-10, 10, (20, 3))


def test_the_posterior_is_that_of_scikit_learns_gaussian_process(places):
    """One component of a field, the same kernel and noise, on the same data."""
    gaussian_process = pytest.importorskip("sklearn.gaussian_process")
    kernels = gaussian_process.kernels
    rng = np.random.Generator(np.random.Philox(3))
    told = rng.normal(0, 0.3, len(places))
    noise = rng.uniform(0.02, 0.2, len(places)) ** 2
    kernel = kernels.ConstantKernel(0.3**2, "fixed") * kernels.RBF(7.0, "fixed")
    other = gaussian_process.GaussianProcessRegressor(kernel, alpha=noise, optimizer=None)
    mean, covariance = other.fit(places, told).predict(places, return_cov=True)
    believed = 0.3**2 * smoothness(places, 7.0)
    found = posterior(believed, np.linalg.inv(believed + np.diag(noise)), told)
    assert found.mean == pytest.approx(mean, abs=1e-9)
    assert found.covariance == pytest.approx(covariance, abs=1e-9)


def test_what_an_alignment_takes_up_tells_nothing(places):
    """Any shift, turn or resizing of the whole added to what was seen changes no contrast."""
    moves = tangent(places)
    free = contrasts(moves)
    assert free.T @ free == pytest.approx(np.eye(53), abs=1e-12)
    assert free.T @ moves == pytest.approx(np.zeros((53, 7)), abs=1e-12)


def test_conditioning_on_contrasts_is_a_vague_alignment_taken_out(places):
    """The same as a joint solution in which the alignment has an endless spread."""
    rng = np.random.Generator(np.random.Philox(5))
    believed = np.kron(0.2**2 * smoothness(places, 6.0), np.eye(3)) + 0.05**2 * np.eye(60)
    noise = np.diag(rng.uniform(0.05, 0.1, 60) ** 2)
    seen = rng.normal(0, 0.2, 60)
    moves = tangent(places)
    free = contrasts(moves)
    precision = free @ np.linalg.inv(free.T @ (believed + noise) @ free) @ free.T
    found = posterior(believed, precision, seen)
    vague = np.linalg.inv(believed + noise + 1e5 * moves @ moves.T)
    other = posterior(believed, vague, seen)
    assert found.mean == pytest.approx(other.mean, abs=1e-5)
    assert found.covariance == pytest.approx(other.covariance, abs=1e-6)
