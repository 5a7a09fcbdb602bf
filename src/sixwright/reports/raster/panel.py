"""One panel of a picture: a ground, a mesh on it, and marks with a halo that reads on any ground.

Marks are drawn on a layer twice as fine, which is then made smaller: that smooths their edges.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from math import atan2, cos, hypot, sin
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sixwright.numerics.mesh.views import MeshImage
from sixwright.numerics.rotations import Floats
from sixwright.reports.fonts import FONTS

if TYPE_CHECKING:
    from PIL.ImageDraw import ImageDraw
    from PIL.ImageFont import FreeTypeFont
    from PIL.ImageFont import ImageFont as PlainFont

Picture = NDArray[np.float32]  # (height, width, 3), 0 to 255
Colour = tuple[int, int, int]

# The look's own colours: look.css.
PAPER, INK, NEEDS, WHITE = (241, 243, 240), (27, 34, 32), (106, 42, 140), (255, 255, 255)
LIGHT_CLAY, DARK_CLAY = np.array([238.0, 232.0, 222.0]), np.array([46.0, 42.0, 40.0])
FINE = 2  # the layer's pixels to one of the panel's
HALO = 2.0
TEXT_PX = 17
BARS_MM = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
BAR_SHARE = 0.28  # of the panel's width, at most


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points (n, 2) of a panel, pixels; closed or not."""

    points: tuple[tuple[float, float], ...]
    colour: Colour
    width: float = 1.6


@dataclass(frozen=True, slots=True)
class Ring:
    """A ring or, filled, a dot."""

    at: tuple[float, float]
    radius: float
    colour: Colour
    filled: bool = False


@dataclass(frozen=True, slots=True)
class PanelText:
    """A few words, their lower left corner at a place."""

    at: tuple[float, float]
    text: str


Mark = Stroke | Ring | PanelText


def ground(width: int, height: int) -> Picture:
    """Plain paper."""
    plain: Picture = np.full((height, width, 3), PAPER, np.float32)
    return plain


def with_mesh(picture: Picture, seen: MeshImage, *, alpha: float) -> Picture:
    """A mesh over a picture, shaded; `alpha` is how little shines through, 0 to 1."""
    share = (seen.cover * alpha)[..., None]
    clay = DARK_CLAY + (LIGHT_CLAY - DARK_CLAY) * seen.shade[..., None]
    mixed: Picture = (picture * (1 - share) + clay * share).astype(np.float32)
    return mixed


def with_outline(picture: Picture, edge: NDArray[np.bool_]) -> Picture:
    """An outline of two pixels in ink within a white one of six."""
    for reach, colour in ((2, WHITE), (0, INK)):
        weight = _spread(edge, reach)[..., None]
        picture = (picture * (1 - weight) + np.array(colour) * weight).astype(np.float32)
    return picture


def _spread(edge: NDArray[np.bool_], reach: int) -> NDArray[np.float32]:
    """How much of each pixel is within `reach` pixels of an edge, 0 to 1, softly."""
    wide = edge
    for _ in range(reach):
        padded = np.pad(wide, 1)
        wide = (
            padded[1:-1, 1:-1] | padded[:-2, 1:-1] | padded[2:, 1:-1] | padded[1:-1, :-2]
            | padded[1:-1, 2:]
        )  # fmt: skip
    soft = np.pad(wide.astype(np.float32), 1)
    around = soft[:-2, 1:-1] + soft[2:, 1:-1] + soft[1:-1, :-2] + soft[1:-1, 2:]
    return np.minimum(0.75 * soft[1:-1, 1:-1] + 0.2 * around, 1.0).astype(np.float32)


def with_marks(picture: Picture, marks: tuple[Mark, ...]) -> Picture:
    """Marks over a picture, each with a white halo."""
    from PIL import Image, ImageDraw

    height, width = picture.shape[:2]
    layer = Image.new("RGBA", (width * FINE, height * FINE), (0, 0, 0, 0))
    pen = ImageDraw.Draw(layer)
    for halo in (HALO, 0.0):
        for mark in marks:
            _draw(pen, mark, halo)
    small = np.asarray(layer.reduce(FINE), np.float32)  # weighs each colour by its cover
    share = small[..., 3:] / 255
    return (picture * (1 - share) + small[..., :3] * share).astype(np.float32)


