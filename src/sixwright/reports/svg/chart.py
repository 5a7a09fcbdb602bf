"""Charts as SVG: bars in named rows, or lines, bands and points between two axes."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TypeVar

from sixwright.kernel.pictures import Axis, Band, Bar, Chart, Point, Polyline, Shade, Tone
from sixwright.reports.leaving import markup
from sixwright.reports.svg.elements import (
    FILLS,
    INK,
    LEAF,
    ON_FILL,
    QUIET,
    STROKES,
    TEXT_PX,
    path,
    px,
    rule,
    text,
    width_of,
)
from sixwright.reports.wording.words import plain, text_of

WIDTH = 860.0
PLOT_HEIGHT = 270.0
ROW = 38.0
BAR = 26.0
TOP = 18.0
FOOT = 44.0
FAN = 26.0  # what the leaders of narrow bars take
LINE_OF_TEXT = 16.0

AnyAxis = TypeVar("AnyAxis", bound=Axis | None)
Scale = Callable[[float], float]
Body = list[str]


@dataclass(frozen=True, slots=True)
class ChartFrame:
    """The rectangle that the axes span, px."""

    left: float
    top: float
    right: float
    bottom: float


def chart(picture: Chart, locale: str) -> tuple[float, float, Body]:
    """Width and height, px, and the elements of a chart; numbers at its axes by locale."""
    picture = replace(picture, x=_worded(picture.x, locale), y=_worded(picture.y, locale))
    return _rows(picture, locale) if picture.y is None else _plot(picture, picture.y, locale)


def _worded(axis: AnyAxis, locale: str) -> AnyAxis:
    """The axis with its bare numbers written as the locale writes them; words stay."""
    if axis is None:
        return axis
    ticks = tuple(
        (value, plain(value, locale) if label == f"{value:g}" else label)
        for value, label in axis.ticks
    )
    return replace(axis, ticks=ticks)


def _linear(axis: Axis, start: float, end: float) -> Scale:
    """The straight map of an axis onto px; an axis of no length lies at its start."""
    span = (axis.high - axis.low) or 1.0
    return lambda value: start + (value - axis.low) / span * (end - start)


def _rows(picture: Chart, locale: str) -> tuple[float, float, Body]:
    left = max((width_of(row) for row in picture.rows), default=0.0) + 16
    bars = [mark for mark in picture.marks if isinstance(mark, Bar)]
    to_x = _linear(picture.x, left, WIDTH - 24)
    fanned = _too_narrow([bar for bar in bars if bar.row == 0], to_x)
    top = TOP + FAN if fanned else TOP
    frame = ChartFrame(left, top, WIDTH - 24, top + ROW * len(picture.rows))
    body = _x_axis(picture.x, to_x, frame) + _fan(fanned, to_x, top)
    for row, name in enumerate(picture.rows):
        middle = top + ROW * (row + 0.5)
        body.append(text((left - 10, middle + 4), name, anchor="end", fill=INK))
        shades = [mark for mark in picture.marks if isinstance(mark, Shade) and mark.row == row]
        body += [_shade(shade, to_x, middle) for shade in shades]
        body += _bars_of_row([bar for bar in bars if bar.row == row], to_x, middle)
    if picture.x.low < 0 < picture.x.high:
        body.append(rule((to_x(0), frame.top), (to_x(0), frame.bottom), stroke=INK))
    for point in (mark for mark in picture.marks if isinstance(mark, Point)):
        body += _row_point(point, to_x, top, text_of(point.label, locale))
    return WIDTH, frame.bottom + FOOT, body


def _too_narrow(bars: list[Bar], to_x: Scale) -> list[Bar]:
    """Bars between others whose labels do not fit inside them."""
    return [bar for bar in bars if bar.label and not _fits(bar, to_x)] if len(bars) > 2 else []


def _fits(bar: Bar, to_x: Scale) -> bool:
    return width_of(bar.label) + 8 <= abs(to_x(bar.end) - to_x(bar.start))


def _fan(bars: list[Bar], to_x: Scale, top: float) -> Body:
    """Labels above the first row, side by side, each with a leader to its narrow bar."""
    if not bars:
        return []
    centres = [(to_x(bar.start) + to_x(bar.end)) / 2 for bar in bars]
    wide = [width_of(bar.label) + 12 for bar in bars]
    start = sum(centres) / len(centres) - sum(wide) / 2
    start = min(max(start, 0.0), WIDTH - sum(wide))
    body: Body = []
    for bar, centre, width in zip(bars, centres, wide, strict=True):
        x = start + width / 2
        body.append(text((x, TOP - 4), bar.label, anchor="middle"))
        body.append(rule((x, TOP), (centre, top + (ROW - BAR) / 2), stroke=STROKES[Tone.SOFT]))
        start += width
    return body


def _row_point(point: Point, to_x: Scale, top: float, label: str) -> Body:
    """A tick through a bar's row (y is the row), as for a price over its costs."""
    x, middle = to_x(point.x), top + ROW * (point.y + 0.5)
    fill = STROKES[point.tone]
    mark = rule((x, middle - ROW / 2 + 1), (x, middle + ROW / 2 - 1), stroke=fill, width=2.5)
    end = x + 6 + width_of(label) > WIDTH
    anchor, shift = ("end", -6) if end else ("start", 6)
    return [mark, text((x + shift, middle + 4), label, anchor=anchor, fill=fill, strong=True)]


