"""A better picture in a still's place: the marks that still lie true on it are kept."""

from collections.abc import Iterator, Sequence
from io import BytesIO

import numpy as np
from numpy.typing import NDArray

from sixwright.project.records import Change, Record, Records
from sixwright.storage.pictures import FORMATS

Grey = NDArray[np.float32]
Place = tuple[float, float]
# Own choices: pictures are compared at this size; what is round a mark must agree so well, and
# lie within so many pixels of where it should.
SIDE_PX, HALF_PX, REACH_PX = 1200, 30, 4
ALIKE, LEAST_CONTRAST = 0.8, 2.0
LIKE_SHAPED = 0.02  # how far the two scales may differ, as a share
QUARTERS = 4


def lie_true(old: bytes, new: bytes, places: Sequence[Place]) -> list[tuple[Place, bool]]:
    """Where marks of the old picture lie on the new one, and whether it shows the same there.

    Parameters
    ----------
    old, new
        The files' bytes, as they were opened before.
    places
        Pixels of the old picture, upright.

    Source
    ------
    Own choice: the correlation of what is round a mark in both (docs/marking.md).
    """
    before, after = _grey(old), _grey(new)
    scale = np.array(after.shape[::-1]) / np.array(before.shape[::-1])
    shaped = abs(float(np.log(scale[0] / scale[1]))) <= LIKE_SHAPED
    share = min(1.0, SIDE_PX / max(before.shape), SIDE_PX / max(after.shape) * scale.max())
    first = _sized(before, share)
    second = _sized(after, share / float(scale.max()))
    found = []
    for x, y in places:
        there = (scale * (np.array([x, y]) + 0.5)) - 0.5
        on_first = (np.array([x, y]) + 0.5) * np.array(first.shape[::-1]) / before.shape[::-1] - 0.5
        same = shaped and _same(first, second, on_first)
        found.append(((float(there[0]), float(there[1])), same))
    return found


def _grey(content: bytes) -> Grey:
    from PIL import Image, ImageOps

    with Image.open(BytesIO(content), formats=FORMATS) as opened:
        upright = ImageOps.exif_transpose(opened)
        return np.asarray(upright.convert("L"), np.float32)


def _sized(grey: Grey, share: float) -> Grey:
    from PIL import Image

    high, wide = (max(1, round(share * side)) for side in grey.shape)
    small = Image.fromarray(grey).resize((wide, high), Image.Resampling.BOX)
    return np.asarray(small, np.float32)


def _same(first: Grey, second: Grey, at: NDArray[np.float64]) -> bool:
    """Whether the second picture shows at a place what the first shows there."""
    u, v = (round(float(value)) for value in at)
    patch = _patch(first, u, v)
    if patch is None:
        return False
    shifts = [
        (float((patch * other).mean()), max(abs(i), abs(j)))
        for i in range(-2 * REACH_PX, 2 * REACH_PX + 1)
        for j in range(-2 * REACH_PX, 2 * REACH_PX + 1)
        if (other := _patch(second, u + i, v + j, like=first.shape)) is not None
        and other.shape == patch.shape
    ]
    if not shifts:
        return False
    best, off = max(shifts)
    return best >= ALIKE and off <= REACH_PX


def _patch(grey: Grey, u: int, v: int, like: tuple[int, ...] | None = None) -> Grey | None:
    """What is round a place, of mean 0 and spread 1; None beyond the edge or where flat."""
    high, wide = grey.shape
    if like is not None and max(abs(high - like[0]), abs(wide - like[1])) > REACH_PX:
        return None
    left, top = max(0, u - HALF_PX), max(0, v - HALF_PX)
    cut = grey[top : min(high, v + HALF_PX + 1), left : min(wide, u + HALF_PX + 1)]
    if min(cut.shape, default=0) <= HALF_PX:
        return None
    spread = float(cut.std())
    return None if spread < LEAST_CONTRAST else ((cut - cut.mean()) / spread).astype(np.float32)


def replacement(
    records: Records, still: str, cells: dict[str, str], moved: Sequence[tuple[Record, Place, bool]]
) -> tuple[Change, ...]:
    """The changes that put another file in a still's place: one edit.

    Parameters
    ----------
    cells
        What its row says then.
    moved
        Each mark or point of an outline with its new place, and whether it lies true there.
    """
    row = records["stills"][still]
    said = tuple(_cells("stills", row, cells))
    return (*said, *(change for mark in moved for change in _marked(*mark)))


def _cells(table: str, row: Record, cells: dict[str, str]) -> Iterator[Change]:
    for name, text in cells.items():
        before = row.cells.get(name, "").strip()
        if before != text:
            yield Change(table, row.id, name, row.cells.get(name, ""), text)


def _marked(row: Record, place: Place, true: bool) -> Iterator[Change]:  # noqa: FBT001
    """A mark that does not lie true is shown again, where it should be; a point only moves."""
    cells = {name: _px(value) for name, value in zip(("x_px", "y_px"), place, strict=True)}
    if row.table == "sightings" and not true and row.cells.get("state", "").strip() == "seen":
        cells["state"] = "proposed"
    yield from _cells(row.table, row, cells)


def _px(value: float) -> str:
    said = f"{round(QUARTERS * value) / QUARTERS:.2f}".rstrip("0").rstrip(".")
    return "0" if said == "-0" else said
