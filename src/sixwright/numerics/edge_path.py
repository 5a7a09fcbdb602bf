"""The path between two places of a picture that clings to its edges."""

from typing import Any

import numpy as np

from sixwright.numerics.rotations import Floats

# Own choices: the grain of the picture that is smoothed away, how cheap a full edge is to go along
# beside what is flat, and how far corners may be cut.
GRAIN_PX, CHEAP, CUT_PX = 1.5, 0.03, 1.0
FULL = 99.7  # percentile of the gradient that counts as a full edge: few pixels are on one
MOST_SIDE = 500  # px: a larger stretch is followed on a smaller picture


def edge_path(grey: Floats, start: tuple[float, float], end: tuple[float, float]) -> Floats:
    """Places along the path, the first and the last as they were given.

    Parameters
    ----------
    grey
        (h, w), any scale.
    start, end
        x and y, pixels within it.

    Returns
    -------
    (n, 2): x and y, n two or more.

    Raises
    ------
    ValueError
        If a place lies outside the picture.

    Source
    ------
    The path of least cost by scikit-image's `route_through_array`, the cost falling with the
    gradient; corners within a pixel are cut (`approximate_polygon`, Douglas and Peucker).
    """
    from scipy.ndimage import gaussian_filter
    from skimage import graph, measure

    # The library states no types.
    route_of: Any = graph.route_through_array
    polygon_of: Any = measure.approximate_polygon
    reduced: Any = measure.block_reduce

    high, wide = grey.shape
    for x, y in (start, end):
        if not (-0.5 <= x <= wide - 0.5 and -0.5 <= y <= high - 0.5):
            raise ValueError(f"place must lie within {wide} by {high} px; received {(x, y)!r}.")
    step = max(1, int(np.ceil(max(high, wide) / MOST_SIDE)))
    small = np.asarray(reduced(grey, (step, step), np.mean) if step > 1 else grey, np.float64)
    slope = np.hypot(*np.gradient(gaussian_filter(small, GRAIN_PX)))
    full = float(np.percentile(slope, FULL))
    edge = np.minimum(slope / full, 1.0) if full > 0 else np.zeros_like(slope)
    nodes = [_node(place, step, small.shape) for place in (start, end)]
    route, _ = route_of(CHEAP + (1 - edge) ** 2, *nodes, geometric=True)
    places = (np.array(route, np.float64)[:, ::-1] + 0.5) * step - 0.5
    places[0], places[-1] = start, end
    if len(places) < 2 or nodes[0] == nodes[1]:
        return np.array([start, end])
    return np.asarray(polygon_of(places, CUT_PX * step), np.float64)


def _node(place: tuple[float, float], step: int, shape: tuple[int, ...]) -> tuple[int, int]:
    """Row and column of the smaller picture."""
    column, row = (int(np.floor((value + 0.5) / step)) for value in place)
    return min(max(row, 0), shape[0] - 1), min(max(column, 0), shape[1] - 1)
