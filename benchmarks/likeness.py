"""How long the stills of one person take to solve, beside a general least-squares solver.

    make bench                       or: python benchmarks/likeness.py

Two scenes of hidden truth (tests/topics/likeness/truth.py): six stills, and thirty stills of three
expressions. The general solver is scipy.optimize.least_squares (trf, derivatives by differences),
given our own start, no wrong sightings to find, no noise to estimate and no covariance to make;
ours does all of that. One thread of linear algebra for both, and seconds of processor time, which
a busy machine does not stretch. Not a test.
"""

import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares
from threadpoolctl import threadpool_limits

sys.path.insert(0, str(Path(__file__).resolve().parent.parent / "tests"))

RUNS = 3
ASKED = {"six stills": 1.0, "thirty stills, three expressions": 10.0}


def scenes() -> dict[str, object]:
    from sixwright.line.likeness import Placement
    from topics.likeness.truth import Scene, carved, inputs_of, person, scene, shots, sighted

    rng = np.random.Generator(np.random.Philox(9))
    who = person(rng)
    faces = {
        name: {key: place + rng.normal(0, 1.5, 3) for key, place in who.items()}
        if name != "neutral"
        else who
        for name in ("neutral", "smile", "shout")
    }
    made = shots(rng, tuple(float(yaw) for yaw in np.linspace(-85, 85, 30)))
    made = [replace(s, expression=list(faces)[n % 3]) for n, s in enumerate(made)]
    rows = [r for s in made for r in sighted(rng, s, faces[s.expression], slip=0.3)]
    sculpt = carved(rng, who, 1.15)
    placed = [Placement("r1", *k, tuple(map(float, v)), 0.02) for k, v in sculpt.items()]
    large = Scene(inputs_of(made, rows, placed), who, sculpt, made)
    return {"six stills": scene(3, slip=0.3), "thirty stills, three expressions": large}


def general(inputs: object) -> Callable[[], object]:
    """The same sightings, start and beliefs for scipy's least_squares."""
    from sixwright.numerics.cameras import believed, places_px
    from sixwright.topics.likeness.person import solution as person
    from sixwright.topics.likeness.person.arrays import cast_of
    from sixwright.topics.likeness.person.cameras import cameras_of_stills

    cast = cast_of(inputs, "who")
    taken = cameras_of_stills(inputs, cast)
    seen = person._sightings(inputs, cast, taken)  # noqa: SLF001
    priors = person._priors(cast, taken)  # noqa: SLF001
    k, p = len(cast.stills), len(cast.places)

    def residuals(x: np.ndarray) -> np.ndarray:
        cameras = taken.cameras.stepped(x[: 10 * k].reshape(k, 10))
        points = x[10 * k :].reshape(p, 3)
        place, _ = places_px(cameras.only(seen.still), points[seen.point])
        off = (place - seen.place_px) / seen.sd_px[:, None]
        belief = (believed(cameras) - priors.mean) / priors.sd
        loose = (points - priors.points) / priors.points_sd_mm
        return np.concatenate([off.ravel(), belief.ravel(), loose.ravel()])

    start = np.concatenate([np.zeros(10 * k), cast.start.ravel()])
    return lambda: least_squares(
        residuals, start, x_scale="jac", method="trf", loss="soft_l1", ftol=1e-6
    )


def seconds(work: Callable[[], object], runs: int = RUNS) -> float:
    taken = []
    for _ in range(runs):
        begun = time.process_time()
        work()
        taken.append(time.process_time() - begun)
    return statistics.median(taken)


def main() -> None:
    """Time both scenes and print the table."""
    from sixwright.topics.likeness.compute import answer
    from sixwright.topics.likeness.person.solution import person_fit

    print("| what | seconds | limit |")
    print("|---|---|---|")
    with threadpool_limits(limits=1):
        for name, made in scenes().items():
            inputs = made.inputs
            whole = seconds(lambda inputs=inputs: answer(inputs))
            solved = seconds(lambda inputs=inputs: person_fit(inputs, "who"))
            theirs = seconds(general(inputs), runs=1)
            print(f"| {name}: the whole answer | {whole:.2f} | {ASKED[name]:.0f} |")
            print(f"| {name}: starts, joint solution, wrong sightings, noise | {solved:.2f} | |")
            print(f"| {name}: scipy's least_squares on the joint solution alone | {theirs:.2f} | |")


if __name__ == "__main__":
    main()
