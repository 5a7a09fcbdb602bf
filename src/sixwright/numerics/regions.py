"""Ellipsoids of a covariance against a ball: how near and how far they reach from its centre."""

import numpy as np

from sixwright.numerics.rotations import Floats

HALVINGS = 80


def least_squared_distance(offset: Floats, covariance: Floats, radius: float) -> float:
    """Squared Mahalanobis distance from an estimate to the ball round the origin.

    Parameters
    ----------
    offset
        (d,), mm: the estimate, from the ball's centre.
    covariance
        (d, d), mm², positive definite.
    radius
        mm, zero or more.

    Returns
    -------
    Zero where the estimate lies in the ball.

    Raises
    ------
    numpy.linalg.LinAlgError
        If the covariance is not finite.

    Source
    ------
    Minimum of (x - offset)' C^-1 (x - offset) over |x| <= radius, by its one multiplier: the
    trust-region problem in the axes of C.
    """
    nearest = nearest_in_ball(offset, covariance, radius)
    sizes, axes = np.linalg.eigh(covariance)
    apart = axes.T @ (nearest - offset)
    return float((apart**2 / np.maximum(sizes, 1e-18)).sum())


def nearest_in_ball(offset: Floats, covariance: Floats, radius: float) -> Floats:
    """The point of the ball round the origin that is nearest to an estimate, by Mahalanobis.

    Parameters
    ----------
    offset, covariance, radius
        As in `least_squared_distance`.

    Returns
    -------
    (d,), mm; the estimate itself where it lies in the ball.

    Raises
    ------
    numpy.linalg.LinAlgError
        If the covariance is not finite.

    Source
    ------
    As `least_squared_distance`.
    """
    if float(offset @ offset) <= radius**2:
        return offset
    sizes, axes = np.linalg.eigh(covariance)
    sizes = np.maximum(sizes, 1e-18)
    along = axes.T @ offset
    # x_i = along_i / (1 + u size_i) with u >= 0 so large that |x| = radius.
    low, high = 0.0, 1.0
    while ((along / (1 + high * sizes)) ** 2).sum() > radius**2 and high < 1e30:
        high *= 4
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if ((along / (1 + middle * sizes)) ** 2).sum() > radius**2:
            low = middle
        else:
            high = middle
    nearest: Floats = axes @ (along / (1 + high * sizes))
    return nearest


def bend_at(point: Floats, covariance: Floats) -> float:
    """How far the roundness of a ball carries estimates of a point of its surface outwards.

    Parameters
    ----------
    point
        (d,), mm, on the surface of a ball round the origin.
    covariance
        (d, d), mm², positive definite.

    Returns
    -------
    In standard deviations along the way out: half the sum of the curvatures there.

    Raises
    ------
    ZeroDivisionError
        If the point is the origin.

    Source
    ------
    Own derivation: where the covariance is the unit the ball is the ellipsoid y' C y <= r², whose
    curvatures at y have the sum (tr C - x' C² x / x' C x) / sqrt(x' C x), x the point in mm; of
    one spread s in d directions the half is (d - 1) s / 2 r.
    """
    along = float(point @ covariance @ point)
    across = float(np.trace(covariance)) - float(point @ covariance @ covariance @ point) / along
    return float(across / (2 * along**0.5))


def reach(offset: Floats, covariance: Floats, squared: float) -> tuple[float, float]:
    """Least and greatest distance from the origin of an ellipsoid round an estimate.

    Parameters
    ----------
    offset, covariance
        As in `least_squared_distance`; the covariance may be singular.
    squared
        Squared Mahalanobis radius of the ellipsoid, zero or more.

    Returns
    -------
    Least and greatest, mm; the least is zero where the origin lies inside.

    Raises
    ------
    numpy.linalg.LinAlgError
        If the covariance is not finite.

    Source
    ------
    Extremes of |x| over (x - offset)' C^-1 (x - offset) <= squared, each by its one multiplier.
    """
    sizes, axes = np.linalg.eigh(covariance)
    sizes = np.maximum(sizes, 1e-18) * squared
    along = axes.T @ offset
    if squared <= 0:
        length = float(np.linalg.norm(offset))
        return length, length
    return _nearest(along, sizes), _farthest(along, sizes)


def _nearest(along: Floats, sizes: Floats) -> float:
    """Least |x| over sum (x - along)² / sizes <= 1."""
    if ((along**2) / sizes).sum() <= 1:
        return 0.0
    # x_i = along_i m / (m + sizes_i): moves from along (m large) to the origin (m = 0).
    low, high = 0.0, 1.0
    while ((along**2) * sizes / (high + sizes) ** 2).sum() > 1 and high < 1e30:
        high *= 4
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if ((along**2) * sizes / (middle + sizes) ** 2).sum() > 1:
            low = middle
        else:
            high = middle
    return float(np.linalg.norm(along * high / (high + sizes)))


def _farthest(along: Floats, sizes: Floats) -> float:
    """Greatest |x| over sum (x - along)² / sizes <= 1."""
    # x_i = along_i m / (m - sizes_i) with m above the largest size; at equality the hard case.
    top = float(sizes.max())
    low, high = top, 2 * top + 1e-12
    while ((along**2) * sizes / (high - sizes) ** 2).sum() > 1 and high < 1e30:
        high = top + 4 * (high - top)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        with np.errstate(divide="ignore", invalid="ignore"):
            used = np.where(along == 0, 0.0, (along**2) * sizes / (middle - sizes) ** 2).sum()
        if used > 1:
            low = middle
        else:
            high = middle
    gap = np.maximum(high - sizes, 1e-300)
    moved = along * sizes / gap
    spare = 1 - ((moved**2) / sizes).sum()
    squared = float(((along + moved) ** 2).sum())
    if spare > 1e-9:  # the hard case: what is left goes along the longest axis
        longest = int(sizes.argmax())
        extra = float(np.sqrt(max(spare, 0.0) * top))
        at = float(abs(along[longest] + moved[longest]))
        squared += (at + extra) ** 2 - at**2
    return float(np.sqrt(squared))
