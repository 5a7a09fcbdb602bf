"""Sightings of what the sculpt hides: a place marked where the head's own surface is before it."""

from collections.abc import Mapping

import numpy as np

from sixwright.line.likeness import Key, Term
from sixwright.topics.likeness.model import Inputs, RoundAnswer, StillAnswer
from sixwright.topics.likeness.person.arrays import is_contour, terms_of
from sixwright.topics.likeness.solids import Solid

# Own choices, mm at 1:6. A landmark is lifted off the surface, so that one at the limb or in a fold
# is not hidden by what it lies on; and what stands before it must stand well before it, because the
# person is not the sculpt.
LIFT_MM, BEFORE_MM = 0.4, 1.0


def hidden_in(inputs: Inputs, one: RoundAnswer, solid: Solid) -> tuple[tuple[str, Key], ...]:
    """Sightings, kept, of landmarks that the round's mesh hides from the solved camera.

    Parameters
    ----------
    inputs
        The folder's nouns, with what meshes say of landmarks.
    one
        A round with its cameras.
    solid
        Its mesh.

    Returns
    -------
    Still and landmark, in the folder's order: of stills of the sculpt's own expression every
    landmark, of others the rigid ones.

    Raises
    ------
    InputError
        If a camera is not finite: a fault of ours.

    Source
    ------
    Rays from the camera's centre to each landmark's place on the mesh (`numerics.mesh.rays`).
    """
    marks = {mark.key: mark for mark in inputs.surfaces.get(one.round, ()) if mark.outward}
    places = {mark.key: mark.place_mm for mark in one.landmarks if mark.key in marks}
    terms = terms_of(inputs)
    found: list[tuple[str, Key]] = []
    for still in one.stills:
        same = inputs.stills[still.id].expression == one.expression
        keys = [
            key
            for key in _marked(inputs, still, terms)
            if places.get(key) and (same or (key[0] in terms and terms[key[0]].rigid))
        ]
        if still.rotation is None or still.t_mm is None or not keys:
            continue
        eye = -np.array(still.rotation).T @ np.array(still.t_mm)
        at = np.array([places[key] for key in keys], np.float64)
        out = np.array([marks[key].outward for key in keys], np.float64)
        sees = solid.sees(eye, at + LIFT_MM * out, within=BEFORE_MM)
        found += [(still.id, key) for key, seen in zip(keys, sees, strict=True) if not seen]
    return tuple(found)


def _marked(inputs: Inputs, still: StillAnswer, terms: Mapping[str, Term]) -> list[Key]:
    """Points that are marked in a still; a contour is marked on the very edge of the head."""
    wrong = set(still.rejected)
    keys = dict.fromkeys(
        (row.landmark, row.side)
        for row in inputs.sightings
        if row.still == still.id
        and row.state == "seen"
        and row.place_px is not None
        and not is_contour(row, terms)
    )
    return [key for key in keys if key not in wrong]
