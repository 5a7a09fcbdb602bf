"""Sculpts that are wrong in the ways in which sculpts are: none is made as the solver believes.

A smooth error is a sum of a few swellings of sizes of their own, not a draw of any process that
the solver knows. Lengths are mm at 1:6; a sculpt is first the person at 1:6, then moved off it.
"""

from dataclasses import replace

import numpy as np

from sixwright.line.likeness import Placement
from topics.likeness import truth

SLIGHT = 0.06  # every landmark of a sculpt is off by so much, along each axis
NOSE = ("pronasale", "alare", "subnasale")
KINDS = ("independent", "smooth", "nose", "jaw", "depth")
# How many times as wrong as `error_of` makes them heads are, by kind. STATED is the scale at which
# docs/likeness-table.md is judged: of heads that err independently, smoothly, by one local fault
# and in depth, as many a kind, 42 % of landmarks are within 0.25 mm (200 sculpts a kind laid on
# their person robustly; no still, no answer; `within`). A jaw is as wide as it is said to be there.
MILD = dict.fromkeys(KINDS, 1.0)
STATED = dict.fromkeys(KINDS, 1.8) | {"jaw": 1.0}
POOLED = ("independent", "smooth", "nose", "depth")  # the four kinds of which 42 % is said


def swellings(rng, places, size, reach=(5.0, 11.0)):
    """A field of some swellings, each with its middle, reach and way."""
    keys = list(places)
    at = np.array([places[key] for key in keys])
    moved = np.zeros_like(at)
    for _ in range(6):
        middle = at[rng.integers(len(at))] + rng.normal(0, 2, 3)
        reach_mm = rng.uniform(*reach)
        away = ((at - middle) ** 2).sum(axis=1)
        moved += np.exp(-away / (2 * reach_mm**2))[:, None] * rng.normal(0, size, 3)
    return dict(zip(keys, moved, strict=True))


def error_of(rng, kind, places):
    """What is wrong with a sculpt, landmark by landmark."""
    off = {key: rng.normal(0, SLIGHT, 3) for key in places}
    if kind == "independent":
        return {key: rng.normal(0, 1.15 / 6, 3) for key in places}
    if kind == "smooth":
        field = swellings(rng, places, 0.35)
        return {key: off[key] + field[key] for key in places}
    if kind == "depth":
        field = swellings(rng, places, 0.45)
        return {key: off[key] + field[key] * [0.15, 0.15, 1.0] for key in places}
    if kind == "nose":
        way = rng.normal(0, 1, 3)
        way *= rng.uniform(0.35, 0.8) / np.linalg.norm(way)
        return {k: off[k] + (way if k[0] in NOSE else 0.0) for k in places}
    sign = {"left": 1.0, "right": -1.0, "mid": 0.0}  # a jaw too narrow or too wide
    wide = rng.choice([-1.0, 1.0]) * rng.uniform(0.35, 0.6)
    return {
        (name, side): off[name, side]
        + np.array([wide * sign[side], 0, 0]) * {"gonion": 1.0, "cheilion": 0.3}.get(name, 0.0)
        for name, side in places
    }


def within(kind, worse, heads, allowed_mm=0.25):
    """Share of landmarks that are right on sculpts of a kind, laid on their person robustly."""
    right = []
    for seed in range(heads):
        rng = np.random.Generator(np.random.Philox(key=[seed, sum(map(ord, kind))]))
        who = truth.person(rng)
        exact = truth.carved(rng, who, 0.0)
        off = error_of(rng, kind, exact)
        sculpt = {key: exact[key] + worse * off[key] for key in exact}
        weights = dict.fromkeys(sculpt, 1.0)
        for _ in range(40):
            laid = truth.laid(who, sculpt, weights)
            away = {key: np.linalg.norm(laid[key] - sculpt[key]) for key in sculpt}
            weights = {key: 1 / (1 + (far / allowed_mm) ** 2) ** 2 for key, far in away.items()}
        right += [far <= allowed_mm for far in away.values()]
    return float(np.mean(right))


def headed(seed, kind, *, views=truth.SIX, head_px=900.0, noise=1.5, slip=0.0, placing_mm=0.05,
           cropped=False, stated_px=None, change=None, worse=1.0):  # fmt: skip
    """A whole scene whose sculpt is wrong in one way; `worse` times as much as it usually is."""
    rng = np.random.Generator(np.random.Philox(key=[seed, sum(map(ord, kind))]))
    who = truth.person(rng)
    exact = truth.carved(rng, who, 0.0)
    off = error_of(rng, kind, exact)
    sculpt = {key: exact[key] + worse * off[key] for key in exact}
    made = truth.shots(rng, views, head_px=head_px, noise=noise, cropped=cropped)
    if change is not None:
        made = [change(n, shot) for n, shot in enumerate(made)]
    rows = [
        row
        for shot in made
        for row in truth.sighted(rng, shot, who, slip=slip, stated_px=stated_px)
    ]
    placed = placed_as(rng, sculpt, "r1", placing_mm)
    return truth.Scene(truth.inputs_of(made, rows, placed, seed), who, sculpt, made)


def placed_as(rng, sculpt, round_, placing_mm):
    """The landmarks of a sculpt, each placed as well as a hand does."""
    return [
        Placement(round_, *key, tuple(float(v) for v in place + rng.normal(0, placing_mm, 3)), None)
        for key, place in sculpt.items()
    ]


def planted_at(scene, key, move):
    """The same scene, one landmark moved."""
    placed = tuple(
        replace(p, place_mm=tuple(float(v) for v in np.array(p.place_mm) + move))
        if (p.landmark, p.side) == key
        else p
        for p in scene.inputs.placements
    )
    sculpt = scene.sculpt | {key: scene.sculpt[key] + np.array(move)}
    return replace(scene, inputs=replace(scene.inputs, placements=placed), sculpt=sculpt)
