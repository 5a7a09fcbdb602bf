"""What somebody marked on the stills: landmarks and outlines, with the errors that people make."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from heads.landmarks import Key
from numpy.typing import NDArray

from stills.rims import Rim, View
from stills.subject import Person

Reals = NDArray[np.float64]
Flags = NDArray[np.bool_]

NOISE_PX = 1.5
WRONG_EVERY = 15
WRONG_PX = (40.0, 75.0)
SLIP_MM = 0.3  # how far along the skin a place is marked off, standard deviation, full size
EDGE_SLIP_MM = 1.5  # the same along an outline
EDGES = ("zygion", "gonion", "vertex", "gnathion", "opisthocranion")
# An outline that runs farther from its landmark, or beside it in the picture, is another one's.
EDGE_WITHIN_MM, EDGE_ACROSS_MM = 5.0, 1.0
FACING = -0.1  # cosine: a place that faces away farther is not marked
PATCH_MM = 4.0
STEP_PX = 12.0  # from point to point of an outline
PROFILE_DEG = 25.0  # seen more from the front, a nose has no outline of its own
LEAST_MM = 22.0  # a shorter outline is not drawn
# Of a hand that follows a line: what neighbouring points share, how far, and what each has alone.
SHARED_PX, SHARED_OVER_PX, ALONE_PX = 1.2, 40.0, 0.8
OUTLINE_SD_PX = 1.5


@dataclass(frozen=True, slots=True)
class Marked:
    """One landmark marked on a still, px in the picture as it is kept."""

    still: str
    key: Key
    place: Reals
    edge: bool
    wrong: bool


@dataclass(frozen=True, slots=True)
class Traced:
    """One outline drawn on a still: (n, 2) px in the picture as it is kept."""

    still: str
    outline: str
    points: Reals


def marked(view: View, chance: np.random.Generator) -> list[Marked]:
    """Every landmark that a still shows, where somebody took it to lie."""
    found: list[Marked] = []
    rims = view.rims()
    for key, place in Person(view.shot.expression).landmarks.items():
        edge = key[0] in EDGES
        where = _edge(view, rims, place, chance) if edge else _spot(view, place, chance)
        if where is not None:
            at = view.shot.pixels(where[None])[0] + chance.normal(0, NOISE_PX, 2)
            found.append(Marked(view.shot.id, key, view.shot.as_kept(at), edge, wrong=False))
    return found


def some_wrong(marks: list[Marked], chance: np.random.Generator, first: int) -> list[Marked]:
    """The same with one in fifteen in a wrong place, from the one of that number on."""
    found = list(marks)
    for number in range(first, len(marks), WRONG_EVERY):
        turn = chance.uniform(0, 2 * np.pi)
        off = chance.uniform(*WRONG_PX) * np.array([np.cos(turn), np.sin(turn)])
        found[number] = replace(marks[number], place=marks[number].place + off, wrong=True)
    return found


def _spot(view: View, place: Reals, chance: np.random.Generator) -> Reals | None:
    """Where somebody takes a landmark to lie, where the still shows it."""
    bodies = view.scene.bodies
    about = np.linalg.norm(bodies.vertices - place, axis=1) < PATCH_MM
    out = bodies.outward[about].sum(0)
    out /= np.linalg.norm(out)
    to_lens = view.shot.place - place
    slip = chance.normal(0, SLIP_MM, 3)
    if (
        out @ to_lens < FACING * np.linalg.norm(to_lens)
        or not view.sees(place[None], beside_px=1)[0]
    ):
        return None
    where: Reals = place + slip - (slip @ out) * out
    return where


def _edge(view: View, rims: list[Rim], place: Reals, chance: np.random.Generator) -> Reals | None:
    """Where the outline beside a landmark runs, a little along it; none where it is another's."""
    slip = chance.normal(0, EDGE_SLIP_MM)
    best, at, least = None, 0, EDGE_WITHIN_MM
    for rim in rims:
        away = np.where(rim.seen, np.linalg.norm(rim.places - place, axis=1), np.inf)
        if away.min() < least:
            best, at, least = rim, int(away.argmin()), float(away.min())
    if best is None:
        return None
    ends = best.places[[max(at - 2, 0), min(at + 2, len(best.places) - 1)]]
    ends, own, off = (view.shot.seen_from(p)[:, :2] for p in (ends, place[None], best.places[[at]]))
    way = (ends[1] - ends[0]) / max(float(np.linalg.norm(ends[1] - ends[0])), 1e-9)
    if abs(float((off - own)[0] @ [-way[1], way[0]])) > EDGE_ACROSS_MM:
        return None
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(best.places, axis=0), axis=1))])
    where = [np.interp(along[at] + slip, along, best.places[:, axis]) for axis in range(3)]
    return np.array(where)


