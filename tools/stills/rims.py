"""Outlines of what stands there: where its surface turns away from the lens, as lines in space."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import minimum_filter

from stills.cameras import Shot
from stills.raster import seen
from stills.scene import Scene

Reals = NDArray[np.float64]
Longs = NDArray[np.int64]

BEHIND_MM = 3.0  # what lies so much nearer hides a place
RIM_PX = 2
# Two of the three corners are on one side: the third, and the two edges that the rim crosses.
CORNERS = ((0, 1, 2), (1, 2, 0), (2, 0, 1))


@dataclass(frozen=True, slots=True, eq=False)
class Rim:
    """One line where the surface turns away: places (n, 3), whether seen, nearest vertices."""

    places: Reals
    seen: NDArray[np.bool_]
    vertex: Longs


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """What a still's camera sees of a scene."""

    shot: Shot
    scene: Scene
    near: Reals

    @staticmethod
    def of(shot: Shot, scene: Scene) -> "View":
        """The view of a still, at the size of its picture."""
        vertices = scene.bodies.vertices
        forward = shot.seen_from(vertices)[:, 2]
        picture = seen(shot.pixels(vertices), forward, scene.bodies.faces, shot.size)
        return View(shot, scene, picture.near)

    def sees(self, places: Reals, *, beside_px: int = 0) -> NDArray[np.bool_]:
        """Whether each place (n, 3) lies in the picture and nothing stands before it.

        A rim's own flesh comes nearer within a pixel: `beside_px` away nothing may stand before it.
        """
        width, height = self.shot.size
        x, y = np.rint(self.shot.pixels(places)).astype(np.int64).T
        inside = (x >= 0) & (x < width) & (y >= 0) & (y < height)
        near = minimum_filter(self.near, 2 * beside_px + 1) if beside_px else self.near
        there = near[np.clip(y, 0, height - 1), np.clip(x, 0, width - 1)]
        forward = self.shot.seen_from(places)[:, 2]
        free = (there == 0) | (1 / np.maximum(there, 1e-9) > forward - BEHIND_MM)
        clear: NDArray[np.bool_] = inside & free
        return clear

    def rims(self) -> list[Rim]:
        """Every line where a surface turns away, the longest first."""
        bodies = self.scene.bodies
        towards = ((self.shot.place - bodies.vertices) * bodies.outward).sum(1)
        front = towards[bodies.faces] > 0
        crossed = bodies.faces[front.any(1) & ~front.all(1)].astype(np.int64)
        ends = _ends(crossed, front[front.any(1) & ~front.all(1)])
        edges, index = np.unique(ends.reshape(-1, 2), axis=0, return_inverse=True)
        a, b = edges.T
        share = (towards[a] / (towards[a] - towards[b]))[:, None]
        places = bodies.vertices[a] + share * (bodies.vertices[b] - bodies.vertices[a])
        clear, nearest = self.sees(places, beside_px=RIM_PX), np.where(share[:, 0] < 0.5, a, b)
        lines = _followed(index.reshape(-1, 2), len(edges))
        rims = [Rim(places[line], clear[line], nearest[line]) for line in lines]
        return sorted(rims, key=lambda rim: -len(rim.places))


def _ends(faces: Longs, front: NDArray[np.bool_]) -> Longs:
    """(f, 2, 2): the two edges of each triangle that its part of the rim crosses, sorted."""
    alone = front.sum(1) == 1
    odd = np.where(alone[:, None], front, ~front).argmax(1)
    order = np.array(CORNERS)[odd]
    tip, one, other = (np.take_along_axis(faces, order[:, k : k + 1], 1)[:, 0] for k in range(3))
    ends: Longs = np.stack([np.stack([tip, one], 1), np.stack([tip, other], 1)], 1)
    return np.sort(ends, 2)


def _followed(pieces: Longs, count: int) -> list[Longs]:
    """Pieces, each between two points, joined into lines; every point has two pieces at most."""
    beside: list[list[int]] = [[] for _ in range(count)]
    for one, other in pieces.tolist():
        beside[one].append(other)
        beside[other].append(one)
    done, lines = [False] * count, []
    starts = sorted(range(count), key=lambda point: len(beside[point]) != 1)
    for start in starts:
        if done[start]:
            continue
        line, here = [], start
        while not done[here]:
            done[here] = True
            line.append(here)
            here = next((point for point in beside[here] if not done[point]), here)
        lines.append(np.array(line))
    return lines
