"""Many estimates judged at once: false discoveries, and the chance of the worst of them."""

from dataclasses import dataclass

import numpy as np
from scipy.special import fdtrc, fdtri, stdtr

from sixwright.numerics.regions import bend_at, least_squared_distance, nearest_in_ball
from sixwright.numerics.rotations import Floats

DRAWS = 20_000
LEVEL = 0.95


def region_squared(directions: int, freedom: float, level: float = LEVEL) -> float:
    """Squared Mahalanobis radius of the region that holds a truth at some level.

    Parameters
    ----------
    directions
        1 to 3.
    freedom
        Degrees of freedom of the noise, above 0.
    level
        Between 0 and 1.

    Raises
    ------
    ValueError
        If a parameter is not a number.

    Source
    ------
    Hotelling's region with a known shape and an estimated factor: k F(level; k, freedom).
    """
    return float(directions * fdtri(directions, freedom, level))


def chance_beyond(squared: Floats, directions: int, freedom: float) -> Floats:
    """Chance of squared Mahalanobis distances at least this large, one estimate at a time."""
    chance: Floats = fdtrc(directions, freedom, np.maximum(squared, 0) / directions)
    return chance


def chance_of_distance(offset: Floats, covariance: Floats, radius: float, freedom: float) -> float:
    """Chance of an estimate as far off as this one, were the truth the ball's nearest point.

    Parameters
    ----------
    offset, covariance
        (d,) and (d, d): the estimate, from the ball's centre, and its covariance.
    radius
        Above 0.
    freedom
        Degrees of freedom of the noise.

    Returns
    -------
    1 where the estimate lies in the ball.

    Raises
    ------
    numpy.linalg.LinAlgError
        If the covariance is not finite.

    Source
    ------
    A one-sided t test along the way out of the ball, less what the ball's roundness carries
    outwards (`regions.bend_at`, the mean of here and there): without that 6 in 100 calls are
    false where 5 are allowed. Of one spread all round within 2 % of the noncentral chi-square.
    """
    squared = least_squared_distance(offset, covariance, radius)
    if squared <= 0:
        return 1.0
    nearest = nearest_in_ball(offset, covariance, radius)
    bend = (bend_at(nearest, covariance) + bend_at(offset, covariance)) / 2
    return float(stdtr(freedom, bend - np.sqrt(squared)))


def false_discoveries(chances: Floats) -> Floats:
    """Chances of a family after control of the share of false ones among those called wrong.

    Parameters
    ----------
    chances
        (l,), each one's chance by itself.

    Returns
    -------
    (l,): calling wrong what is at most q here holds the expected share of false calls at q.

    Raises
    ------
    ValueError
        If a chance is not a number.

    Source
    ------
    benjamini-hochberg-1995, the step-up procedure; tests/numerics/test_multiple_tests.py shows
    that it holds under a joint covariance like that of solved points.
    """
    count = len(chances)
    order = np.argsort(chances, kind="stable")
    stepped = chances[order] * count / np.arange(1, count + 1)
    adjusted = np.zeros(count)
    adjusted[order] = np.minimum.accumulate(stepped[::-1])[::-1]
    return np.minimum(adjusted, 1.0)


@dataclass(frozen=True, slots=True)
class MaxStatistic:
    """How small the least chance of many estimates is, where none is off.

    Attributes
    ----------
    least
        (draws,), sorted: the least single chance among the estimates, draw by draw.
    """

    least: Floats

    def adjusted(self, chance: float) -> float:
        """Chance that any of the estimates looks as bad as one of this single chance."""
        below = int(np.searchsorted(self.least, chance, side="right"))
        return (below + 1) / (len(self.least) + 1)

    def single(self, level: float = LEVEL) -> float:
        """Single chance that the worst estimate stays above at the level."""
        return float(np.quantile(self.least, 1 - level))


def max_statistic(
    covariance: Floats, parts: list[Floats], *, freedom: float, seed: int, draws: int = DRAWS
) -> MaxStatistic:
    """The distribution of the worst estimate's chance under the joint covariance.

    Parameters
    ----------
    covariance
        (m, m), joint, mm².
    parts
        One matrix (m, k) an estimate: its decided directions, in the joint coordinates.
    freedom
        Degrees of freedom of the noise.
    seed
        Of the draws.
    draws
        1000 or more for a level of 95 %.

    Raises
    ------
    numpy.linalg.LinAlgError
        If the covariance is not finite.

    Source
    ------
    The maximum statistic: westfall-young-1993, 2.3, single step, by simulation of the joint
    multivariate t.
    """
    if not parts:
        return MaxStatistic(np.ones(1))
    rng = np.random.Generator(np.random.Philox(key=seed))
    joint = np.concatenate(parts, axis=1)
    own = joint.T @ covariance @ joint
    sizes, axes = np.linalg.eigh((own + own.T) / 2)
    root = axes * np.sqrt(np.maximum(sizes, 0.0))
    drawn = rng.standard_normal((draws, len(own))) @ root.T
    factor = rng.chisquare(freedom, draws) / freedom
    largest: dict[int, Floats] = {}
    begin = 0
    for part in parts:
        width = part.shape[1]
        rows = slice(begin, begin + width)
        whitener = np.linalg.inv(np.linalg.cholesky(own[rows, rows]))
        squared = ((drawn[:, rows] @ whitener.T) ** 2).sum(axis=1) / factor
        largest[width] = np.maximum(largest.get(width, squared), squared)
        begin += width
    least = np.min([chance_beyond(d, k, freedom) for k, d in largest.items()], axis=0)
    return MaxStatistic(np.sort(least))
