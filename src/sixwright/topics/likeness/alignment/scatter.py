"""Where stills are poor: whether simulated stills scatter as the linearised spread says."""

import numpy as np
from scipy.special import fdtri

from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import similarity
from sixwright.topics.likeness.alignment.gauge import Gauge
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.solve.simulated import simulated

DRAWS = 24
STEPS = 12
POOR_MM = 0.2  # a landmark's typical spread from where linearising is no longer trusted unseen
SHARE = 0.9  # of the scatter that is compared
TRUSTED = 1.15  # ratio of spreads up to which the two are taken to agree


def scatter(gauge: Gauge, fit: PersonFit, *, seed: int) -> float:
    """How far simulated stills scatter the corrections, over what the linearised spread says.

    Parameters
    ----------
    gauge
        The person laid on a round.
    fit
        The stills solved.
    seed
        Of the simulated sightings.

    Returns
    -------
    About 1 where the two agree; exactly 1, unsimulated, where the stills are good.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    Parametric bootstrap (efron-tibshirani-1993, 6.5): sightings drawn from the solution with its
    own noise, solved and aligned again; compared at the 90 % point of the distances, which 24
    draws of a head's landmarks settle to some 5 %.
    """
    seen = gauge.sightings > 1
    blocks = np.array([gauge.covariance[i : i + 3, i : i + 3]
                       for i in range(0, len(gauge.covariance), 3)])  # fmt: skip
    spread = np.sqrt(np.trace(blocks, axis1=1, axis2=2) / 3)
    if not seen.any() or float(np.median(spread[seen])) < POOR_MM:
        return 1.0
    rng = np.random.Generator(np.random.Philox(key=seed))
    inverse = np.linalg.inv(blocks[seen])
    squared = []
    for _ in range(DRAWS):
        off = _scattered(gauge, fit, rng)[seen]
        squared.append(np.einsum("ni,nij,nj->n", off, inverse, off))
    expected = 3 * float(fdtri(3, fit.fitted.freedom, SHARE))
    return float(np.sqrt(np.quantile(np.concatenate(squared), SHARE) / expected))


def _scattered(gauge: Gauge, fit: PersonFit, rng: np.random.Generator) -> Floats:
    """(l, 3): how far the corrections of one simulated set of stills are from the found ones."""
    _, again = simulated(fit.fitted, rng, steps=STEPS)
    person = again.points[gauge.rows]
    sculpt = gauge.sculpt_mm + rng.standard_normal(person.shape) * gauge.placing[:, None]
    moved = similarity(person, sculpt, gauge.weights).of(person) - sculpt
    off: Floats = moved - gauge.correction
    return off
