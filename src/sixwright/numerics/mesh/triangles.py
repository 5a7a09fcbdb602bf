"""The place of a triangle that lies nearest to a given one, for many pairs at once."""

import numpy as np

from sixwright.numerics.mesh.model import Flags
from sixwright.numerics.rotations import Floats


def nearest_on_triangles(places: Floats, first: Floats, second: Floats, third: Floats) -> Floats:
    """(k, 3): the nearest place of each triangle to the place beside it.

    Parameters
    ----------
    places, first, second, third
        (k, 3) each: places, and corners of triangles; a triangle may have no area.

    Raises
    ------
    ValueError
        If they are not as many.

    Source
    ------
    Ericson 2005, Real-Time Collision Detection, 5.1.5: a corner, a side or the inside, told by the
    signs of six products; here the sides are tried one by one and the inside where the place lies
    over it, which also holds for a triangle without area.
    """
    best = _nearest_on_side(places, first, second)
    least = _squared(best - places)
    for start, end in ((second, third), (third, first)):
        tried = _nearest_on_side(places, start, end)
        apart = _squared(tried - places)
        nearer = apart < least
        best = np.where(nearer[:, None], tried, best)
        least = np.where(nearer, apart, least)
    over, foot = _over_inside(places, first, second, third)
    return np.where(over[:, None], foot, best)


def _nearest_on_side(places: Floats, start: Floats, end: Floats) -> Floats:
    side = end - start
    length = _squared(side)
    along = ((places - start) * side).sum(axis=1) / np.where(length > 0, length, 1)
    nearest: Floats = start + np.clip(along, 0, 1)[:, None] * side
    return nearest


def _over_inside(
    places: Floats, first: Floats, second: Floats, third: Floats
) -> tuple[Flags, Floats]:
    """Whether each place lies over the inside of its triangle, and its foot there."""
    one, other, arm = second - first, third - first, places - first
    aa, bb, ab = _squared(one), _squared(other), (one * other).sum(axis=1)
    pa, pb = (arm * one).sum(axis=1), (arm * other).sum(axis=1)
    whole = aa * bb - ab * ab
    flat = whole <= 1e-14 * aa * bb
    safe = np.where(flat, 1, whole)
    u, v = (bb * pa - ab * pb) / safe, (aa * pb - ab * pa) / safe
    over: Flags = ~flat & (u > 0) & (v > 0) & (u + v < 1)
    return over, first + u[:, None] * one + v[:, None] * other


def _squared(vectors: Floats) -> Floats:
    squared: Floats = (vectors * vectors).sum(axis=-1)
    return squared
