"""A head put together for tests from a skull, a face, a nose, ears and a neck; shares no code."""

from dataclasses import replace

import numpy as np
from skimage.measure import marching_cubes

from numerics.mesh.shapes import mesh
from sixwright.line.head_shape import Fits


def sized(fits, factor):
    """What the same mesh says when it is so many times as large; half a second sooner."""
    return Fits(tuple(replace(way, size=way.size / factor) for way in fits.ways))


def ball(p, middle, half):
    """Below 0 inside an ellipsoid; about the distance near it, mm."""
    q = (p - np.asarray(middle, float)[:, None, None, None]) / np.asarray(half, float)[
        :, None, None, None
    ]
    return (np.sqrt((q**2).sum(axis=0)) - 1) * min(half)


def plain_head(step=7.0, *, nose=24.0, neck=-150.0, stretched=(1, 1, 1)):
    """A closed head at 1:6 in millimetres: x to the left, y up, z out of the face.

    Drawn apart from the head that meshes are fitted to: other middles and half axes, a chin, a
    brow and a neck that leans, in millimetres of full size before it is scaled down.
    """
    x, y, z = (np.arange(low, 150, step) for low in (-130, neck - 20, -125))
    p = np.stack(np.meshgrid(x, y, z, indexing="ij"))
    parts = [
        ball(p, (0, 30, -5), (76, 88, 96)),
        ball(p, (0, -38, 38), (58, 64, 56)),
        ball(p, (0, -96, 66), (24, 18, 26)),
        ball(p, (0, -34, 92), (15, 22, nose)),
        ball(p, (0, 26, 76), (46, 12, 22)),
        ball(p, (78, -10, -8), (7, 30, 17)),
        ball(p, (-78, -10, -8), (7, 30, 17)),
        np.maximum(np.hypot(p[0], p[2] + 14 - 0.15 * p[1]) - 52, np.maximum(neck - p[1], p[1] - 0)),
    ]
    vertices, faces, _, _ = marching_cubes(np.minimum.reduce(parts), 0)
    places = vertices * step + [x[0], y[0], z[0]]
    return mesh(places / 6 * np.asarray(stretched), faces, np.float32)
