"""Triangles to pixels: which is seen where, and what its corners carry there."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Reals = NDArray[np.float64]
Longs = NDArray[np.int64]

SIDES = (3, 5, 8, 13, 24, 60, 200, 1000)  # boxes of triangles, px: those of one size go together


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """What a camera sees.

    Attributes
    ----------
    face
        (h, w): the triangle at each pixel's middle; -1 where there is none.
    shares
        (h, w, 3): of its corners.
    near
        (h, w): one over the distance, 1/mm; 0 where nothing is.
    """

    face: Longs
    shares: Reals
    near: Reals

    def carried(self, faces: NDArray[np.int32], of_vertices: Reals) -> Reals:
        """What the vertices carry (n, c), at each pixel (h, w, c); 0 where nothing is."""
        corners = of_vertices[faces[np.maximum(self.face, 0)]]
        mixed: Reals = np.einsum("hwk,hwkc->hwc", self.shares, corners)
        return mixed


def seen(pixels: Reals, forward: Reals, faces: NDArray[np.int32], size: tuple[int, int]) -> Seen:
    """The nearest triangle at each pixel of a picture.

    Parameters
    ----------
    pixels, forward
        (n, 2) px and (n,) mm: where the vertices are seen and how far away, above 0.
    faces
        (f, 3): triangles; those that turn their back are left out.
    size
        Width and height of the picture, px.
    """
    width, height = size
    corners = pixels[faces]
    a, b, c = corners[:, 0], corners[:, 1], corners[:, 2]
    doubled = (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
    low = np.ceil(corners.min(1)).astype(np.int64)
    high = np.floor(corners.max(1)).astype(np.int64)
    inside = (low[:, 0] < width) & (low[:, 1] < height) & (high >= 0).all(1) & (high >= low).all(1)
    facing = np.flatnonzero((doubled < -1e-9) & inside)
    side = (high - low)[facing].max(1) + 1
    found = []
    for least, most in zip((0, *SIDES), SIDES, strict=False):
        some = facing[(side > least) & (side <= most)]
        if len(some):
            found += _met(corners[some], doubled[some], low[some], some, most, size)
    return _nearest(found, 1 / forward, faces, size)


Met = tuple[Longs, Longs, Reals]  # pixel, triangle, shares


def _met(  # noqa: PLR0913, PLR0917
    corners: Reals, doubled: Reals, low: Longs, face: Longs, side: int, size: tuple[int, int]
) -> list[Met]:
    """Each pixel of each triangle's box that lies in the triangle."""
    width, height = size
    found = []
    first = corners - low[:, None]
    for down in range(side):
        for right in range(side):
            shares = np.zeros((len(face), 3))
            for k in range(3):
                p, q = first[:, (k + 1) % 3], first[:, (k + 2) % 3]
                shares[:, k] = (q[:, 0] - p[:, 0]) * (down - p[:, 1]) - (q[:, 1] - p[:, 1]) * (
                    right - p[:, 0]
                )
            shares /= doubled[:, None]
            x, y = low[:, 0] + right, low[:, 1] + down
            hit = (shares >= 0).all(1) & (x >= 0) & (x < width) & (y >= 0) & (y < height)
            if hit.any():
                found.append((y[hit] * width + x[hit], face[hit], shares[hit]))
    return found


def _nearest(
    found: list[Met], near: Reals, faces: NDArray[np.int32], size: tuple[int, int]
) -> Seen:
    width, height = size
    face = np.full(width * height, -1, np.int64)
    shares, depth = np.zeros((width * height, 3)), np.zeros(width * height)
    if found:
        pixel, hit, share = (np.concatenate(part) for part in zip(*found, strict=True))
        closeness = (near[faces[hit]] * share).sum(1)
        order = np.lexsort((hit, closeness, pixel))
        last = order[np.append(pixel[order][1:] != pixel[order][:-1], True)]
        face[pixel[last]], shares[pixel[last]] = hit[last], share[last]
        depth[pixel[last]] = closeness[last]
    return Seen(
        face.reshape(height, width),
        shares.reshape(height, width, 3),
        depth.reshape(height, width),
    )
