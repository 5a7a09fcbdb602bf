"""Whether all stills of a person are bent as no camera bends them."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
from scipy.special import chdtrc

from sixwright.topics.likeness.solve.simulated import simulated
from sixwright.topics.likeness.solve.slant import Slants, slants
from sixwright.topics.likeness.solve.spread import Fitted, spread_of

# Chances below which stills are believed to be bent: of all, of all where one was; own choices.
BENT, BENT_WITH_ONE = 0.005, 0.02
# Sets of straight stills that are simulated, and must all look less bent: 1 in 20 by chance.
STRAIGHT = 19
STEPS = 12


def are_bent(fitted: Fitted, chances: Slants, dropped: Mapping[str, str], *, seed: int) -> bool:
    """Whether the stills together, alike or each in its way, are bent as no camera does.

    Parameters
    ----------
    fitted, chances
        Stills, solved, and how they look slanted.
    dropped
        Still that was left out: why.
    seed
        Of the simulated stills.

    Raises
    ------
    numpy.linalg.LinAlgError
        If nothing, not even a belief, decides some unknown.

    Source
    ------
    docs/topics/likeness.md, “Stills that are not what their row says”. The chance is reckoned to
    first order. Where sightings are soft that no longer holds along what cameras and places can
    nearly imitate, so stills that look bent are held against straight ones, simulated from the
    solution with its own noise (efron-tibshirani-1993, 6.5): it ends with the first set that looks
    as bent.
    """
    believed = BENT_WITH_ONE if "slant" in dropped.values() else BENT
    seen = chance_of_straight(chances)
    if seen >= believed:
        return False
    rng = np.random.Generator(np.random.Philox(key=seed))
    return all(_straight(fitted, rng) > seen for _ in range(STRAIGHT))


def chance_of_straight(chances: Slants) -> float:
    """Chance of stills that look as bent as these, alike or each in its way, were none."""
    logs = -2 * np.log(np.maximum(chances.each, 1e-300))
    apart = float(chdtrc(2 * len(logs), float(logs.sum())))  # Fisher's sum of logarithms
    return 2 * min(apart, chances.common)


def _straight(fitted: Fitted, rng: np.random.Generator) -> float:
    """The same chance of one set of simulated stills that are straight."""
    problem, solved = simulated(fitted, rng, steps=STEPS)
    again = replace(fitted, problem=problem, solved=solved, spread=spread_of(problem, solved))
    return chance_of_straight(slants(again))
