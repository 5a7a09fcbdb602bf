"""Sculpts through lenses, as one picture of several panels each."""

from collections.abc import Iterator

import numpy as np

from sixwright.line.shots import (
    AskedChange,
    LensLayer,
    Placed,
    Shot,
    ShotSighting,
    ThroughStill,
    TwelveSides,
    UnseenSide,
)
from sixwright.numerics.mesh.views import ImageWindow, Lens, Model, outline, view
from sixwright.reports.raster.asked_change import asked_change
from sixwright.reports.raster.panel import (
    INK,
    NEEDS,
    Mark,
    Picture,
    Ring,
    Stroke,
    arrow,
    beside,
    encoded,
    ground,
    scale_bar,
    see_through,
    title,
    with_marks,
    with_mesh,
    with_outline,
)
from sixwright.reports.raster.photograph import cut, photograph
from sixwright.reports.raster.traces import traces
from sixwright.reports.raster.views_of import AWAY_MM, JUMP_MM, LONGER, lens_of, looking

PANEL = (620, 700)  # width and height of a panel of a still, pixels
LARGE = (840, 900)  # of a still by itself
SMALL = (300, 350)  # of a contact sheet
MARGIN = 0.06  # of the panel, around the head
HALF_THROUGH = 0.55
BENEATH_MM = 0.4
TRIED = 20_000  # vertices that say how large the head is in a panel
# Yaw towards the figure's left, pitch up, and what that side is called.
SIDES = (
    (0, 0, "Front"), (45, 0, "Front, left"), (90, 0, "Left"), (135, 0, "Back, left"),
    (180, 0, "Back"), (-135, 0, "Back, right"), (-90, 0, "Right"), (-45, 0, "Front, right"),
    (0, 35, "Front, from above"), (0, -35, "Front, from below"), (0, 80, "From above"),
    (180, 35, "Back, from above"),
)  # fmt: skip


def drawn(shot: Shot, model: Model, still: bytes | None) -> bytes:
    """A picture as JPEG; a layer that is laid over another as PNG.

    Parameters
    ----------
    shot
        What it shows.
    model
        The round's mesh, made ready: mm at 1:6 in the sculpt frame.
    still
        The still's file; None where there is none, or where none is shown.

    Raises
    ------
    InputError
        If a camera is not finite.
    """
    match shot:
        case ThroughStill():
            return encoded(_through(shot, model, still))
        case TwelveSides():
            return encoded(_sides(model))
        case AskedChange():
            return encoded(asked_change(shot, model, still))
        case LensLayer():
            return layer(shot, model, still)
        case UnseenSide():
            return encoded(_unseen(shot, model))


