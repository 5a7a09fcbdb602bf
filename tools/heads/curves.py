"""Smooth curves through points, and what lies nearest on them."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from heads.fields import Block, Reals, Vector


def spline(points: ArrayLike, pieces: int) -> Vector:
    """Places on a Catmull-Rom curve through the rows of `points`, `pieces` a span.

    The curve passes through each row and leaves its ends straight; a row may hold any numbers
    (place and radius) that change together.
    """
    rows = np.asarray(points, np.float64)
    if len(rows) < 3 or pieces == 1:
        return rows
    ends = np.vstack([2 * rows[0] - rows[1], rows, 2 * rows[-1] - rows[-2]])
    t = np.linspace(0, 1, pieces, endpoint=False)[:, None]
    spans = []
    for before, start, end, after in zip(ends, ends[1:], ends[2:], ends[3:], strict=False):
        leave, arrive = (end - before) / 2, (after - start) / 2
        cubic = 2 * (start - end) + leave + arrive
        square = 3 * (end - start) - 2 * leave - arrive
        spans.append(((cubic * t + square) * t + leave) * t + start)
    return np.vstack([*spans, rows[-1:]])


def signed_distance(x: Reals, y: Reals, corners: Vector) -> Reals:
    """Distance to a closed polygon in the plane, below zero inside."""
    least = np.full(x.shape, np.inf, np.float32)
    inside = np.zeros(x.shape, bool)
    for (ax, ay), (bx, by) in zip(corners, np.roll(corners, -1, 0), strict=True):
        ex, ey = np.float32(bx - ax), np.float32(by - ay)
        wx, wy = x - np.float32(ax), y - np.float32(ay)
        t = np.clip((wx * ex + wy * ey) / max(ex * ex + ey * ey, np.float32(1e-9)), 0, 1)
        least = np.minimum(least, (wx - t * ex) ** 2 + (wy - t * ey) ** 2)
        if ey:
            inside ^= ((wy >= 0) != (y >= np.float32(by))) & (wx < wy * (ex / ey))
    away: Reals = np.sqrt(least)
    return np.where(inside, -away, away)


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """A polyline: each row a place and a number of its own (radius or depth), mm."""

    rows: Vector
    lows: Vector
    highs: Vector

    @staticmethod
    def of(rows: Vector) -> "Track":
        """A track through at least two rows of four numbers."""
        reach = np.maximum(rows[:, 3:4], 0)
        low, high = rows[:, :3] - reach, rows[:, :3] + reach
        return Track(rows, np.minimum(low[:-1], low[1:]), np.maximum(high[:-1], high[1:]))

    def distance(self, block: Block, within: float = np.inf) -> Reals:
        """Distance to the rope that the fourth number is the radius of; `within` where farther."""
        nearest = np.full(block.x.shape, within, np.float32)
        farthest = within
        gaps = block.clearances(self.lows, self.highs)
        for i in np.argsort(gaps, kind="stable"):
            if gaps[i] > farthest:
                break
            away, along = self._piece(block, i)
            start, end = self.rows[i, 3], self.rows[i + 1, 3]
            away -= np.float32(start) + along * np.float32(end - start)
            np.minimum(nearest, away, out=nearest)
            farthest = float(nearest.max())
        return nearest

    def nearest(self, block: Block, towards: Vector, within: float) -> tuple[Reals, Reals, Reals]:
        """Distance to the curve, the fourth number there, and how far a place lies `towards`.

        Beyond `within` mm the distance is `within`, and the others are 0.
        """
        best = np.full(block.x.shape, within, np.float32)
        value, offset = np.zeros_like(best), np.zeros_like(best)
        a, b, c = towards.astype(np.float32)
        gaps = block.clearances(self.lows, self.highs)
        for i in np.flatnonzero(gaps <= within).tolist():
            away, along = self._piece(block, i)
            nearer = away < best
            if not nearer.any():
                continue
            start, end = self.rows[i], self.rows[i + 1]
            best = np.where(nearer, away, best)
            depth = np.float32(start[3]) + along * np.float32(end[3] - start[3])
            value = np.where(nearer, depth, value)
            x, y, z = block.from_centre(start[:3])
            p, q, r = (end - start)[:3].astype(np.float32)
            aside = (x - along * p) * a + (y - along * q) * b + (z - along * r) * c
            offset = np.where(nearer, aside, offset)
        return best, value, offset

    def _piece(self, block: Block, i: int) -> tuple[Reals, Reals]:
        """Distance to one straight piece, and how far along it the nearest place is, 0 to 1."""
        start = self.rows[i, :3]
        d = self.rows[i + 1, :3] - start
        length = float(d @ d)
        x, y, z = block.from_centre(start)
        p, q, r = d.astype(np.float32)
        t = np.clip((x * p + y * q + z * r) * np.float32(1 / max(length, 1e-12)), 0, 1)
        x, y, z = x - t * p, y - t * q, z - t * r
        return np.sqrt(x * x + y * y + z * z), t
