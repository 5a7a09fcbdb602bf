"""Laying one set of points on another: turn, scale and shift, and what that does to spreads."""

from dataclasses import dataclass

import numpy as np

from sixwright.numerics.rotations import Floats, cross_matrix


@dataclass(frozen=True, slots=True)
class Similarity:
    """x -> scale * rotation @ x + shift."""

    scale: float
    rotation: Floats
    shift: Floats

    def of(self, points: Floats) -> Floats:
        """Points (..., 3) after it."""
        moved: Floats = self.scale * points @ self.rotation.T + self.shift
        return moved

    def back(self, points: Floats) -> Floats:
        """Points (..., 3) before it."""
        moved: Floats = (points - self.shift) @ self.rotation / self.scale
        return moved

    def after(self, first: "Similarity") -> "Similarity":
        """One similarity that does the first and then this."""
        return Similarity(
            self.scale * first.scale, self.rotation @ first.rotation, self.of(first.shift)
        )

    def jacobian(self, count: int) -> Floats:
        """(3c, 3c): derivative of so many points of space after it by those before."""
        turned = self.scale * np.kron(np.eye(count), self.rotation)
        return np.asarray(turned, dtype=np.float64)


def similarity(points: Floats, onto: Floats, weights: Floats) -> Similarity:
    """The similarity that lays points on others with the least weighted sum of squares.

    Parameters
    ----------
    points, onto
        (i, d), same unit, not all in one place.
    weights
        (i,), zero or more, some above zero.

    Raises
    ------
    ZeroDivisionError
        If no weight is above zero.
    numpy.linalg.LinAlgError
        If a coordinate is not finite.

    Source
    ------
    umeyama-1991, equations 34 to 43, with weights; with the determinant correction, without
    which mirror images would be laid on each other.
    """
    total = float(weights.sum())
    if total <= 0:
        raise ZeroDivisionError("weights must have a sum above 0.")
    share = weights / total
    middle, onto_middle = share @ points, share @ onto
    centred, onto_centred = points - middle, onto - onto_middle
    left, sizes, right = np.linalg.svd((onto_centred * share[:, None]).T @ centred)
    flip = np.ones(len(sizes))
    flip[-1] = np.sign(np.linalg.det(left) * np.linalg.det(right))
    rotation = (left * flip) @ right
    scale = float(sizes @ flip / (share @ (centred**2).sum(axis=1)))
    return Similarity(scale, rotation, onto_middle - scale * rotation @ middle)


def tangent(points: Floats) -> Floats:
    """How points move with a small similarity: shift, turn, scale.

    Parameters
    ----------
    points
        (i, 3).

    Returns
    -------
    (3i, 7), x y z of each point in turn.

    Raises
    ------
    ValueError
        If the points are not of space.

    Source
    ------
    First order of the similarity: dx = shift + turn x (x - middle) + scale (x - middle).
    """
    centred = points - points.mean(axis=0)
    size = np.sqrt((centred**2).mean()) or 1.0
    blocks = np.concatenate(
        [
            np.broadcast_to(np.eye(3), (len(points), 3, 3)),
            -cross_matrix(centred) / size,
            centred[:, :, None] / size,
        ],
        axis=2,
    )
    return blocks.reshape(-1, 7)


def projection(points: Floats, weights: Floats) -> Floats:
    """What aligning leaves of small moves: A = I - G (G' W G)^-1 G' W.

    Parameters
    ----------
    points
        (i, 3), at the estimate after alignment.
    weights
        (i,), those of the alignment; at least three points in no line must weigh.

    Returns
    -------
    (3i, 3i)

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    Own derivation (docs/topics/likeness.md, “Gauge”); A is idempotent and A G = 0.
    """
    moves = tangent(points)
    heavy = np.repeat(weights, 3)[:, None] * moves
    kept: Floats = np.eye(len(moves)) - moves @ np.linalg.pinv(moves.T @ heavy) @ heavy.T
    return kept