def traced(view: View, chance: np.random.Generator) -> Iterator[Traced]:
    """Every outline that a still shows, as a hand draws it."""
    rims = view.rims()
    for name, within in _named(view).items():
        run = _longest(rims, within, view)
        if run is None:
            continue
        points = _drawn(view.shot.pixels(run), chance)
        yield Traced(view.shot.id, name, view.shot.as_kept(points))


def _named(view: View) -> dict[str, Flags]:
    """For each outline, which vertices may lie on it."""
    x, y, z = view.scene.bodies.vertices.T
    body, hair = view.scene.body, view.scene.hair
    drop = np.float64(Person(view.shot.expression).landmarks["gnathion", "mid"][1] + 110)
    face = (body == 0) & ~hair
    named = {}
    if abs(view.shot.yaw_deg) > PROFILE_DEG:
        named["nose"] = face & (np.abs(x) < 22) & (y > -46) & (y < 6) & (z > 84)
    named["chin"] = face & (np.abs(x) < 26) & (y < -88 + drop) & (z > 60)
    for side, out in (("left", x), ("right", -x)):
        own = face & (out > 22)
        named[f"jaw-{side}"] = own & (y < -58) & (y > -106 + drop) & (z > -20) & (z < 82)
        named[f"cheek-{side}"] = own & (y >= -58) & (y < -2) & (z > 15)
    if Person(view.shot.expression).head.cover == "queue":
        named["hair"] = hair & (y > 20)
    named["mask"] = body == 2
    return named


def _longest(rims: list[Rim], within: Flags, view: View) -> Reals | None:
    """The longest stretch of one rim that is seen and lies where the outline may."""
    best, most = None, LEAST_MM
    for rim in rims:
        on = np.concatenate([[False], rim.seen & within[rim.vertex], [False]])
        starts = np.flatnonzero(~on[:-1] & on[1:])
        for start, end in zip(starts, np.flatnonzero(on[:-1] & ~on[1:]), strict=True):
            run = rim.places[start:end]
            across = view.shot.seen_from(run)[:, :2]
            length = float(np.linalg.norm(np.diff(across, axis=0), axis=1).sum())
            if length > most:
                best, most = run, length
    return best


def _drawn(line: Reals, chance: np.random.Generator) -> Reals:
    """Points along a line, off it across as a hand is that follows it."""
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(line, axis=0), axis=1))])
    at = np.arange(0.5 * STEP_PX, along[-1], STEP_PX)
    points = np.stack([np.interp(at, along, line[:, axis]) for axis in range(2)], 1)
    way = np.gradient(points, axis=0) if len(points) > 1 else np.ones((1, 2))
    across = np.stack([-way[:, 1], way[:, 0]], 1)
    across /= np.maximum(np.linalg.norm(across, axis=1, keepdims=True), 1e-9)
    alike = np.exp(-np.abs(at[:, None] - at) / SHARED_OVER_PX)
    shared = np.linalg.cholesky(alike + 1e-9 * np.eye(len(at))) @ chance.normal(0, 1, len(at))
    off = SHARED_PX * shared + chance.normal(0, ALONE_PX, len(at))
    drawn: Reals = points + off[:, None] * across
    return drawn
