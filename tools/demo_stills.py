"""Make the demo line's likeness data from a hidden truth: sculpts' landmarks, stills, sightings.

    python tools/demo_stills.py examples/sluice-keeper tests/demo/likeness_truth.json [--tables]

Some minutes. The person, the cameras and the planted faults are invented in tools/heads and
tools/stills, with a projection, a rasteriser and a rule of visibility of their own; nothing is
imported from the solver that has to find them. What was hidden is written to the second path,
never into the line's folder. `--tables` keeps the pictures that are there.
"""

import sys
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from multiprocessing import get_context
from pathlib import Path

import numpy as np
from heads.files import WORKERS, kept
from heads.person import EXPRESSIONS
from heads.sculpts import SCULPTS, SEED
from stills import marking, tables
from stills.cameras import SHOTS
from stills.film import photograph
from stills.marking import Marked, Traced
from stills.placing import placed
from stills.rims import View
from stills.scene import scene_of, sky_of

ROOT = Path(__file__).resolve().parent.parent
CACHE = ROOT / "build/heads"
TRIANGLES = 150_000
# Of fourteen draws of the errors this one: no wrong sighting lies where too few stills can tell, so
# that nothing but what was planted fails.
DRAW, FIRST_WRONG = 1, 8


def chance(*block: int) -> np.random.Generator:
    """Draws of their own for each thing that is drawn."""
    return np.random.Generator(np.random.Philox(np.random.SeedSequence((SEED, *block))))


def taken(expression: str, folder: Path | None) -> dict[str, tuple[list[Marked], list[Traced]]]:
    """What was marked on the stills of one expression; their pictures are written to `folder`."""
    found = {}
    for number, shot in enumerate(SHOTS):
        if shot.expression != expression:
            continue
        scene = scene_of(shot)
        view = View.of(shot, scene)
        if folder is not None:
            picture = photograph(shot, scene.bodies, sky_of(shot), chance(number, 0))
            tables.still_file(folder, shot).write_bytes(picture)
        marks = marking.marked(view, chance(number, 1, DRAW))
        found[shot.id] = (marks, list(marking.traced(view, chance(number, 2))))
        print(f"{shot.id}: {len(marks)} landmarks.", flush=True)
    return found


def main(folder: Path, truth_file: Path, *, pictures: bool) -> None:
    """Write the stills and tables into `folder` and what was hidden into `truth_file`."""
    (folder / "stills").mkdir(parents=True, exist_ok=True)
    heads, _ = kept(SCULPTS, triangles=TRIANGLES, cache=CACHE)
    take = partial(taken, folder=folder if pictures else None)
    found: dict[str, tuple[list[Marked], list[Traced]]] = {}
    with ProcessPoolExecutor(WORKERS, mp_context=get_context("spawn")) as workers:
        for part in workers.map(take, EXPRESSIONS):
            found |= part
    marks = [one for shot in SHOTS for one in found[shot.id][0]]
    marks = marking.some_wrong(marks, chance(99, FIRST_WRONG), FIRST_WRONG)
    outlines = [one for shot in SHOTS for one in found[shot.id][1]]
    rounds = [
        one for n, sculpt in enumerate(SCULPTS) for one in placed(sculpt, heads, chance(n, 3))
    ]
    tables.write(folder, SCULPTS, rounds, marks, outlines)
    tables.write_truth(truth_file, tables.truth(rounds, marks))


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), pictures="--tables" not in sys.argv[3:])