def _draw(pen: "ImageDraw", mark: Mark, halo: float) -> None:
    match mark:
        case Stroke(points, colour, width):
            fill = WHITE if halo else colour
            wide = round(FINE * (width + 2 * halo))
            pen.line([_fine(point) for point in points], fill=fill, width=wide, joint="curve")
        case Ring((x, y), radius, colour, filled):
            fill = WHITE if halo else colour
            reach = FINE * (radius + (halo if filled else 0.8 + halo))
            thick = round(FINE * (1.6 + 2 * halo))
            u, v = _fine((x, y))
            box = (u - reach, v - reach, u + reach, v + reach)
            if filled:
                pen.ellipse(box, fill=fill)
            else:
                pen.ellipse(box, outline=fill, width=thick)
        case PanelText(at, text):
            pen.text(
                _fine(at),
                text,
                fill=WHITE if halo else INK,
                font=_font(TEXT_PX * FINE),
                anchor="ls",
                stroke_width=round(FINE * halo * 1.2),
                stroke_fill=WHITE,
            )


def _fine(point: tuple[float, float]) -> tuple[float, float]:
    """A pixel's middle on the finer layer."""
    return (point[0] + 0.5) * FINE, (point[1] + 0.5) * FINE


@cache
def _font(size: int) -> "FreeTypeFont | PlainFont":
    from PIL import ImageFont

    try:
        return ImageFont.truetype(FONTS / "SourceSans3_600SemiBold.ttf", size)
    except OSError:  # the fonts are laid there at set-up
        return ImageFont.load_default(size)


def arrow(start: Floats, end: Floats, colour: Colour) -> tuple[Mark, ...]:
    """An arrow between two places of a panel; a dot where it is too short to be one."""
    (x, y), (u, v) = (float(start[0]), float(start[1])), (float(end[0]), float(end[1]))
    length = hypot(u - x, v - y)
    if length < 3:
        return (Ring((x, y), 2.4, colour, filled=True),)
    turn, barb = atan2(v - y, u - x), min(8.0, 0.45 * length + 2)
    barbs = tuple(
        (u - barb * cos(turn + side), v - barb * sin(turn + side)) for side in (0.5, -0.5)
    )
    return (
        Stroke(((x, y), (u, v)), colour, 2.2),
        Stroke((barbs[0], (u, v), barbs[1]), colour, 2.2),
    )


def scale_bar(width: int, height: int, pixels_a_mm: float) -> tuple[Mark, ...]:
    """A bar of a round length at 1:6, with that length, at the lower left."""
    length = max((b for b in BARS_MM if b * pixels_a_mm <= BAR_SHARE * width), default=BARS_MM[0])
    left, foot = 14.0, height - 14.0
    right = left + length * pixels_a_mm
    return (
        Stroke(((left, foot - 6), (left, foot), (right, foot), (right, foot - 6)), INK, 2.0),
        PanelText((left + 6, foot - 7), f"{length:g} mm"),
    )


def title(text: str) -> PanelText:
    """What a panel shows, at its upper left."""
    return PanelText((14.0, 28.0), text)


def beside(rows: list[list[Picture]], *, gap: int = 8) -> Picture:
    """Panels of one size in rows, with white between them."""
    height, width = rows[0][0].shape[:2]
    down, across = len(rows), max(len(row) for row in rows)
    whole = np.full((down * (height + gap) - gap, across * (width + gap) - gap, 3), 255, np.float32)
    for i, row in enumerate(rows):
        for j, panel in enumerate(row):
            top, left = i * (height + gap), j * (width + gap)
            whole[top : top + height, left : left + width] = panel
    return whole


def encoded(picture: Picture) -> bytes:
    """A picture as JPEG: the same bytes each time."""
    from io import BytesIO

    from PIL import Image

    out = BytesIO()
    points = np.clip(np.round(picture), 0, 255).astype(np.uint8)
    Image.fromarray(points, "RGB").save(out, "JPEG", quality=90, optimize=True)
    return out.getvalue()


def see_through(laid: Callable[[Picture], Picture], size: tuple[int, int]) -> bytes:
    """What is laid over a picture, by itself, as PNG: where nothing is laid it is see-through.

    Parameters
    ----------
    laid
        Lays it over a picture: each of its points is mixed of what is under it and a colour.
    size
        Width and height in pixels.
    """
    from io import BytesIO

    from PIL import Image

    width, height = size
    on_black, on_white = (
        laid(np.full((height, width, 3), shade, np.float32)) for shade in (0.0, 255.0)
    )
    share = 1 - (on_white - on_black).mean(axis=2, keepdims=True) / 255
    colour = on_black / np.maximum(share, 1e-3)
    points = np.concatenate([colour, 255 * share], axis=2)
    out = BytesIO()
    image = Image.fromarray(np.clip(np.round(points), 0, 255).astype(np.uint8), "RGBA")
    image.save(out, "PNG", compress_level=4)
    return out.getvalue()
