"""Where the landmarks lie on the person: sought on the solid, by what each of them means.

Ids and meanings are those of docs/likeness-landmarks.md. A place is first taken from the level
face, moved as the expression moves it, and brought to the skin; where the landmark is the
foremost, deepest, lowest or outermost point of something, that point is sought about it.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike

from heads.age import laid_on
from heads.ears import ROOT, frame
from heads.eyes import HALF_WIDTH, Opening
from heads.fields import Block, Vector, vector
from heads.head import Head
from heads.person import EYE, EYE_RADIUS
from heads.warps import after

Key = tuple[str, str]
Places = dict[Key, Vector]

BEYOND = 8.0  # how far out one starts who comes from outside, mm
STEPS = 7  # places tried on either side of the middle
NARROWINGS = (1.0, 0.2, 0.04)  # of the reach, one search after another


@dataclass(frozen=True, slots=True)
class Sought:
    """A landmark of the middle or of his left side.

    Attributes
    ----------
    place
        About where it lies on the level face, mm.
    jaw
        Whether the jaw takes it along.
    towards
        It is the farthest point that way; none: the nearest point of the skin.
    reach
        How far about the place it is sought, on each axis, mm.
    """

    place: tuple[float, float, float]
    jaw: bool = False
    towards: tuple[float, float, float] | None = None
    reach: tuple[float, float, float] = (0.0, 0.0, 0.0)


FORWARD, BACK, UP, DOWN, OUT = (0, 0, 1), (0, 0, -1), (0, 1, 0), (0, -1, 0), (1, 0, 0)
MIDDLE = {
    "glabella": Sought((0, 17, 98), towards=FORWARD, reach=(0, 5, 0)),
    "sellion": Sought((0, 2, 94), towards=BACK, reach=(0, 5, 0)),
    "pronasale": Sought((0, -37, 119), towards=FORWARD, reach=(4, 4, 0)),
    "subnasale": Sought((0, -50, 98), towards=BACK, reach=(0, 3, 0)),
    "sublabiale": Sought((0, -85, 96), jaw=True, towards=BACK, reach=(0, 5, 0)),
    "pogonion": Sought((0, -98, 96), jaw=True, towards=FORWARD, reach=(0, 6, 0)),
    "gnathion": Sought((0, -110, 86), jaw=True, towards=DOWN, reach=(0, 0, 9)),
    "trichion": Sought((0, 78, 84)),
    "vertex": Sought((0, 114, -8), towards=UP, reach=(0, 0, 18)),
    "opisthocranion": Sought((0, 10, -96), towards=BACK, reach=(0, 18, 0)),
}
PAIRED = {
    "alare": Sought((18.5, -40, 99), towards=OUT, reach=(0, 4, 4)),
    "zygion": Sought((67, -18, 22), towards=OUT, reach=(0, 4, 5)),
    "gonion": Sought((55, -70, 6), jaw=True, towards=OUT, reach=(0, 4, 6)),
    "frontotemporale": Sought((54, 26, 60)),
    "superciliare": Sought((31, 20, 86)),
}
EAR_SEEN = vector((0.9, 0.0, 0.44))  # whence one looks at an ear: its own folds hide nothing then
# On the ear's flap, in its own frame: backward, up, out.
ON_THE_EAR = {"tragion": (-4.5, 2.5, 4.5), "otobasion-inferius": (-1.5, -33.0, -1.0)}
# Of the skull: no expression moves them.
RIGID = frozenset(
    "glabella sellion pronasale subnasale trichion vertex opisthocranion endocanthion exocanthion "
    "zygion tragion frontotemporale otobasion-inferius".split()
)
# What a cover hides.
HIDDEN = {
    "bare": frozenset[str](),
    "queue": frozenset({"vertex", "opisthocranion"}),
    "cap": frozenset({"vertex", "opisthocranion", "trichion"}),
}


@cache
def landmarks(head: Head) -> Mapping[Key, Vector]:
    """Each landmark that the head shows, (3,) full-size mm, by id and side.

    What belongs to the skull lies where the level face has it, on the skin as it is now.
    """
    found = _sought(head)
    if head.name != "level":
        level = landmarks(Head("level", head.cover))
        held = {key: place for key, place in level.items() if key[0] in RIGID}
        laid, _ = laid_on(list(held.values()), head.solid)
        found |= dict(zip(held, laid, strict=True))
        for name, (_, towards) in _eye_corners(head).items():
            for side, sign in (("left", 1), ("right", -1)):
                start = level[name, side]
                found[name, side] = _from_outside(head, start, towards * (sign, 1, 1))
    return MappingProxyType(found)


def _sought(head: Head) -> Places:
    expression = head.expression
    found: Places = {}
    for name, sought in MIDDLE.items():
        if name not in HIDDEN[head.cover]:
            found[name, "mid"] = _seek(head, sought, 1.0)
    for name, sought in PAIRED.items():
        for side, sign in (("left", 1.0), ("right", -1.0)):
            found[name, side] = _seek(head, sought, sign)
    for key, place in _on_the_lips(head).items():
        found[key] = _from_outside(head, _moved(head, place), FORWARD)
    for side, sign in (("left", 1.0), ("right", -1.0)):
        for name, place in _about_the_eye(head).items():
            found[name, side] = _on_the_skin(head, place * (sign, 1, 1))
        for name, place in _on_the_ear(sign).items():
            raised = (0, head.ear_raised_mm if sign < 0 else 0.0, 0)
            start = _moved(head, place * (sign, 1, 1) + raised)
            found[name, side] = _from_outside(head, start, EAR_SEEN * (sign, 1, 1))
        for name, (place, towards) in _eye_corners(head).items():
            start = _moved(head, place * (sign, 1, 1))
            found[name, side] = _from_outside(head, start, towards * (sign, 1, 1))
        found["pupil", side] = _on_the_skin(head, _pupil(expression.gaze, sign))
    return found


def _seek(head: Head, sought: Sought, sign: float) -> Vector:
    place = vector(sought.place)
    if sought.jaw:
        place = head.expression.in_jaw(place)
    at = _on_the_skin(head, place * (sign, 1, 1))
    if sought.towards is None:
        return at
    towards = vector(sought.towards) * (sign, 1, 1)
    if sought.jaw:
        towards = head.expression.in_jaw(towards) - head.expression.in_jaw(vector(0))
    tried = _tries(vector(sought.reach))
    for narrowing in NARROWINGS:
        laid, _ = laid_on(at + narrowing * tried, head.solid)
        at = laid[(laid @ towards).argmax()]
    return at


def _tries(reach: Vector) -> Vector:
    axes = [np.linspace(-r, r, 2 * STEPS + 1) if r else np.zeros(1) for r in reach]
    return np.stack(np.meshgrid(*axes, indexing="ij"), -1).reshape(-1, 3)


def _on_the_skin(head: Head, place: Vector) -> Vector:
    laid, _ = laid_on(_moved(head, place)[None], head.solid)
    at: Vector = laid[0]
    return at


def _moved(head: Head, place: Vector) -> Vector:
    at: Vector = after(head.warp, place[None])[0]
    return at


def _from_outside(head: Head, place: Vector, towards: ArrayLike) -> Vector:
    """Where one coming from outside meets the skin first: in a fold, its outermost place."""
    ways = np.linspace(BEYOND, -BEYOND, 401)
    along = place + ways[:, None] * vector(towards) / np.linalg.norm(vector(towards))
    value = head.solid(Block.of(*along.T)).astype(float)
    first = int(((value[:-1] > 0) & (value[1:] <= 0)).argmax())
    share = value[first] / (value[first] - value[first + 1])
    at: Vector = along[first] + share * (along[first + 1] - along[first])
    return at


def _on_the_lips(head: Head) -> Places:
    mouth = head.mouth
    reds = [2 * rope.track.rows[len(rope.track.rows) // 2, 3] for rope in mouth.lips]
    places = {
        ("labiale-superius", "mid"): mouth.upper + vector((0, 0.95 * reds[0], -0.8)),
        ("stomion", "mid"): mouth.upper + vector((0, 0.2 if mouth.opened else -0.7, 1.5)),
        ("labiale-inferius", "mid"): mouth.lower - (0, 0.95 * reds[1], 0.8),
    }
    for side, sign in (("left", 1), ("right", -1)):
        places["cheilion", side] = mouth.corner * (sign, 1, 1)
    return places


def _about_the_eye(head: Head) -> dict[str, Vector]:
    opening = Opening.of(head.expression)
    tried = np.linspace(-0.8, 0.8, 81, dtype=np.float32) * np.float32(HALF_WIDTH)
    upper, lower = opening.edges(tried)
    top, bottom = int(upper.argmax()), int(lower.argmin())
    front = EYE_RADIUS + 1.5
    return {
        "palpebrale-superius": EYE + _on_ball(tried[top], upper[top] + 0.4, front),
        "palpebrale-inferius": EYE + _on_ball(tried[bottom], lower[bottom] - 0.4, front),
    }


def _eye_corners(head: Head) -> dict[str, tuple[Vector, Vector]]:
    """About where they lie on his left, and the way out from there."""
    ends = np.array([-HALF_WIDTH, HALF_WIDTH], np.float32)
    inner, outer = Opening.of(head.expression).edges(ends)[0]
    return {
        "endocanthion": (EYE + vector((-HALF_WIDTH, inner, 6.0)), vector(FORWARD)),
        "exocanthion": (EYE + vector((HALF_WIDTH, outer, 5.0)), vector((0.5, 0, 0.87))),
    }


def _on_ball(x: float, y: float, radius: float) -> Vector:
    return vector((x, y, np.sqrt(radius**2 - x**2 - y**2)))


def _on_the_ear(sign: float) -> dict[str, Vector]:
    return {name: ROOT + frame(sign) @ vector(place) for name, place in ON_THE_EAR.items()}


def _pupil(gaze: tuple[float, float], sign: float) -> Vector:
    way = vector((*gaze, 1.0))
    return EYE * (sign, 1, 1) + EYE_RADIUS * way / np.linalg.norm(way)