def _bars_of_row(bars: list[Bar], to_x: Scale, middle: float) -> Iterator[str]:
    """Bars end to end, each labelled inside where its label fits, the last one beside it."""
    for i, bar in enumerate(bars):
        x1, x2 = sorted((to_x(bar.start), to_x(bar.end)))
        title = f"<title>{markup(bar.title or bar.label)}</title>"
        yield (
            f'<rect class="fill-{bar.tone}" x="{px(x1)}" y="{px(middle - BAR / 2)}" '
            f'width="{px(x2 - x1)}" height="{px(BAR)}" fill="{FILLS[bar.tone]}" '
            f'stroke="{LEAF}" stroke-width="1">{title}</rect>'
        )
        if not bar.label:
            continue
        if _fits(bar, to_x):
            yield text(
                ((x1 + x2) / 2, middle + 4), bar.label, anchor="middle", fill=ON_FILL[bar.tone]
            )
        elif i == len(bars) - 1 and x2 + 6 + width_of(bar.label) <= WIDTH:
            yield text((x2 + 6, middle + 4), bar.label, fill=STROKES[bar.tone])


def _shade(shade: Shade, to_x: Scale, middle: float) -> str:
    """A stretch of a row, inked by its share."""
    x1, x2 = to_x(shade.start), to_x(shade.end)
    return (
        f'<rect class="shade" x="{px(x1)}" y="{px(middle - BAR / 2)}" width="{px(x2 - x1)}" '
        f'height="{px(BAR)}" fill="{INK}" fill-opacity="{px(shade.share)}" stroke="none">'
        f"<title>{markup(shade.title)}</title></rect>"
    )


def _x_axis(axis: Axis, to_x: Scale, frame: ChartFrame) -> Body:
    body = [rule((frame.left, frame.bottom), (frame.right, frame.bottom), stroke=INK)]
    for value, label in axis.ticks:
        x = to_x(value)
        body.append(rule((x, frame.top), (x, frame.bottom)))
        body.append(text((x, frame.bottom + LINE_OF_TEXT), label, anchor="middle"))
    body.append(text((frame.right, frame.bottom + 2 * LINE_OF_TEXT + 4), axis.label, anchor="end"))
    return body


def _plot(picture: Chart, y_axis: Axis, locale: str) -> tuple[float, float, Body]:
    ticks = max((width_of(label) for _, label in y_axis.ticks), default=0.0)
    ends = [mark.label for mark in picture.marks if isinstance(mark, Polyline) and mark.label]
    right = WIDTH - max((width_of(label) for label in ends), default=0.0) - 16
    frame = ChartFrame(ticks + 14, TOP + 18, right, TOP + 18 + PLOT_HEIGHT)
    to_x = _linear(picture.x, frame.left, frame.right)
    to_y = _linear(y_axis, frame.bottom, frame.top)
    body = _x_axis(picture.x, to_x, frame) + _y_axis(y_axis, to_y, frame)
    body += [_band(mark, to_x, to_y) for mark in picture.marks if isinstance(mark, Band)]
    for line in (mark for mark in picture.marks if isinstance(mark, Polyline)):
        points = [(to_x(x), to_y(y)) for x, y in line.points]
        body.append(path(points, tone=line.tone, width=line.width, dashed=line.dashed))
    body += _end_labels(picture, to_y, frame)
    for point in (mark for mark in picture.marks if isinstance(mark, Point)):
        body += _point(point, to_x, to_y, frame, text_of(point.label, locale))
    return WIDTH, frame.bottom + FOOT, body


def _y_axis(axis: Axis, to_y: Scale, frame: ChartFrame) -> Body:
    body = [text((0, TOP), axis.label)]
    for value, label in axis.ticks:
        y = to_y(value)
        zero = value == 0
        body.append(
            rule((frame.left, y), (frame.right, y), stroke=INK if zero else STROKES[Tone.FAINT])
        )
        body.append(text((frame.left - 8, y + 4), label, anchor="end", fill=INK if zero else QUIET))
    return body


def _band(band: Band, to_x: Scale, to_y: Scale) -> str:
    upper = [(to_x(x), to_y(high)) for x, _, high in band.points]
    lower = [(to_x(x), to_y(low)) for x, low, _ in reversed(band.points)]
    steps = "L".join(f"{px(x)},{px(y)}" for x, y in upper + lower)
    return (
        f'<path class="band" d="M{steps}Z" fill="{FILLS[band.tone]}" fill-opacity="0.45" '
        'stroke="none"/>'
    )


def _end_labels(picture: Chart, to_y: Scale, frame: ChartFrame) -> Body:
    """Each line's label at its right end, moved down where it would lie on the one above."""
    lines = [mark for mark in picture.marks if isinstance(mark, Polyline) and mark.label]
    body: Body = []
    floor = float("-inf")
    for line in sorted(lines, key=lambda mark: to_y(mark.points[-1][1])):
        y = max(to_y(line.points[-1][1]) + 4, floor + LINE_OF_TEXT)
        floor = y
        fill = STROKES[line.tone]
        body.append(
            text((frame.right + 8, y), line.label, fill=fill, strong=line.tone == Tone.TROUBLE)
        )
    return body


def _point(point: Point, to_x: Scale, to_y: Scale, frame: ChartFrame, label: str) -> Body:
    x, y = to_x(point.x), to_y(point.y)
    fill = STROKES[point.tone]
    dot = f'<circle cx="{px(x)}" cy="{px(y)}" r="{px(point.radius + 1)}" fill="{fill}"/>'
    at_end = x + 10 + width_of(label) > frame.right
    anchor, shift = ("end", -9) if at_end else ("start", 9)
    below = y + TEXT_PX + 6 < frame.bottom
    drop = TEXT_PX + 5 if below else -8
    words = text((x + shift, y + drop), label, anchor=anchor, fill=fill, strong=True)
    return [words, dot] if label else [dot]
