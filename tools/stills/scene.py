"""What stands before the camera of a still, as one mesh with its colours."""

from dataclasses import dataclass
from functools import cache

import numpy as np
from heads.surface import Surface
from numpy.typing import NDArray

from stills import colours
from stills.cameras import Shot
from stills.light import Bodies, Reals, outward, sky
from stills.subject import Person, coat, skin, worn

OF_MASKS = {"half": (colours.ENAMEL, 0.8), "raised": (colours.TIN, 0.5), "full": (colours.TIN, 0.5)}


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """All bodies.

    Attributes
    ----------
    body
        (n,): of each vertex: 0 the head, 1 the coat, 2 what is worn over the face.
    hair
        (n,): whether it is hair or cap.
    """

    bodies: Bodies
    body: NDArray[np.int64]
    hair: NDArray[np.bool_]


def scene_of(shot: Shot) -> Scene:
    """What a still shows."""
    return _scene(shot.expression, shot.worn)


def sky_of(shot: Shot) -> Reals:
    """The light that comes from all sides to each vertex of what a still shows, (n, 3)."""
    return _sky(shot.expression, shot.worn)


@cache
def _sky(expression: str, mask: str) -> Reals:
    return sky(_scene(expression, mask).bodies)


@cache
def _scene(expression: str, mask: str) -> Scene:
    person = Person(expression)
    head, below = skin(expression), coat()
    colour, shine = colours.of_person(person, head.vertices)
    parts: list[tuple[Surface, Reals, Reals]] = [(head, colour, shine)]
    parts.append((below, *_plain(below, colours.COAT, 0.05)))
    if mask:
        parts.append((worn(mask), *_plain(worn(mask), *OF_MASKS[mask])))
    starts = np.cumsum([0, *(len(part[0].vertices) for part in parts)])
    vertices = np.concatenate([part[0].vertices for part in parts])
    faces = np.concatenate(
        [part[0].faces + start for part, start in zip(parts, starts, strict=False)]
    ).astype(np.int32)
    bodies = Bodies(
        vertices,
        faces,
        outward(vertices, faces),
        np.concatenate([part[1] for part in parts]),
        np.concatenate([part[2] for part in parts]),
    )
    body = np.repeat(np.arange(len(parts)), np.diff(starts))
    hair = np.zeros(len(vertices), np.bool_)
    hair[: len(head.vertices)] = colours.covered(person, head.vertices)
    return Scene(bodies, body, hair)


def _plain(surface: Surface, colour: tuple[float, ...], shine: float) -> tuple[Reals, Reals]:
    count = len(surface.vertices)
    return np.broadcast_to(colour, (count, 3)).copy(), np.full(count, shine)
