"""How long moves are that are known up to a normal spread, or up to a mixture of such."""

import numpy as np
from scipy.special import ndtri

from sixwright.numerics.draws import uniforms
from sixwright.numerics.rotations import Floats


def normals(seed: int, name: str, count: int) -> Floats:
    """Standard normal moves in three directions, each with its opposite: the same each time.

    Parameters
    ----------
    seed, name
        As in `draws.uniforms`.
    count
        1 or more.

    Returns
    -------
    (2 count, 3)

    Raises
    ------
    InputError
        If `count` is out of range.

    Source
    ------
    Inverse of the distribution, of numbers by name (`numerics.draws`), and their opposites, so
    that no direction is drawn more often than its opposite.
    """
    rows = [row for block in (0, 1) for row in uniforms(seed, name, block, count)][:3]
    drawn = ndtri(np.array(rows).T)
    return np.concatenate([drawn, -drawn])


def lengths(mean: Floats, covariance: Floats, drawn: Floats) -> Floats:
    """Lengths of moves drawn from normal spreads.

    Parameters
    ----------
    mean, covariance
        (b, k) and (b, k, k), k from 1 to 3.
    drawn
        (n, 3), standard normal; the first k columns are used.

    Returns
    -------
    (b, n)

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite.

    Source
    ------
    x = mean + root z, with the root by the covariance's own axes.
    """
    sizes, axes = np.linalg.eigh(covariance)
    root = axes * np.sqrt(np.maximum(sizes, 0.0))[:, None, :]
    moved = mean[:, None, :] + drawn[:, : mean.shape[1]] @ root.transpose(0, 2, 1)
    long: Floats = np.linalg.norm(moved, axis=2)
    return long


def chance_longer(long: Floats, weights: Floats, radius: float) -> float:
    """Chance that a move is longer than a radius.

    Parameters
    ----------
    long
        (b, n), as `lengths`.
    weights
        (b,), sum 1.
    radius
        Zero or more.

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    Share of the draws.
    """
    return float(weights @ (long > radius).mean(axis=1))


def length_at(long: Floats, weights: Floats, level: float) -> float:
    """The length that a move stays below with some chance.

    Parameters
    ----------
    long, weights
        As in `chance_longer`.
    level
        Between 0 and 1.

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    Quantile of the weighted draws.
    """
    share = np.repeat(weights / long.shape[1], long.shape[1])
    order = np.argsort(long, axis=None, kind="stable")
    at = int(np.searchsorted(np.cumsum(share[order]), level * (1 - 1e-12)))
    return float(long.ravel()[order[min(at, long.size - 1)]])
