"""Cameras in the coordinates in which images of a small object determine them; their derivatives.

A camera is X_c = R X + t, u = s f X_c / Z_c + c_x, v = f Y_c / Z_c + c_y. Here
the same camera is written with the image scale m = f / t_z (px a mm), the offset e = m (t_x, t_y)
(px) and log f, all taken at an anchor inside the object:

    w = m / f,   q = R (X - anchor),   D = 1 + w q_z
    u = c_x + s (m q_x + e_x) / D,     v = c_y + (m q_y + e_y) / D

An image fixes m and e at once and f hardly; with f and t_z as unknowns the two trade off.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from sixwright.numerics.rotations import Floats, cross_matrix, rotation_of

Integers = NDArray[np.int64]

# The unknowns of one image, in this order; log f is the tenth and may be shared.
ROTATION, OFFSET, SCALE, CENTRE, SQUEEZE, FOCAL = (
    slice(0, 3),
    slice(3, 5),
    5,
    slice(6, 8),
    8,
    9,
)
UNKNOWNS = 10
# Beliefs stand in the same order, but the tenth is about the distance: log t_z = log f - log m.
DISTANCE = 9
NEAREST = 0.05  # depth of a point over that of the anchor, below which a camera is refused


@dataclass(frozen=True, slots=True)
class Cameras:
    """Cameras of k images; every array has k rows.

    Attributes
    ----------
    anchor
        (3,), mm, object frame: the point whose depth and place the scale and offset belong to.
    rotation
        (k, 3, 3), object to camera.
    offset_px
        (k, 2): the anchor's image from the principal point, unsqueezed.
    log_scale
        (k,): log of px a mm at the anchor.
    centre_px
        (k, 2): principal point.
    log_squeeze
        (k,): log of image width over scene width.
    log_focal
        (k,): log of the focal length in px.
    """

    anchor: Floats
    rotation: Floats
    offset_px: Floats
    log_scale: Floats
    centre_px: Floats
    log_squeeze: Floats
    log_focal: Floats

    def __len__(self) -> int:
        return len(self.log_focal)

    def translation(self) -> Floats:
        """(k, 3): t of X_c = R X + t, mm."""
        scale = np.exp(self.log_scale)
        at_anchor = np.column_stack(
            [self.offset_px / scale[:, None], np.exp(self.log_focal) / scale]
        )
        moved: Floats = at_anchor - self.rotation @ self.anchor
        return moved

    def only(self, rows: "Integers | list[int] | slice") -> "Cameras":
        """The cameras of some images."""
        return Cameras(
            self.anchor,
            self.rotation[rows],
            self.offset_px[rows],
            self.log_scale[rows],
            self.centre_px[rows],
            self.log_squeeze[rows],
            self.log_focal[rows],
        )

    def stepped(self, step: Floats) -> "Cameras":
        """The cameras after a step (k, 10) in the unknowns."""
        return replace(
            self,
            rotation=rotation_of(step[:, ROTATION]) @ self.rotation,
            offset_px=self.offset_px + step[:, OFFSET],
            log_scale=self.log_scale + step[:, SCALE],
            centre_px=self.centre_px + step[:, CENTRE],
            log_squeeze=self.log_squeeze + step[:, SQUEEZE],
            log_focal=self.log_focal + step[:, FOCAL],
        )


def camera_of(
    anchor: Floats,
    rotation: Floats,
    translation_mm: Floats,
    *,
    focal_px: float,
    centre_px: Floats,
) -> Cameras:
    """One camera from the folder's own quantities, its squeeze 1.

    Parameters
    ----------
    anchor
        (3,), mm; any point in front of the camera.
    rotation, translation_mm
        (3, 3) and (3,) of X_c = R X + t.
    focal_px
        Above 0.
    centre_px
        (2,).

    Raises
    ------
    FloatingPointError
        Under numpy's strict setting, if the anchor lies behind the camera.

    Source
    ------
    The module's camera (docs/topics/likeness.md).
    """
    at = rotation @ anchor + translation_mm
    scale = focal_px / at[2]
    return Cameras(
        anchor=np.asarray(anchor, float),
        rotation=np.asarray(rotation, float)[None],
        offset_px=(scale * at[:2])[None],
        log_scale=np.log([scale]),
        centre_px=np.asarray(centre_px, float)[None],
        log_squeeze=np.zeros(1),
        log_focal=np.log([focal_px]),
    )


def believed(cameras: Cameras) -> Floats:
    """(k, 10): what beliefs are about; rotations as zero, the last the log of the distance."""
    return np.column_stack(
        [
            np.zeros((len(cameras), 3)),
            cameras.offset_px,
            cameras.log_scale,
            cameras.centre_px,
            cameras.log_squeeze,
            cameras.log_focal - cameras.log_scale,
        ]
    )


def belief_cost(cameras: Cameras, mean: Floats, sd: Floats) -> Floats:
    """(k,): squared distance of each camera from what is believed, in standard deviations."""
    cost: Floats = (((believed(cameras) - mean) / sd) ** 2).sum(axis=1)
    return cost


def belief_terms(cameras: Cameras, mean: Floats, sd: Floats) -> tuple[Floats, Floats]:
    """What beliefs add to the normal equations of each camera's unknowns.

    Parameters
    ----------
    cameras
        k cameras.
    mean, sd
        (k, 10) or (10,), as `believed`; an infinite spread says nothing.

    Returns
    -------
    (k, 10, 10) and (k, 10): the matrix, and minus the gradient.

    Raises
    ------
    ZeroDivisionError
        Under numpy's strict setting, if a spread is zero.

    Source
    ------
    Half the second and first derivatives of `belief_cost`; log distance is log f - log scale.
    """
    pull = np.broadcast_to(sd**-2.0, (len(cameras), UNKNOWNS))
    side = pull * (mean - believed(cameras))
    system = pull[:, :, None] * np.eye(UNKNOWNS)
    system[:, SCALE, SCALE] += pull[:, DISTANCE]
    system[:, SCALE, FOCAL] -= pull[:, DISTANCE]
    system[:, FOCAL, SCALE] -= pull[:, DISTANCE]
    side[:, SCALE] -= side[:, DISTANCE]
    return system, side


@dataclass(frozen=True, slots=True)
class Projected:
    """Where n points should be seen, and how that changes.

    Attributes
    ----------
    place_px
        (n, 2).
    depth
        (n,): depth over that of the anchor; must stay positive.
    by_camera
        (n, 2, 10), by the unknowns of the point's camera.
    by_point
        (n, 2, 3), px a mm.
    """

    place_px: Floats
    depth: Floats
    by_camera: Floats
    by_point: Floats


def places_px(cameras: Cameras, points: Floats) -> tuple[Floats, Floats]:
    """Where cameras show points, row by row, and the depth of each over the anchor's.

    Parameters
    ----------
    cameras
        One row a point.
    points
        (n, 3), mm.

    Returns
    -------
    (n, 2) px and (n,).

    Raises
    ------
    ValueError
        If the rows differ in number.

    Source
    ------
    hartley-zisserman, 6.1, in the coordinates of this module.
    """
    q = np.einsum("nij,nj->ni", cameras.rotation, points - cameras.anchor)
    scale = np.exp(cameras.log_scale)
    depth = 1 + q[:, 2] * np.exp(cameras.log_scale - cameras.log_focal)
    flat = (scale[:, None] * q[:, :2] + cameras.offset_px) / depth[:, None]
    flat[:, 0] *= np.exp(cameras.log_squeeze)
    return cameras.centre_px + flat, depth


def project(cameras: Cameras, points: Floats) -> Projected:
    """Where cameras show points, row by row, with derivatives.

    Parameters
    ----------
    cameras
        One row a point (`Cameras.only` with the camera of each).
    points
        (n, 3), mm.

    Raises
    ------
    ValueError
        If the rows differ in number.

    Source
    ------
    The module's formula, differentiated by hand; a test compares it with differences.
    """
    q = np.einsum("nij,nj->ni", cameras.rotation, points - cameras.anchor)
    scale, squeeze = np.exp(cameras.log_scale), np.exp(cameras.log_squeeze)
    near = np.exp(cameras.log_scale - cameras.log_focal)
    depth = 1 + q[:, 2] * near
    stretch = np.column_stack([squeeze, np.ones_like(squeeze)])
    flat = (scale[:, None] * q[:, :2] + cameras.offset_px) / depth[:, None] * stretch
    by_q = np.zeros((len(q), 2, 3))
    by_q[:, 0, 0] = squeeze * scale / depth
    by_q[:, 1, 1] = scale / depth
    by_q[:, :, 2] = -flat * (near / depth)[:, None]
    by_camera = np.zeros((len(q), 2, UNKNOWNS))
    by_camera[:, :, ROTATION] = -by_q @ cross_matrix(q)
    by_camera[:, 0, 3] = squeeze / depth
    by_camera[:, 1, 4] = 1 / depth
    pull = flat * (q[:, 2] * near / depth)[:, None]
    by_camera[:, :, SCALE] = stretch * (scale / depth)[:, None] * q[:, :2] - pull
    by_camera[:, 0, 6] = 1
    by_camera[:, 1, 7] = 1
    by_camera[:, 0, SQUEEZE] = flat[:, 0]
    by_camera[:, :, FOCAL] = pull
    return Projected(cameras.centre_px + flat, depth, by_camera, by_q @ cameras.rotation)
