"""What every picture is drawn with: ink, texts, rules and lines, as SVG elements.

Colours are both attributes and classes: a picture stands on its own in a file, and a style sheet
can still set it in black for print. Nothing here uses style attributes or scripts.
"""

from sixwright.kernel.pictures import Tone
from sixwright.reports.leaving import markup

INK = "#1b2220"
QUIET = "#4d5853"
LEAF = "#ffffff"
NEEDS = "#6a2a8c"  # the one accent: what a picture points at
FILLS = {Tone.INK: INK, Tone.SOFT: "#7b8781", Tone.FAINT: "#cdd6d0", Tone.TROUBLE: NEEDS}
STROKES = {Tone.INK: INK, Tone.SOFT: QUIET, Tone.FAINT: "#aab5af", Tone.TROUBLE: NEEDS}
# What can be read on a fill of each tone.
ON_FILL = {Tone.INK: LEAF, Tone.SOFT: LEAF, Tone.FAINT: INK, Tone.TROUBLE: LEAF}
TEXT_PX = 12.5
CHARACTER_PX = 6.7  # a generous mean of the sans at TEXT_PX, so that labels never collide


def px(value: float) -> str:
    """A coordinate with no more digits than a screen can show."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def width_of(text: str) -> float:
    """About how wide a text is set, px."""
    return len(text) * CHARACTER_PX


def text(
    at: tuple[float, float],
    words: str,
    *,
    anchor: str = "start",
    fill: str = QUIET,
    strong: bool = False,
) -> str:
    """A text whose baseline starts, ends or is centred at a place, px.

    A strong one is parted from the lines it crosses by a rim of paper.
    """
    x, y = at
    rim = f'stroke="{LEAF}" stroke-width="4" stroke-linejoin="round" paint-order="stroke"'
    weight = f' font-weight="600" {rim}' if strong else ""
    return (
        f'<text x="{px(x)}" y="{px(y)}" text-anchor="{anchor}" fill="{fill}"{weight}>'
        f"{markup(words)}</text>"
    )


def rule(
    start: tuple[float, float],
    end: tuple[float, float],
    *,
    stroke: str = STROKES[Tone.FAINT],
    width: float = 1,
) -> str:
    """A straight line from one place to another, px."""
    (x1, y1), (x2, y2) = start, end
    return (
        f'<line x1="{px(x1)}" y1="{px(y1)}" x2="{px(x2)}" y2="{px(y2)}" '
        f'stroke="{stroke}" stroke-width="{px(width)}"/>'
    )


def path(points: list[tuple[float, float]], *, tone: Tone, width: float, dashed: bool) -> str:
    """A polyline through points in px."""
    steps = "L".join(f"{px(x)},{px(y)}" for x, y in points)
    dash = ' stroke-dasharray="5 4"' if dashed else ""
    return (
        f'<path class="line-{tone}" d="M{steps}" fill="none" stroke="{STROKES[tone]}" '
        f'stroke-width="{px(width)}" stroke-linejoin="round"{dash}/>'
    )
