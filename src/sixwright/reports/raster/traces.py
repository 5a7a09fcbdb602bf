"""Outlines drawn on a still, as marks of a panel: the line, and how far the sculpt's is from it."""

from collections.abc import Iterator

import numpy as np

from sixwright.line.shots import Trace
from sixwright.numerics.mesh.views import ImageWindow
from sixwright.numerics.rotations import Floats
from sixwright.reports.raster.panel import INK, NEEDS, Mark, PanelText, Stroke

BESIDE_PX = 10.0  # words stand so far off the line


def traces(drawn: tuple[Trace, ...], window: ImageWindow, *, longer: float) -> Iterator[Mark]:
    """The lines as they were drawn, with a comb from the sculpt's outline through them.

    Parameters
    ----------
    drawn
        Outlines, in the still's pixels.
    window
        What of the still is shown.
    longer
        How many times as long as the distance a tooth is.

    Raises
    ------
    ValueError
        If a trace has not as many places of the sculpt as of the drawing.

    Source
    ------
    Own choice: teeth as many times too long as corrections are, violet where the sculpt is shown
    to be wrong.
    """
    for trace in drawn:
        at = window.shown(np.array(trace.drawn_px, np.float64))
        foot = window.shown(np.array(trace.sculpt_px, np.float64))
        tips = foot + longer * (at - foot)
        if len(at) > 1:
            yield Stroke(_points(at), INK, 1.0)
        for start, end, wrong in zip(foot, tips, trace.wrong, strict=True):
            ends = _points(np.stack([start, end]))
            yield Stroke(ends, NEEDS if wrong else INK, 2.0 if wrong else 0.8)
        if trace.off_mm is not None and trace.words_px is not None:
            x, y = _points(window.shown(np.array([trace.words_px], np.float64)))[0]
            way = "out" if trace.off_mm > 0 else "in"
            yield PanelText((x + BESIDE_PX, y - BESIDE_PX), f"{abs(trace.off_mm):.1f} mm {way}")


def _points(places: Floats) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in places)
