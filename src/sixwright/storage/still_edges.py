"""The path along a still's edges between two places, read from its file."""

from io import BytesIO
from pathlib import Path

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.line.picture_files import PictureFile
from sixwright.numerics.edge_path import edge_path
from sixwright.storage.files.within import read_within
from sixwright.storage.pictures import FORMATS, MOST_FILE

MARGIN_SHARE, MARGIN_PX = 0.35, 40  # round the two places: of how far they are apart, and more
Place = tuple[float, float]


def path_between(
    folder: Path, name: str, found: PictureFile, start: Place, end: Place
) -> tuple[Place, ...]:
    """Places of the upright still along its edges, from one place to another.

    Parameters
    ----------
    folder, name
        As `read_within`.
    found
        What was found of the file when it was opened.
    start, end
        Pixels of the whole still.

    Raises
    ------
    InputError
        If the file is none that can be used, or a place lies outside of it.
    OSError
        If it cannot be read.
    """
    from PIL import Image, ImageOps

    wide, high = found.width_px or 0, found.height_px or 0
    inside = all(-0.5 <= x <= wide - 0.5 and -0.5 <= y <= high - 0.5 for x, y in (start, end))
    if found.fault or not inside:
        raise InputError("That place lies outside the still; nothing was drawn.")
    low, top, right, foot = _around(start, end, (wide, high))
    with Image.open(BytesIO(read_within(folder, name, most=MOST_FILE)), formats=FORMATS) as opened:
        cut = ImageOps.exif_transpose(opened).crop((low, top, right, foot)).convert("L")
    moved = [(x - low, y - top) for x, y in (start, end)]
    places = edge_path(np.asarray(cut, np.float64), *moved)
    return tuple((float(x) + low, float(y) + top) for x, y in places)


def _around(start: Place, end: Place, size: tuple[int, int]) -> tuple[int, int, int, int]:
    """The part of the still that the path may take: left, top, right, foot."""
    apart = max(abs(a - b) for a, b in zip(start, end, strict=True))
    margin = MARGIN_SHARE * apart + MARGIN_PX
    low = [max(0, int(min(a, b) - margin)) for a, b in zip(start, end, strict=True)]
    high = [
        min(most, int(max(a, b) + margin) + 2) for a, b, most in zip(start, end, size, strict=True)
    ]
    return low[0], low[1], high[0], high[1]
