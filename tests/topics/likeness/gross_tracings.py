"""Drawings of outlines with one gross error: made of right ones, and known to be wrong.

A run of one drawing is moved across itself, as if the hand had followed another edge there. Nothing
here is shared with what has to find it out.
"""

from dataclasses import replace

import numpy as np

WAYS = ("all", "run", "half", "wander")
LEAST_POINTS = 7


def with_gross(rng, made, way=None, size_mm=None, which=None):
    """A scene whose outlines have one gross error, and the still and outline that has it.

    Parameters
    ----------
    way
        ``all``: the whole of it lies so far off; ``run``: six tenths of it do; ``half``: from its
        middle on it slips to another edge; ``wander``: the whole follows an edge that comes and
        goes. None: by chance.
    size_mm
        At full size, out of the head or (below 0) into it; None: 5 to 9 either way.
    which
        (still, outline); None: by chance.
    """
    lines = _lines(made.scene.inputs.outlines)
    able = sorted(key for key, rows in lines.items() if len(rows) >= LEAST_POINTS)
    which = which or able[rng.integers(len(able))]
    way = way or WAYS[rng.integers(len(WAYS))]
    size = size_mm or rng.choice([-1, 1]) * rng.uniform(5.0, 9.0)
    rows = lines[which]
    shot = next(shot for shot in made.scene.shots if shot.id == which[0])
    at = np.array([row.place_px for row in rows])
    off = size * shot.focal / shot.distance * _profile(rng, way, len(rows))
    along = np.gradient(at, axis=0)
    across = np.stack([along[:, 1], -along[:, 0]], axis=1)
    across /= np.maximum(np.linalg.norm(across, axis=1), 1e-9)[:, None]
    middle = np.mean([row.place_px for every in lines.values() for row in every
                      if row.still == which[0]], axis=0)  # fmt: skip
    if ((at - middle) * across).sum() < 0:
        across = -across
    moved = at + off[:, None] * across
    told = {id(row): replace(row, place_px=(float(x), float(y)))
            for row, (x, y) in zip(rows, moved, strict=True)}  # fmt: skip
    outlines = tuple(told.get(id(row), row) for row in made.scene.inputs.outlines)
    scene = replace(made.scene, inputs=replace(made.scene.inputs, outlines=outlines))
    return replace(made, scene=scene), which


def _lines(outlines):
    found = {}
    for row in outlines:
        found.setdefault((row.still, row.outline), []).append(row)
    return found


def _profile(rng, way, count):
    """(count,), 0 to 1: how much of the gross error each point has."""
    at = np.linspace(0, 1, count)
    if way == "all":
        return np.ones(count)
    if way == "run":
        start = rng.uniform(0, 0.4)
        return np.clip(np.minimum(at - start, start + 0.6 - at) / 0.06 + 0.5, 0, 1)
    if way == "half":
        found = np.clip((at - 0.5) / 0.1 + 0.5, 0, 1)
        return found if rng.random() < 0.5 else found[::-1]
    return 1 + 0.3 * np.sin(2 * np.pi * (at * rng.uniform(0.5, 1.5) + rng.random()))
