"""Drawings in millimetres as SVG, each with its scale bar."""

from math import degrees

from sixwright.kernel.pictures import Arrow, Drawing, Ellipse, Point, Polyline, Tone
from sixwright.reports.svg.elements import FILLS, INK, STROKES, path, px, rule, text, width_of
from sixwright.reports.wording.words import text_of

WIDTH = 400.0  # two of them stand side by side
EDGE = 20.0
FOOT = 40.0


def drawing(picture: Drawing, locale: str) -> tuple[float, float, list[str]]:
    """Width and height, px, and the elements of a drawing; its y points up."""
    per_mm = (WIDTH - 2 * EDGE) / (picture.high[0] - picture.low[0])
    height = (picture.high[1] - picture.low[1]) * per_mm + 2 * EDGE + FOOT

    def place(point: tuple[float, float]) -> tuple[float, float]:
        x = EDGE + (point[0] - picture.low[0]) * per_mm
        return x, EDGE + (picture.high[1] - point[1]) * per_mm

    body: list[str] = []
    for mark in picture.marks:
        match mark:
            case Ellipse():
                body.append(_ellipse(mark, place(mark.centre), per_mm))
            case Polyline():
                points = [place(point) for point in mark.points]
                body.append(path(points, tone=mark.tone, width=mark.width, dashed=mark.dashed))
                if mark.label:
                    x, y = points[-1]
                    body.append(_label(x, y, mark.label, mark.tone))
            case Arrow():
                body += _arrow(mark, place(mark.start), place(mark.end))
            case Point():
                x, y = place((mark.x, mark.y))
                body.append(
                    f'<circle cx="{px(x)}" cy="{px(y)}" r="{px(mark.radius)}" '
                    f'fill="{STROKES[mark.tone]}"/>'
                )
                if mark.label:
                    body.append(_label(x, y, text_of(mark.label, locale), mark.tone))
    return WIDTH, height, body + _scale_bar(picture.scale_bar_mm, per_mm, height)


def _label(x: float, y: float, words: str, tone: Tone) -> str:
    """A label beside a mark, on the side where it fits."""
    beyond = x + 8 + width_of(words) > WIDTH
    anchor, shift = ("end", -7) if beyond else ("start", 7)
    return text((x + shift, y - 5), words, anchor=anchor, fill=STROKES[tone], strong=True)


def _ellipse(mark: Ellipse, centre: tuple[float, float], per_mm: float) -> str:
    x, y = centre
    rx, ry = (axis * per_mm for axis in mark.half_axes)
    turn = degrees(-mark.turn_rad)
    return (
        f'<ellipse cx="{px(x)}" cy="{px(y)}" rx="{px(rx)}" ry="{px(ry)}" '
        f'transform="rotate({px(turn)} {px(x)} {px(y)})" fill="{FILLS[mark.tone]}" '
        f'fill-opacity="0.45" stroke="{STROKES[mark.tone]}"/>'
    )


def _arrow(mark: Arrow, start: tuple[float, float], end: tuple[float, float]) -> list[str]:
    """A shaft and an open head whose sides are a fifth of the shaft, at most 9 px."""
    stroke = STROKES[mark.tone]
    (x1, y1), (x2, y2) = start, end
    length = max(((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5, 1e-9)
    along = ((x2 - x1) / length, (y2 - y1) / length)
    size = min(9.0, length / 5 + 2)
    elements = [rule((x1, y1), (x2, y2), stroke=stroke, width=2)]
    for side in (1, -1):
        back_x = x2 - size * (along[0] + side * 0.5 * along[1])
        back_y = y2 - size * (along[1] - side * 0.5 * along[0])
        elements.append(rule((x2, y2), (back_x, back_y), stroke=stroke, width=2))
    if mark.label:
        elements.append(_label(x2, y2, mark.label, mark.tone))
    return elements


def _scale_bar(length_mm: float, per_mm: float, height: float) -> list[str]:
    y, end = height - 16, EDGE + length_mm * per_mm
    return [
        rule((EDGE, y), (end, y), stroke=INK, width=2),
        rule((EDGE, y - 4), (EDGE, y + 4), stroke=INK, width=2),
        rule((end, y - 4), (end, y + 4), stroke=INK, width=2),
        text((end + 8, y + 4), f"{px(length_mm)} mm", fill=INK),
    ]
