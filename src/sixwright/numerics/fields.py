"""What is believed of many moves at once: a smooth field, seen up to a turn, shift and resizing."""

from dataclasses import dataclass

import numpy as np

from sixwright.numerics.rotations import Floats


def smoothness(places: Floats, reach_mm: float) -> Floats:
    """Correlation of a smooth field between places: exp(-r² / 2 reach²).

    Parameters
    ----------
    places
        (l, 3), mm.
    reach_mm
        Above 0: from where on two places move apart.

    Returns
    -------
    (l, l)

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    rasmussen-williams-2006, equation 4.9, the squared exponential covariance.
    """
    apart = ((places[:, None] - places[None]) ** 2).sum(axis=2)
    correlation: Floats = np.exp(-apart / (2 * reach_mm**2))
    return correlation


def contrasts(ignored: Floats) -> Floats:
    """Directions in which moves count when some do not: columns, orthonormal, m by m - g.

    Parameters
    ----------
    ignored
        (m, g): moves that nothing can show, of full rank; of a head its similarity's tangent.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a number is not finite.

    Source
    ------
    patterson-thompson-1971: error contrasts, which no ignored move changes.
    """
    whole = np.linalg.qr(ignored, mode="complete")[0]
    return np.asarray(whole[:, ignored.shape[1] :], dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Posterior:
    """Moves after they were seen.

    Attributes
    ----------
    mean, covariance
        (m,) and (m, m).
    """

    mean: Floats
    covariance: Floats


def posterior(believed: Floats, precision: Floats, seen: Floats) -> Posterior:
    """What is believed of moves once they were seen with noise.

    Parameters
    ----------
    believed
        (m, m): covariance beforehand, about zero.
    precision
        (m, m): inverse covariance of what was seen, N (N' (believed + noise) N)^-1 N' of the
        contrasts N.
    seen
        (m,): the moves as they were seen.

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    rasmussen-williams-2006, equations 2.25 and 2.26.
    """
    gain = believed @ precision
    left = believed - gain @ believed
    return Posterior(gain @ seen, (left + left.T) / 2)
