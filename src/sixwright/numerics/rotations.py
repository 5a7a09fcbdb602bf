"""Rotations of space from rotation vectors, many at once."""

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def cross_matrix(vector: Floats) -> Floats:
    """Matrix [v]x with [v]x w = v x w.

    Parameters
    ----------
    vector
        (..., 3).

    Returns
    -------
    (..., 3, 3)

    Raises
    ------
    IndexError
        If the last axis is shorter than three.

    Source
    ------
    Hartley & Zisserman 2004, A4.5.
    """
    matrix = np.zeros((*vector.shape, 3))
    matrix[..., 0, 1], matrix[..., 0, 2] = -vector[..., 2], vector[..., 1]
    matrix[..., 1, 0], matrix[..., 1, 2] = vector[..., 2], -vector[..., 0]
    matrix[..., 2, 0], matrix[..., 2, 1] = -vector[..., 1], vector[..., 0]
    return matrix


def rotation_of(vector: Floats) -> Floats:
    """Rotation about a vector by its length (rad).

    Parameters
    ----------
    vector
        (..., 3), any length.

    Returns
    -------
    (..., 3, 3), proper and orthogonal to rounding.

    Raises
    ------
    IndexError
        If the last axis is shorter than three.

    Source
    ------
    Rodrigues' formula: Hartley & Zisserman 2004, A4.6; series below 1e-4 rad.
    """
    angle = np.linalg.norm(vector, axis=-1)[..., None, None]
    small = angle < 1e-4
    safe = np.where(small, 1.0, angle)
    first = np.where(small, 1 - angle**2 / 6, np.sin(safe) / safe)
    second = np.where(small, 0.5 - angle**2 / 24, (1 - np.cos(safe)) / safe**2)
    cross = cross_matrix(vector)
    matrix: Floats = np.eye(3) + first * cross + second * cross @ cross
    return matrix


def facing(yaw_rad: Floats, pitch_rad: Floats) -> Floats:
    """World-to-camera rotation of a camera that stands at a yaw and pitch of an object.

    Parameters
    ----------
    yaw_rad
        Where the camera stands, from straight ahead towards the object's left (rad).
    pitch_rad
        How far it stands above the level of its middle (rad), within a right angle.

    Returns
    -------
    (..., 3, 3): x right, y down, z forward, as the folder's camera frame.

    Raises
    ------
    ValueError
        If the two do not broadcast.

    Source
    ------
    The folder's frames: sculpt x left, y up, z out of the face; camera x right, y down.
    """
    yaw, pitch = np.broadcast_arrays(yaw_rad, pitch_rad)
    towards = np.stack(
        [np.sin(yaw) * np.cos(pitch), np.sin(pitch), np.cos(yaw) * np.cos(pitch)], axis=-1
    )
    right = np.stack([np.cos(yaw), np.zeros_like(yaw), -np.sin(yaw)], axis=-1)
    down = np.cross(-towards, right)
    return np.stack([right, down, -towards], axis=-2)