def window_of(model: Model, lens: Lens, size: tuple[int, int]) -> ImageWindow:
    """The window of a size around the whole mesh, with a margin."""
    vertices = model.tree.mesh.vertices
    some = vertices[:: max(1, len(vertices) // TRIED)].astype(np.float64)
    before = (some @ lens.rotation[2] + lens.translation[2]) > 1.0
    pixels = lens.pixels(some[before])
    low, high = pixels.min(axis=0), pixels.max(axis=0)
    step = float(((high - low) / (np.array(size) * (1 - 2 * MARGIN))).max())
    left, top = (low + high) / 2 - step * (np.array(size) - 1) / 2
    return ImageWindow(float(left), float(top), step, *size)


def _through(shot: ThroughStill, model: Model, content: bytes | None) -> Picture:
    """Over the still, its outline and marks on it, and turned by 35 degrees and to the side."""
    lens = lens_of(shot.camera)
    window = window_of(model, lens, PANEL)
    seen = view(model, lens, window)
    still = photograph(content, (shot.camera.width_px, shot.camera.height_px))
    under = ground(*PANEL) if still is None else cut(still, window)
    bar = scale_bar(*PANEL, _pixels_a_mm(model, lens, window))
    over = "" if still is None else " over the still"
    first = with_marks(
        with_mesh(under, seen, alpha=HALF_THROUGH), (title(f"The sculpt{over}"), *bar)
    )
    in_sight = _in_sight(shot.landmarks, model, lens)
    drawn_lines = traces(shot.traces, window, longer=LONGER)
    marks = (*drawn_lines, *_moves(in_sight, lens, window), *_rings(shot.sightings, window))
    second = with_marks(
        with_outline(under, outline(seen, jump=JUMP_MM)),
        (*marks, title("Outline, sightings, corrections"), *bar),
    )
    yaw = _yaw(lens)
    side = 1.0 if yaw >= 0 else -1.0
    turned = [
        _turned(shot, model, lens, side * degrees, words)
        for degrees, words in ((35.0, "Same lens, from 35°"), (90.0, "Same lens, from the side"))
    ]
    return beside([[first, second], turned])


def _turned(shot: ThroughStill, model: Model, lens: Lens, yaw_deg: float, words: str) -> Picture:
    """The sculpt by the same lens, as far away, from another side; what it sees of corrections."""
    away = float((lens.rotation @ model.middle + lens.translation)[2])
    other = looking(model, yaw_deg, 0.0, away, lens.focal_px)
    window = window_of(model, other, PANEL)
    picture = with_mesh(ground(*PANEL), view(model, other, window), alpha=1.0)
    shown = _in_sight(shot.landmarks, model, other)
    bar = scale_bar(*PANEL, _pixels_a_mm(model, other, window))
    hand = "left" if yaw_deg > 0 else "right"
    marks = (*_moves(shown, other, window), title(f"{words}, its {hand}"), *bar)
    return with_marks(picture, marks)


def layer(shot: LensLayer, model: Model, content: bytes | None) -> bytes:
    """The still alone, the sculpt alone as its lens sees it, or the outline with all marks."""
    through = shot.through
    lens = lens_of(through.camera)
    window = window_of(model, lens, LARGE)
    if shot.part == "still":
        still = photograph(content, (through.camera.width_px, through.camera.height_px))
        return encoded(ground(*LARGE) if still is None else cut(still, window))
    seen = view(model, lens, window)
    if shot.part == "sculpt":
        return see_through(lambda under: with_mesh(under, seen, alpha=1.0), LARGE)
    edge = outline(seen, jump=JUMP_MM)
    marks = (
        *traces(through.traces, window, longer=LONGER),
        *_moves(_in_sight(through.landmarks, model, lens), lens, window),
        *_rings(through.sightings, window),
        *scale_bar(*LARGE, _pixels_a_mm(model, lens, window)),
    )
    return see_through(lambda under: with_marks(with_outline(under, edge), marks), LARGE)


def _unseen(shot: UnseenSide, model: Model) -> Picture:
    """From the side that no still shows, at the height of the eyes."""
    lens = looking(model, shot.yaw_deg, 0.0, AWAY_MM, 1000.0)
    window = window_of(model, lens, PANEL)
    picture = with_mesh(ground(*PANEL), view(model, lens, window), alpha=1.0)
    moves = _moves(_in_sight(shot.landmarks, model, lens), lens, window)
    return with_marks(picture, (*moves, *scale_bar(*PANEL, _pixels_a_mm(model, lens, window))))


def _yaw(lens: Lens) -> float:
    """How far to the figure's left a camera stands, radians."""
    towards = -lens.rotation[2]
    return float(np.arctan2(towards[0], towards[2]))


def _pixels_a_mm(model: Model, lens: Lens, window: ImageWindow) -> float:
    return lens.pixels_a_unit(model.middle)[0] / window.step


def _in_sight(landmarks: tuple[Placed, ...], model: Model, lens: Lens) -> tuple[Placed, ...]:
    """The landmarks that nothing of the sculpt hides from a camera."""
    if not landmarks:
        return ()
    places = np.array([mark.place_mm for mark in landmarks])
    seen = model.tree.sees(lens.eye, places, within=BENEATH_MM)
    return tuple(mark for mark, sees in zip(landmarks, seen, strict=True) if sees)


def _moves(landmarks: tuple[Placed, ...], lens: Lens, window: ImageWindow) -> Iterator[Mark]:
    """Where the sculpt's landmarks fall, and which way the person's lie from there."""
    for mark in landmarks:
        start = np.array(mark.place_mm)
        ends = start if mark.move_mm is None else start + LONGER * np.array(mark.move_mm)
        at, to = window.shown(lens.pixels(np.stack([start, ends])))
        colour = NEEDS if mark.fails else INK
        if mark.move_mm is not None:
            yield from arrow(at, to, colour)
        yield Ring((float(at[0]), float(at[1])), 2.4, colour, filled=True)


def _rings(sightings: tuple[ShotSighting, ...], window: ImageWindow) -> Iterator[Mark]:
    """Sightings as rings; those that were left out as wrong are struck through."""
    for sighting in sightings:
        x, y = (float(v) for v in window.shown(np.array([sighting.place_px], np.float64))[0])
        yield Ring((x, y), 5.0, INK)
        if sighting.rejected:
            yield Stroke(((x - 7, y + 7), (x + 7, y - 7)), INK, 1.6)


def _sides(model: Model) -> Picture:
    """Twelve sides at one scale."""
    focal = 1000.0
    lenses = [looking(model, yaw, pitch, AWAY_MM, focal) for yaw, pitch, _ in SIDES]
    windows = [window_of(model, lens, SMALL) for lens in lenses]
    step = max(window.step for window in windows)
    panels = []
    for (_, _, words), lens, window in zip(SIDES, lenses, windows, strict=True):
        shown = _widened(window, step)
        picture = with_mesh(ground(*SMALL), view(model, lens, shown), alpha=1.0)
        bar = scale_bar(*SMALL, _pixels_a_mm(model, lens, shown))
        panels.append(with_marks(picture, (title(words), *bar)))
    return beside([panels[i : i + 4] for i in range(0, len(panels), 4)])


def _widened(window: ImageWindow, step: float) -> ImageWindow:
    """The same middle at another scale."""
    more = (window.step - step) * (np.array([window.width, window.height]) - 1) / 2
    left, top = np.array([window.left, window.top]) + more
    return ImageWindow(float(left), float(top), step, window.width, window.height)
