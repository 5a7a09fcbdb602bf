"""How far repeated readings of the same things scatter."""

from dataclasses import dataclass

import numpy as np

from sixwright.kernel.intervals import Interval
from sixwright.numerics.rotations import Floats

LEVEL = 0.95


@dataclass(frozen=True, slots=True)
class Repeats:
    """The spread of one reading, by pairs of readings.

    Attributes
    ----------
    pairs
        How many were counted.
    found
        By the pairs alone, standard deviation with its interval; None without pairs.
    used
        The same with what was believed beforehand.
    """

    pairs: int
    found: Interval | None
    used: float


def repeat_spread(differences: Floats, *, believed: float, weight: float) -> Repeats:
    """Standard deviation of one reading of a coordinate, from pairs of readings.

    Parameters
    ----------
    differences
        (n, d): second reading minus first, of d coordinates each.
    believed
        The standard deviation that is believed beforehand, same unit, above 0.
    weight
        How many differences the belief is worth; zero or more.

    Raises
    ------
    ValueError
        If the differences are not a table.

    Source
    ------
    The within-subject standard deviation of two readings, the root of sum d² / 2n (bland-1996);
    its interval by the chi-squared distribution of n d degrees of freedom. The belief enters as
    readings of that spread: a scaled inverse chi-squared prior.
    """
    from scipy.stats import chi2

    if differences.ndim != 2:
        raise ValueError(f"differences must be (n, d); received {differences.shape!r}.")
    count = differences.size
    squares = float((differences**2).sum()) / 2
    used = float(np.sqrt((weight * believed**2 + squares) / (weight + count)))
    if not count:
        return Repeats(0, None, believed)
    low, high = (float(np.sqrt(squares / chi2.ppf(q, count))) for q in (0.975, 0.025))
    value = float(np.sqrt(squares / count))
    return Repeats(len(differences), Interval(value, low, high, LEVEL), used)
