"""An ask on a sculpt, close by: over the still where that is shown, else on the sculpt itself."""

import numpy as np

from sixwright.line.shots import AskedChange
from sixwright.numerics.mesh.views import ImageWindow, Lens, Model, outline, view
from sixwright.numerics.rotations import Floats
from sixwright.reports.asking import PICTURE_PX
from sixwright.reports.raster.panel import (
    INK,
    NEEDS,
    Mark,
    Picture,
    Ring,
    arrow,
    ground,
    scale_bar,
    title,
    with_marks,
    with_mesh,
    with_outline,
)
from sixwright.reports.raster.photograph import cut, photograph
from sixwright.reports.raster.views_of import AWAY_MM, JUMP_MM, LONGER, lens_of, looking

SIZE = PICTURE_PX
AROUND_MM = 9.0  # shown round what is asked, at least


def asked_change(shot: AskedChange, model: Model, content: bytes | None) -> Picture:
    """The picture of an ask: outline on the still or shaded sculpt, arrows, and a scale bar.

    Parameters
    ----------
    shot
        What it shows.
    model
        The round's mesh, made ready.
    content
        The still's file; None where it is not shown.
    """
    if shot.camera is None:
        lens, still = looking(model, shot.yaw_deg, 0.0, AWAY_MM, 1000.0), None
    else:
        lens = lens_of(shot.camera)
        still = photograph(content, (shot.camera.width_px, shot.camera.height_px))
    starts = np.array([place for place, _ in shot.arrows])
    ends = starts + LONGER * np.array([move for _, move in shot.arrows])
    window, pixels_a_mm = _window(lens, np.concatenate([starts, ends]))
    seen = view(model, lens, window)
    if still is None:
        picture = with_mesh(ground(*SIZE), seen, alpha=1.0)
    else:
        picture = with_outline(cut(still, window), outline(seen, jump=JUMP_MM))
    return with_marks(picture, (
        *_moves(lens, window, starts, ends),
        title(_words(shot, is_shown=still is not None)),
        *scale_bar(*SIZE, pixels_a_mm),
    ))  # fmt: skip


def _words(shot: AskedChange, *, is_shown: bool) -> str:
    if is_shown:
        return f"Outline over {shot.still}"
    if shot.still:
        return f"The sculpt as {shot.still} sees it"
    side = "left" if shot.yaw_deg > 0 else "right"
    return f"The sculpt from its {side}" if shot.yaw_deg else "The sculpt from the front"


def _window(lens: Lens, places: Floats) -> tuple[ImageWindow, float]:
    """Round the places, with a margin; and the window's pixels to a millimetre there."""
    pixels = lens.pixels(places)
    a_mm = lens.pixels_a_unit(places.mean(axis=0))[0]
    low, high = pixels.min(axis=0), pixels.max(axis=0)
    half = max(float((high - low).max()) / 2 + AROUND_MM / 2 * a_mm, AROUND_MM * a_mm)
    step = 2 * half / SIZE[0]
    left, top = (low + high) / 2 - step * (np.array(SIZE) - 1) / 2
    return ImageWindow(float(left), float(top), step, *SIZE), a_mm / step


def _moves(lens: Lens, window: ImageWindow, starts: Floats, ends: Floats) -> tuple[Mark, ...]:
    marks: list[Mark] = []
    at, to = window.shown(lens.pixels(starts)), window.shown(lens.pixels(ends))
    for start, end in zip(at, to, strict=True):
        marks += arrow(start, end, NEEDS)
        marks.append(Ring((float(start[0]), float(start[1])), 3.0, INK, filled=True))
    return tuple(marks)
