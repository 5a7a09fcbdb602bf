"""A still's own points, cut to a window; None where its file is not the one that was marked."""

from io import BytesIO
from typing import TYPE_CHECKING

import numpy as np

from sixwright.numerics.mesh.views import ImageWindow
from sixwright.reports.raster.panel import PAPER, Picture

if TYPE_CHECKING:
    from PIL import Image

MOST_POINTS = 100_000_000  # of a still, as storage opens it
FORMATS = ("JPEG", "PNG", "WEBP", "TIFF")


def photograph(content: bytes | None, size: tuple[float, float]) -> "Image.Image | None":
    """A still, upright; None where there is none of this size (width, height).

    Parameters
    ----------
    content
        The file's bytes.
    size
        As its row says, in which its sightings were marked.
    """
    from PIL import Image, ImageOps, UnidentifiedImageError

    if content is None:
        return None
    try:
        with Image.open(BytesIO(content), formats=FORMATS) as opened:
            if opened.width * opened.height > MOST_POINTS:
                return None
            upright = ImageOps.exif_transpose(opened).convert("RGB")
    except (OSError, UnidentifiedImageError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None
    return upright if (upright.width, upright.height) == size else None


def cut(still: "Image.Image", window: ImageWindow) -> Picture:
    """The part of a still that a window shows, paper beyond its edge."""
    from PIL import Image

    # Half a pixel, because Pillow counts from a pixel's corner, and we from its middle.
    low = np.array([window.left, window.top]) + 0.5 - window.step / 2
    high = low + window.step * np.array([window.width, window.height])
    first, last = np.floor(low).astype(int) - 8, np.ceil(high).astype(int) + 8
    around = Image.new("RGB", (int(last[0] - first[0]), int(last[1] - first[1])), PAPER)
    around.paste(still, (-int(first[0]), -int(first[1])))
    left, top, right, foot = (float(side) for side in (*(low - first), *(high - first)))
    shown = around.resize(
        (window.width, window.height), Image.Resampling.LANCZOS, (left, top, right, foot)
    )
    return np.asarray(shown, np.float32)
