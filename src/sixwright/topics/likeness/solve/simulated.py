"""Stills as they might have been: sightings drawn from a solution, and solved again."""

from dataclasses import replace

import numpy as np

from sixwright.numerics.cameras import places_px, project
from sixwright.topics.likeness.solve.bundle import BundleProblem, Solved, solve
from sixwright.topics.likeness.solve.sightings import whitened
from sixwright.topics.likeness.solve.spread import Fitted


def simulated(
    fitted: Fitted, rng: np.random.Generator, *, steps: int
) -> tuple[BundleProblem, Solved]:
    """One set of simulated stills, solved from the solution that it was drawn from.

    Parameters
    ----------
    fitted
        Stills, solved; their own noise is drawn.
    rng
        Moves on by two numbers a sighting.
    steps
        Of solving, at most; 1 or more.

    Raises
    ------
    numpy.linalg.LinAlgError
        If nothing, not even a belief, decides some unknown.

    Source
    ------
    Parametric bootstrap (efron-tibshirani-1993, 6.5).
    """
    seen, solved = fitted.problem.sightings, fitted.solved
    cameras = solved.cameras.only(seen.still)
    shown = project(cameras, solved.points[seen.point])
    weight = whitened(seen, solved.cameras, shown, fitted.problem.noise).whitener
    drawn = rng.standard_normal((len(seen), 2, 1))
    noise = np.linalg.solve(weight, drawn)[:, :, 0]
    place, _ = places_px(cameras, solved.points[seen.point])
    problem = replace(fitted.problem, sightings=seen.moved(place + noise))
    return problem, solve(problem, solved.cameras, solved.points, most_steps=steps)
