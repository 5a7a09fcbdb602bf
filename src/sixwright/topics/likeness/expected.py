"""Where a still should show the landmarks that nobody has marked on it yet."""

from dataclasses import replace

import numpy as np

from sixwright.line.likeness import Key
from sixwright.numerics.cameras import places_px
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.by_person import by_person
from sixwright.topics.likeness.model import Inputs
from sixwright.topics.likeness.person.arrays import Cast, cast_of, place_of, terms_of
from sixwright.topics.likeness.person.cameras import cameras_of_stills
from sixwright.topics.likeness.solve.resection import unmirrored

LEAST = 6  # sightings before a place is proposed; own choice
FACING = 0.1  # cosine below which the head itself may hide a place


def expected_places(inputs: Inputs, still: str) -> dict[Key, tuple[float, float]]:
    """Where a still should show each landmark of the sculpt, px; none until six are marked.

    The camera is that of this still alone, against the sculpt as it is: so these are places to
    look at, never sightings. What the head itself would hide, and what falls outside the still,
    has none.

    Parameters
    ----------
    inputs
        The nouns of the line.
    still
        Its id.

    Raises
    ------
    KeyError
        If there is no such still.

    Source
    ------
    The start of the topic's own solution: `cameras_of_stills`.
    """
    row = inputs.stills[still]
    person = row.person
    if person is None or all(one.person != person for one in inputs.sculpts.values()):
        return {}
    part = next(each for each in by_person(inputs) if still in each.stills)
    alone = replace(part, stills={still: row}, sightings=tuple(
        each for each in part.sightings if each.still == still))  # fmt: skip
    cast = cast_of(alone, person)
    if cast is None or still not in cast.stills or len(cast.sightings) < LEAST:
        return {}
    return _shown(alone, cast, still)


def _shown(inputs: Inputs, cast: Cast, still: str) -> dict[Key, tuple[float, float]]:
    row, terms = inputs.stills[still], terms_of(inputs)
    taken = cameras_of_stills(inputs, cast)
    camera = taken.cameras.only([0] * len(cast.start))
    at, depth = places_px(camera, cast.start)
    width, height = row.width_px or 1.0, row.height_px or 1.0
    if taken.mirrored[still]:
        at = unmirrored(at, width)
    inside = ((at >= -0.5) & (at <= np.array([width, height]) - 0.5)).all(axis=1)
    faces = _facing(cast, taken.cameras.rotation[0], taken.cameras.translation()[0])
    shown = inside & (depth > 0) & (faces > FACING)
    return {
        place[0]: (float(x), float(y))
        for place, (x, y), is_shown in zip(cast.places, at, shown, strict=True)
        if is_shown and place == place_of(place[0], row.expression, terms)
    }


def _facing(cast: Cast, rotation: Floats, translation: Floats) -> Floats:
    """(p,): cosine between each place's outward normal and the way to the camera."""
    eye = -rotation.T @ translation
    towards = eye - cast.start
    cosine: Floats = (towards * cast.outward).sum(axis=1) / np.linalg.norm(towards, axis=1)
    return cosine
