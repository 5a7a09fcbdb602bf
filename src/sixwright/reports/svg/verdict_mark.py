"""The mark of a verdict: a bar, the interval measured, against an upright, the limit.

Inside it holds, across it is doubtful, beyond it fails; dots on both sides are unchecked. One set
of strokes serves pages, report and print.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from sixwright.kernel.intervals import Verdict

WIDTH, HEIGHT = 26, 14


@dataclass(frozen=True, slots=True)
class MarkStroke:
    """Level or upright lines of one width, in a field of `WIDTH` by `HEIGHT`, y down.

    Attributes
    ----------
    lines
        Of each: where it starts, and how far it goes across and down.
    dashes
        Lengths of dash and gap; empty where the line is whole.
    """

    lines: tuple[tuple[int, int, int, int], ...]
    width: int
    dashes: tuple[int, ...] = ()


_LIMIT = MarkStroke(((13, 0, 0, 14),), 2)
MARKS: Mapping[Verdict, tuple[MarkStroke, ...]] = {
    Verdict.HOLDS: (_LIMIT, MarkStroke(((1, 7, 9, 0),), 5)),
    Verdict.DOUBTFUL: (_LIMIT, MarkStroke(((7, 7, 12, 0),), 5)),
    Verdict.FAILS: (_LIMIT, MarkStroke(((16, 7, 9, 0),), 5)),
    Verdict.UNCHECKED: (_LIMIT, MarkStroke(((1, 7, 9, 0), (16, 7, 9, 0)), 2, (2, 3))),
}


def mark_svg(verdict: Verdict) -> str:
    """The mark as an SVG element in the colour of the text beside it, silent for the ear."""
    drawn = "".join(_path(stroke) for stroke in MARKS[verdict])
    return f'<svg viewBox="0 0 {WIDTH} {HEIGHT}" aria-hidden="true" focusable="false">{drawn}</svg>'


def _path(stroke: MarkStroke) -> str:
    steps = "".join(
        f"M{x} {y}" + (f"h{across}" if across else f"v{down}")
        for x, y, across, down in stroke.lines
    )
    dashes = f' stroke-dasharray="{" ".join(map(str, stroke.dashes))}"' if stroke.dashes else ""
    return f'<path d="{steps}" stroke-width="{stroke.width}"{dashes}/>'
