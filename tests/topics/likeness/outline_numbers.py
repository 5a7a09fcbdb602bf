"""What outlines add: the same heads judged by points alone and with outlines, counted."""

from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from time import process_time

import numpy as np

from sixwright.topics.likeness.compute import answer
from sixwright.topics.likeness.person.arrays import placed_on
from sixwright.topics.likeness.rounds import verdicts
from sixwright.topics.likeness.solids import Solid
from sixwright.topics.likeness.surface import surface_of
from topics.likeness.errors import KINDS
from topics.likeness.skins import skinned
from topics.likeness.truth import true_correction

ALLOWED, FAR, WIDE = 0.25, 0.4, 1.959964


@dataclass
class Told:
    """What was said of landmarks (all heads together), and what was true; mm at 1:6.

    `off` and `verdict` of every landmark; `apart` and `error` of each landmark and axis seen twice:
    how far the middle of the belief is from the truth, in its standard deviations and in mm;
    `jaws` whether both sides of a wrong jaw, one, or none was named; `seconds` of the processor.
    """

    off: list = field(default_factory=list)
    verdict: list = field(default_factory=list)
    apart: list = field(default_factory=list)
    error: list = field(default_factory=list)
    jaws: list = field(default_factory=list)
    seconds: list = field(default_factory=list)

    def shares(self):
        """Named, of those far off, right that hold, coverage; counts of false ones."""
        off, verdict = np.array(self.off), np.array(self.verdict)
        wrong, fails, holds = off > ALLOWED, verdict == "fails", verdict == "holds"
        far = off > FAR
        return {
            "wrong": wrong.mean(),
            "named": fails[wrong].mean() if wrong.any() else np.nan,
            "far_named": fails[far].mean() if far.any() else np.nan,
            "held": holds[~wrong].mean() if (~wrong).any() else np.nan,
            "false_holds": int((holds & wrong).sum()),
            "all_holds": int(holds.sum()),
            "false_fails": int((fails & ~wrong).sum()),
            "all_fails": int(fails.sum()),
            "coverage": float(np.mean(np.abs(self.apart) < WIDE)),
            "rms": float(np.sqrt(np.mean(np.square(self.error)))),
        }

    def add(self, other):
        """Count another's heads too."""
        for name, rows in vars(other).items():
            getattr(self, name).extend(rows)


@contextmanager
def overheard():
    """What the answer believes of landmarks, and the gauge that it is in."""
    heard, usual = {}, verdicts.with_beliefs

    def listening(table, marks, believed):
        heard["believed"], heard["gauge"] = believed.fitted, table.gauge
        return usual(table, marks, believed)

    verdicts.with_beliefs = listening
    try:
        yield heard
    finally:
        verdicts.with_beliefs = usual


def told_of(made, *, outlines, from_mesh=False):
    """One head's answer, counted; which way out landmarks look, by the table or by the mesh."""
    solid = Solid(made.sculpt)
    inputs = made.scene.inputs if outlines else replace(made.scene.inputs, outlines=())
    if from_mesh:
        marks = surface_of(made.sculpt, placed_on(inputs, "r1"), inside_out=False).marks
        inputs = replace(inputs, surfaces={"r1": marks})
    told = Told()
    with overheard() as heard:
        start = process_time()
        one = answer(inputs, lambda _: solid).rounds[0]
        told.seconds.append(process_time() - start)
    if not heard:
        return told
    truth = true_correction(made.scene, dict(one.gauge))
    for mark in one.landmarks:
        told.off.append(float(np.linalg.norm(truth[mark.key])))
        told.verdict.append(str(mark.verdict))
    shapes, gauge = heard["believed"], heard["gauge"]
    middle = shapes.middle()
    second = np.einsum("b,bi,bj->ij", shapes.weights, shapes.mean, shapes.mean)
    second += np.tensordot(shapes.weights, shapes.covariance, axes=1)
    spread = np.sqrt(np.diag(second - np.outer(middle, middle)))
    error = middle - np.concatenate([truth[key] for key in gauge.keys])
    seen = np.repeat(gauge.sightings >= 2, 3)
    told.apart += (error / spread)[seen].tolist()
    told.error += error[seen].tolist()
    return told


def by_table_and_mesh(seeds, kinds=KINDS, **how):
    """Points alone: directions of landmarks out of the table, and from the sculpt's mesh."""
    table, meshed = Told(), Told()
    for seed in seeds:
        made = skinned(seed, kinds[seed % len(kinds)], **how)
        table.add(told_of(made, outlines=False))
        meshed.add(told_of(made, outlines=False, from_mesh=True))
    return table, meshed


def compared(seeds, kinds=KINDS, **how):
    """Points alone, and with outlines: a head a seed, the kinds in turn."""
    bare, drawn = Told(), Told()
    for seed in seeds:
        kind = kinds[seed % len(kinds)]
        made = skinned(seed, kind, **how)
        for total, outlines in ((bare, False), (drawn, True)):
            one = told_of(made, outlines=outlines)
            if kind == "jaw":
                one.jaws.append(sum(
                    verdict == "fails" and off > ALLOWED
                    for verdict, off in zip(one.verdict, one.off, strict=True)
                ))  # fmt: skip
            total.add(one)
    return bare, drawn
