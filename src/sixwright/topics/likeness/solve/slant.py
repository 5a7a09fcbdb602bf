"""Stills that no camera took: a picture of a picture, photographed at a slant."""

from dataclasses import dataclass

import numpy as np
from scipy.special import fdtrc

from sixwright.numerics.cameras import project
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.solve.bundle import frame_of
from sixwright.topics.likeness.solve.spread import Fitted

BENDS = 3  # one shear and two convergences: what a slant adds to an image beyond a camera
LEAST_LEFT = 3.0  # degrees of freedom that must remain to judge by
# What cameras and places can imitate to all but this share is not asked: there the first order,
# by which it is judged, no longer holds. Own choice.
LEAST_FREE = 0.01


@dataclass(frozen=True, slots=True)
class Slants:
    """Chance of residuals that a slant explains as well as these, were there none.

    Attributes
    ----------
    each
        (k,): of each still by itself.
    common
        Of all stills slanted, or squeezed, alike.
    """

    each: Floats
    common: float


def slants(fitted: Fitted) -> Slants:
    """Whether stills look photographed off a picture at a slant, each and all alike.

    Parameters
    ----------
    fitted
        k stills, solved.

    Returns
    -------
    Probabilities, 1 where too little is left to judge by.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a residual is not finite: a fault of ours.

    Source
    ------
    The score (Lagrange multiplier) test of a linear model for columns added to it, as an F ratio,
    so that a still's own noise, which a slant inflates, does not hide it.
    """
    problem, solved = fitted.problem, fitted.solved
    seen = problem.sightings
    whitener = frame_of(problem, solved.cameras, solved.points).whitener
    shown = project(solved.cameras.only(seen.still), solved.points[seen.point])
    own = np.einsum("nij,nj->ni", whitener, seen.place_px - shown.place_px).ravel()
    derivatives = (whitener @ shown.by_camera, whitener @ shown.by_point)
    free = np.eye(len(own)) - _hat(fitted, *derivatives)
    stills = np.arange(len(problem.priors.lens))
    bends = np.zeros((len(seen), 2, BENDS + 1))
    for k in stills:
        bends[seen.still == k] = _bends(seen.place_px[seen.still == k])
    columns = (whitener @ bends).reshape(-1, BENDS + 1)
    rows = [np.repeat(seen.still == k, 2) for k in stills]
    each = [_chance(columns[m, :BENDS], own[m], free[np.ix_(m, m)]) for m in rows]
    return Slants(np.array(each), _chance(columns, own, free))


def _chance(bends: Floats, own: Floats, free: Floats) -> float:
    """Chance of residuals (m,) that columns (m, b) explain as well, of which so much is free."""
    basis = np.linalg.qr(bends)[0]
    shares, axes = np.linalg.eigh(basis.T @ free @ basis)
    told = shares > LEAST_FREE
    count = int(told.sum())
    explained = float((((basis @ axes[:, told]).T @ own) ** 2 / shares[told]).sum())
    left, rest = float(np.trace(free)) - count, float(own @ own) - explained
    if count == 0 or left < LEAST_LEFT or rest <= 0:
        return 1.0
    return float(fdtrc(count, left, explained / count / (rest / left)))


def _bends(place_px: Floats) -> Floats:
    """(n, 2, 4): how a slant's shear and two convergences, and a squeeze, move places."""
    if len(place_px) == 0:
        return np.zeros((0, 2, BENDS + 1))
    away = place_px - np.median(place_px, axis=0)
    x, y = (away / (np.abs(away).max() + 1e-9)).T
    columns = [[y, 0 * x], [x * x, x * y], [x * y, y * y], [x, 0 * x]]
    return np.moveaxis(np.array(columns), (0, 1, 2), (2, 1, 0))


def _hat(fitted: Fitted, by_camera: Floats, by_point: Floats) -> Floats:
    """(2n, 2n): how sightings draw the solution to themselves and to each other."""
    seen, spread = fitted.problem.sightings, fitted.spread
    size, count = len(spread.cameras), len(fitted.solved.points)
    cameras = np.zeros((len(seen), 2, size))
    points = np.zeros((len(seen), 2, count, 3))
    at = fitted.problem.columns()[seen.still]
    for n in range(len(seen)):
        cameras[n][:, at[n]] = by_camera[n]
        points[n, :, seen.point[n]] = by_point[n]
    flat = np.concatenate([cameras, points.reshape(len(seen), 2, -1)], axis=2)
    flat = flat.reshape(2 * len(seen), -1)
    joint = np.block([[spread.cameras, spread.cross], [spread.cross.T, spread.points]])
    hat: Floats = flat @ joint @ flat.T
    return hat
