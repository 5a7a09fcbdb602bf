"""What becomes of a covariance when quantities are computed from others."""

import numpy as np

from sixwright.numerics.rotations import Floats


def propagated(jacobian: Floats, covariance: Floats) -> Floats:
    """Covariance of quantities computed from others, to first order: J C J'.

    Parameters
    ----------
    jacobian
        (m, n): derivative of each computed quantity by each one given.
    covariance
        (n, n), symmetric.

    Returns
    -------
    (m, m), exactly symmetric.

    Raises
    ------
    ValueError
        If the shapes do not fit.

    Source
    ------
    gum (JCGM 100:2008), equation 13 and F.1.2.3; its example H.2 is in the tests.
    """
    spread = jacobian @ covariance @ jacobian.T
    both: Floats = (spread + spread.T) / 2
    return both


def deviations(covariance: Floats) -> Floats:
    """(n,): standard deviations of a covariance, rounding below zero taken as zero."""
    spread: Floats = np.sqrt(np.maximum(np.diag(covariance), 0.0))
    return spread
