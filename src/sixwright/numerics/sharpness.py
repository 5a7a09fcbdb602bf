"""How blurred a picture is, by how its finest detail stands to all of its detail."""

import numpy as np

from sixwright.numerics.rotations import Floats

PARTS = 3  # along each side: the sharpest of nine parts is what was in focus; own choice
LEAST_SPREAD = 2.0  # of 255: a part that is flatter has nothing to be sharp
LEAST_PX = 0.4  # what a pixel itself blurs: no picture is sharper


def blur_px(grey: Floats) -> float | None:
    """Standard deviation of the blur of a picture's sharpest part, px; None where all is flat.

    Parameters
    ----------
    grey
        (h, w), 0 to 255.

    Raises
    ------
    ValueError
        If it is not (h, w).

    Source
    ------
    Own choice: the variance of the Laplacian (common practice as a measure of focus, no source)
    over the variance. Of white noise blurred by a Gaussian of standard deviation s that is 2 / s⁴
    (Parseval); real pictures have less fine detail, so this says which is sharper, and little of
    how sharp. The sharpest of nine parts counts.
    """
    if grey.ndim != 2:
        raise ValueError(f"grey must be (h, w); received {grey.shape!r}.")
    found = [
        blur
        for rows in np.array_split(grey, PARTS, axis=0)
        for part in np.array_split(rows, PARTS, axis=1)
        if (blur := _blur(part)) is not None
    ]
    return min(found, default=None)


def _blur(part: Floats) -> float | None:
    middle = part[1:-1, 1:-1]
    if min(part.shape) < 8 or float(middle.std()) < LEAST_SPREAD:
        return None
    curved = part[:-2, 1:-1] + part[2:, 1:-1] + part[1:-1, :-2] + part[1:-1, 2:] - 4 * middle
    ratio = float(curved.var()) / float(middle.var())
    return max(LEAST_PX, float((2 / max(ratio, 1e-12)) ** 0.25))
