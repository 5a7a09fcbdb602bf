"""What a sculptor is asked, as a picture: on the mesh through a still's lens, else as a drawing."""

from collections.abc import Iterator, Mapping
from itertools import pairwise

import numpy as np

from sixwright.kernel.pictures import Arrow, Drawing, DrawingMark, Point, Polyline, Tone
from sixwright.line.likeness import Key, SculptAsk
from sixwright.line.shots import AskedChange, Camera
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.ask_ways import AskedMove
from sixwright.topics.likeness.model import Answer, Inputs, RoundAnswer, StillAnswer, Vector
from sixwright.topics.likeness.pictures import CHAINS
from sixwright.topics.likeness.rounds.ask_outcomes import keys_of, way_asked
from sixwright.topics.likeness.sculpt_files import ref_of
from sixwright.topics.likeness.shots import camera_of

LONGER = 3.0  # times an arrow is as long as the move: half a millimetre would hardly be seen
AROUND_MM = 11.0  # of a drawing, round what is asked
SCALE_BAR_MM = 5.0
ENOUGH = 0.5  # a still that may be shown is taken where it shows so much of what the best shows
SIDE_DEG = 80.0


def arrows_of(one: RoundAnswer, ask: SculptAsk) -> tuple[tuple[Vector, Vector], ...]:
    """Places of the sculpt and where each is to go; none where the ask cannot be drawn.

    Parameters
    ----------
    one
        The round that it is about.
    ask
        The ask. A feature that moves as a whole has one arrow, at the middle of its landmarks;
        one that grows has one at each.

    Raises
    ------
    ValueError
        If a place is not of space: a fault of ours.

    Source
    ------
    Own choice.
    """
    way = way_asked(ask)
    places = [place for _, place in _places(one, ask)]
    if way is None or not places:
        return ()
    middle = np.mean(places, axis=0)
    if way.move_mm is not None:
        return ((_vector(middle), way.move_mm),)
    return tuple(_grown(places, middle, way))


def _grown(places: list[Floats], middle: Floats, way: AskedMove) -> Iterator[tuple[Vector, Vector]]:
    arms = [place - middle for place in places]
    half = float(np.sqrt(np.mean([arm @ arm for arm in arms])))
    for place, arm in zip(places, arms, strict=True):
        if half > 0:
            yield _vector(place), _vector(arm * (way.grow_mm or 0.0) / half)


def _places(one: RoundAnswer, ask: SculptAsk) -> list[tuple[Key, Floats]]:
    wanted = set(keys_of(ask))
    return [
        (mark.key, np.array(mark.place_mm))
        for mark in one.landmarks
        if mark.key in wanted and mark.place_mm is not None
    ]


def _vector(values: Floats) -> Vector:
    x, y, z = (float(value) for value in values)
    return x, y, z


def ask_shots(inputs: Inputs, answer: Answer) -> dict[str, AskedChange]:
    """The picture of each ask on a round whose mesh was read, by the ask's id.

    Parameters
    ----------
    inputs, answer
        The nouns and what was computed of them.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.
    """
    read = {file.round: file.sha256 for file in answer.files if file.sha256}
    rounds = {one.round: one for one in answer.rounds}
    found = {}
    for ask in inputs.asks.values():
        one = rounds.get(ask.round)
        arrows = () if one is None else arrows_of(one, ask)
        if one is None or not arrows or one.round not in read:
            continue
        still = _still(inputs, one, ask, arrows)
        shown = still is not None and inputs.stills[still.id].may_publish
        found[ask.id] = AskedChange(
            one.round,
            ask.id,
            ref_of(inputs.rounds[one.round]),
            read[one.round],
            "" if still is None else still.id,
            (inputs.stills[still.id].file or "") if still is not None and shown else "",
            None if still is None else camera_of(inputs, still),
            0.0 if len(arrows) > 1 else _yaw(arrows),
            arrows,
        )
    return found


def _yaw(arrows: tuple[tuple[Vector, Vector], ...]) -> float:
    """The side from which moves are seen at their length: the front, or their own side."""
    moves = np.abs([move for _, move in arrows]).mean(axis=0)
    if moves[2] <= moves[0]:
        return 0.0
    return SIDE_DEG if np.mean([place[0] for place, _ in arrows]) >= 0 else -SIDE_DEG


