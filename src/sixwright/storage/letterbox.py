"""Black bars round the picture of a film frame, found by their darkness and sameness."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from PIL import Image

# Own choices. A line of a bar is black, but for the noise of compression; bars come in pairs.
DARK, STRAY = 28, 0.005  # of 255; and the share of its pixels that may be lighter
LEAST_SHARE, MOST_SHARE = 0.02, 0.35  # of the side that it lies across
UNLIKE_SHARE, UNLIKE_PX = 0.1, 4  # how far the two of a pair may differ
# By so much the picture is lighter than the bar, of 255, a block of compression within.
LIGHTER, WITHIN = 10, 8


@dataclass(frozen=True, slots=True)
class Bars:
    """How wide the bars are on each side, pixels of the upright picture; zero without one."""

    left: int = 0
    top: int = 0
    right: int = 0
    bottom: int = 0

    def __bool__(self) -> bool:
        return any((self.left, self.top, self.right, self.bottom))


def bars_of(image: "Image.Image") -> Bars:
    """The bars of an upright picture, above and below or at both sides.

    Parameters
    ----------
    image
        Decoded, upright.

    Source
    ------
    Own choice: docs/marking.md. A night sky is dark too, but seldom black to the last pixel, as
    dark below as above, and as wide.
    """
    grey = np.asarray(image.convert("L"))
    top, bottom = _pair(grey)
    inner = grey[top : grey.shape[0] - bottom]
    left, right = _pair(inner.T)
    return Bars(left, top, right, bottom)


def _pair(lines: NDArray[np.uint8]) -> tuple[int, int]:
    """How many of the first and of the last lines are a bar's; none where they are no pair."""
    count, wide = lines.shape
    dark = (lines > DARK).sum(axis=1) <= STRAY * wide
    light = np.flatnonzero(~dark)
    if not len(light):
        return 0, 0
    first, last = int(light[0]), count - 1 - int(light[-1])
    small, large = min(first, last), max(first, last)
    alike = large - small <= max(UNLIKE_PX, UNLIKE_SHARE * large)
    if not alike or small < LEAST_SHARE * count or large > MOST_SHARE * count:
        return 0, 0
    within = [first + WITHIN, count - 1 - last - WITHIN]
    means = lines[[0, *within, count - 1]].mean(axis=1)
    sharp = means[1] - means[0] > LIGHTER and means[2] - means[3] > LIGHTER
    return (first, last) if sharp else (0, 0)
