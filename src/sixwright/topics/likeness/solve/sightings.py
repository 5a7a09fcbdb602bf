"""What stills show of points, how sure each sighting is, and its whitened residual."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sixwright.numerics.cameras import Cameras, Integers, Projected
from sixwright.numerics.rotations import Floats

Booleans = NDArray[np.bool_]

GUESSED = 0.342  # sine of how far an outline may run from where the normal of its landmark has it


@dataclass(frozen=True, slots=True)
class Sightings:
    """n sightings; every array has n rows.

    Attributes
    ----------
    still, point
        (n,): rows of the cameras and of the points.
    place_px
        (n, 2).
    sd_px
        (n,): standard deviation along each axis, above 0.
    spread_mm2
        (n, 3, 3): covariance of what the landmark's definition leaves open, mm² at 1:6, sculpt
        frame.
    contour
        (n,): whether it is the head's outline, which says little along itself.
    outward
        (n, 3): unit normal of the surface there, sculpt frame.
    across
        (n, 2): unit normal of the drawn outline in the still; nan where none is drawn.
    slip_mm
        How far along an outline the flesh that is seen may lie from the landmark, mm at 1:6.
    apart_mm
        (n,): how far an expression may have moved what is seen from where it is looked for,
        standard deviation along each axis, mm at 1:6; None: not at all.
    """

    still: Integers
    point: Integers
    place_px: Floats
    sd_px: Floats
    spread_mm2: Floats
    contour: Booleans
    outward: Floats
    across: Floats
    slip_mm: float
    apart_mm: Floats | None = None

    def __len__(self) -> int:
        return len(self.still)

    def only(self, rows: Booleans | Integers) -> "Sightings":
        """Some of the sightings."""
        return Sightings(
            self.still[rows],
            self.point[rows],
            self.place_px[rows],
            self.sd_px[rows],
            self.spread_mm2[rows],
            self.contour[rows],
            self.outward[rows],
            self.across[rows],
            self.slip_mm,
            None if self.apart_mm is None else self.apart_mm[rows],
        )

    def moved(self, place_px: Floats) -> "Sightings":
        """The same sightings at other places."""
        return replace(self, place_px=place_px)


@dataclass(frozen=True, slots=True)
class Noise:
    """Variance factors: 1 where the stated spreads are right.

    Attributes
    ----------
    pixel
        (n,): factor on sd_px² of each sighting, above 0.
    definition
        Factor on the definition's covariance of points, above 0.
    contour
        Factor on what a contour leaves open, across and along the outline, above 0.
    """

    pixel: Floats
    definition: float = 1.0
    contour: float = 1.0

    def only(self, rows: Booleans | Integers) -> "Noise":
        """The noise of some of the sightings."""
        return replace(self, pixel=self.pixel[rows])


@dataclass(frozen=True, slots=True)
class Whitened:
    """Sightings as rows of a least-squares problem.

    Attributes
    ----------
    whitener
        (n, 2, 2): W with W Cov(residual) W' = identity.
    parts
        (3, n, 2, 2): the shares of pixels, definitions and contours in the covariance, whitened;
        they sum to the identity, less the share of what expressions move.
    """

    whitener: Floats
    parts: Floats


def whitened(sightings: Sightings, cameras: Cameras, shown: Projected, noise: Noise) -> Whitened:
    """How each sighting weighs, seen from where the cameras now stand.

    Parameters
    ----------
    sightings, cameras
        n sightings, k cameras.
    shown
        The sightings as the cameras project them.
    noise
        Factors on the stated spreads.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not positive definite: a spread of zero.

    Source
    ------
    Own choice: a contour's flesh differs from view to view, so that little but the distance
    across the outline counts; the outline's normal is the image of the surface's.
    """
    by_point = shown.by_point
    pixel = (noise.pixel * sightings.sd_px**2)[:, None, None] * np.eye(2)
    spread = by_point @ sightings.spread_mm2 @ by_point.transpose(0, 2, 1)
    outline = sightings.contour[:, None, None]
    edge = edges(sightings, cameras)
    along = np.column_stack([-edge[:, 1], edge[:, 0]])
    slip = ((sightings.slip_mm * np.exp(cameras.log_scale[sightings.still])) ** 2)[:, None, None]
    guessed = ~np.isfinite(sightings.across).all(axis=1)
    off = np.einsum("ni,nij,nj->n", edge, spread, edge) + guessed * GUESSED**2 * slip[:, 0, 0]
    drawn = off[:, None, None] * _square(edge) + slip * _square(along)
    definition = np.where(outline, 0.0, noise.definition * spread)
    contour = np.where(outline, noise.contour * drawn, 0.0)
    total = pixel + definition + contour
    if sightings.apart_mm is not None:
        moved = by_point @ by_point.transpose(0, 2, 1)
        total = total + (sightings.apart_mm**2)[:, None, None] * moved
    whitener = np.linalg.inv(np.linalg.cholesky(total))
    parts = whitener @ np.stack([pixel, definition, contour]) @ whitener.transpose(0, 2, 1)
    return Whitened(whitener, parts)


def _square(unit: Floats) -> Floats:
    square: Floats = unit[:, :, None] * unit[:, None, :]
    return square


def edges(sightings: Sightings, cameras: Cameras) -> Floats:
    """Unit normal of the outline at each sighting; any where the surface faces the camera.

    Parameters
    ----------
    sightings, cameras
        n sightings, k cameras.

    Returns
    -------
    (n, 2): of the drawn outline, else the image of the surface's normal.

    Raises
    ------
    IndexError
        If a sighting is of no camera: a fault of ours.

    Source
    ------
    hartley-zisserman: an affine camera shows a normal in the plane of the picture as it is.
    """
    turned = np.einsum("nij,nj->ni", cameras.rotation[sightings.still], sightings.outward)[:, :2]
    turned = turned * np.column_stack(
        [np.exp(-cameras.log_squeeze[sightings.still]), np.ones(len(sightings))]
    )
    length = np.linalg.norm(turned, axis=1, keepdims=True)
    normal = np.where(length > 1e-6, turned / np.maximum(length, 1e-6), [1.0, 0.0])
    drawn = np.isfinite(sightings.across).all(axis=1, keepdims=True)
    unit: Floats = np.where(drawn, sightings.across, normal)
    return unit