def _still(
    inputs: Inputs, one: RoundAnswer, ask: SculptAsk, arrows: tuple[tuple[Vector, Vector], ...]
) -> StillAnswer | None:
    """The still that shows the move best; rather one that may be published, if it shows half."""
    wanted, seen = set(keys_of(ask)), set()
    for row in inputs.sightings:
        if (row.landmark, row.side) in wanted and row.state == "seen":
            seen.add(row.still)
    found: Mapping[str, float] = {
        still.id: _shown_px(camera, arrows)
        for still in one.stills
        if still.id in seen and not wanted & set(still.rejected)
        and (camera := camera_of(inputs, still)) is not None
    }  # fmt: skip
    if not found:
        return None
    best = max(found.values())
    open_ = [id_ for id_, px in found.items()
             if px >= ENOUGH * best and inputs.stills[id_].may_publish]  # fmt: skip
    chosen = max(open_ or list(found), key=lambda id_: found[id_])
    return next(still for still in one.stills if still.id == chosen)


def _shown_px(camera: Camera, arrows: tuple[tuple[Vector, Vector], ...]) -> float:
    """How long the moves are in a still, px: to first order."""
    turn, shift = np.array(camera.rotation), np.array(camera.t_mm)
    total = 0.0
    for place, move in arrows:
        x, y, z = turn @ np.array(place) + shift
        u, v, w = turn @ np.array(move)
        total += camera.f_px / abs(z) * float(np.hypot(u - x / z * w, v - y / z * w))
    return total / len(arrows)


def ask_drawing(one: RoundAnswer, ask: SculptAsk) -> Drawing | None:
    """An ask without a mesh: the landmarks round it and its arrow; None where nothing is there.

    Parameters
    ----------
    one, ask
        As `arrows_of`.

    Raises
    ------
    ValueError
        If a place is not of space: a fault of ours.
    """
    arrows = arrows_of(one, ask)
    if not arrows:
        return None
    yaw = 0.0 if len(arrows) > 1 else _yaw(arrows)
    side = "right" if yaw < 0 else "left" if yaw else ""

    def flat(place: Vector) -> tuple[float, float]:
        return (place[0] if not yaw else place[2] if yaw > 0 else -place[2]), place[1]

    shown = {m.key: flat(m.place_mm) for m in one.landmarks
             if m.place_mm and (not side or m.side in {side, "mid"})}  # fmt: skip
    own = {key for key, _ in _places(one, ask)} & set(shown)
    ends = [flat(_end(place, move)) for place, move in arrows]
    core = [shown[key] for key in own] + ends
    low = tuple(min(p[i] for p in core) - AROUND_MM / 2 for i in (0, 1))
    high = tuple(max(p[i] for p in core) + AROUND_MM / 2 for i in (0, 1))
    low, high = _squared(low, high)

    def within(point: tuple[float, float]) -> bool:
        return all(a <= v <= b for a, v, b in zip(low, point, high, strict=True))

    marks: list[DrawingMark] = [
        Polyline((shown[a], shown[b]), Tone.SOFT, width=2.5)
        for chain in CHAINS
        for a, b in pairwise(chain)
        if a in shown and b in shown and within(shown[a]) and within(shown[b])
    ]
    marks += [Point(*at, Tone.INK if key in own else Tone.FAINT, radius=4.0)
              for key, at in shown.items() if within(at)]  # fmt: skip
    marks += [Arrow(flat(place), end, Tone.TROUBLE)
              for (place, _), end in zip(arrows, ends, strict=True)]  # fmt: skip
    seen = f"seen from its {side}" if side else "seen from the front"
    return Drawing(
        title=seen[:1].upper() + seen[1:],
        summary=f"{ask.words} {seen[:1].upper() + seen[1:]}, landmarks with an arrow.",
        low=low,
        high=high,
        scale_bar_mm=SCALE_BAR_MM,
        marks=tuple(marks),
        caption=f"{seen[:1].upper()}{seen[1:]}; the bar is {SCALE_BAR_MM:g} mm.",
    )


def _end(place: Vector, move: Vector) -> Vector:
    return _vector(np.array(place) + LONGER * np.array(move))


def _squared(
    low: tuple[float, ...], high: tuple[float, ...]
) -> tuple[tuple[float, float], tuple[float, float]]:
    """A window as wide as high, round the same middle, of twice `AROUND_MM` at least."""
    half = max(AROUND_MM, *((b - a) / 2 for a, b in zip(low, high, strict=True)))
    middle = [(a + b) / 2 for a, b in zip(low, high, strict=True)]
    return (middle[0] - half, middle[1] - half), (middle[0] + half, middle[1] + half)
