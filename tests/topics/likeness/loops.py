"""The closed loop: a head is judged, what is asked is carried out not quite, and judged again.

Truth, errors and the carrying out share nothing with the solver (topics.likeness.errors). A place
counts as right by the truth, laid on the sculpt by the weights of the answer. The stills are solved
once a head, and believed once, as both stay the same: test_numbers.py holds this to the whole
answer.
"""

from dataclasses import dataclass, field, replace

import numpy as np

from sixwright.kernel.intervals import Verdict
from sixwright.line.likeness import Round
from sixwright.topics.likeness.belief.first_round import first_of
from sixwright.topics.likeness.person.arrays import terms_of
from sixwright.topics.likeness.person.solution import person_fit
from sixwright.topics.likeness.rounds.verdicts import judged_round
from topics.likeness.errors import KINDS, MILD, headed, placed_as
from topics.likeness.truth import true_correction

ALLOWED, FAR = 0.25, 0.4
CARRIED = 0.2  # what is asked is carried out to within a fifth of its length, in any direction
ENOUGH = 0.95
LAST = 3


@dataclass
class Loop:
    """What many heads showed.

    `off`, `said`, `verdict` and head (`heads`) of every landmark of the first round; `within` by
    head and round the share of landmarks that are right; `pushed` by head how many right ones the
    first round's asks pushed out; `asks` by head; `jaws` whether a wrong jaw was called so.
    """

    off: list = field(default_factory=list)
    said: list = field(default_factory=list)
    verdict: list = field(default_factory=list)
    heads: list = field(default_factory=list)
    within: list = field(default_factory=list)
    pushed: list = field(default_factory=list)
    asks: list = field(default_factory=list)
    jaws: list = field(default_factory=list)

    def shares(self):
        """Named, of those far off; right that hold; false holds, worst held; false fails; open."""
        off, verdict = np.array(self.off), np.array(self.verdict)
        wrong, far = off > ALLOWED, off > FAR
        fails, holds = verdict == "fails", verdict == "holds"
        return {
            "wrong": wrong.mean(),
            "named": fails[wrong].mean() if wrong.any() else np.nan,
            "far_named": fails[far].mean() if far.any() else np.nan,
            "right_held": holds[~wrong].mean(),
            "held": int(holds.sum()),
            "false_holds": int((holds & wrong).sum()),
            "worst_held": float(off[holds].max()) if holds.any() else 0.0,
            "failed": int(fails.sum()),
            "false_fails": int((fails & ~wrong).sum()),
            "open": float((~fails & ~holds).mean()),
        }

    def bins(self):
        """(said, true, count) of each tenth of chance that was said."""
        off, said = np.array(self.off), np.array(self.said, float)
        known = np.isfinite(said)
        wrong, said = off[known] > ALLOWED, said[known]
        tenth = np.clip((10 * said).astype(int), 0, 9)
        return [
            (said[tenth == n].mean(), wrong[tenth == n].mean(), int((tenth == n).sum()))
            for n in range(10)
            if (tenth == n).any()
        ]

    def gap(self):
        """Mean distance of what was said from what was true, over the tenths."""
        return float(np.mean([abs(said - true) for said, true, _ in self.bins()]))

    def chance_gap(self, sets=400):
        """The same distance, were all that is said true: middle and 95 in 100 of many such sets.

        A head's landmarks are off together: its faults are kept together in each set, by drawing
        heads anew (with replacement) and taking each set's gap from that of all heads, which
        leaves the scatter alone.
        """
        rng = np.random.Generator(np.random.Philox(key=[len(self.heads), 31]))
        off, said, head = np.array(self.off), np.array(self.said, float), np.array(self.heads)
        known = np.isfinite(said)
        wrong, said, head = off[known] > ALLOWED, said[known], head[known]
        tenth = np.clip((10 * said).astype(int), 0, 9)
        count, over = np.zeros((10, head.max() + 1)), np.zeros((10, head.max() + 1))
        np.add.at(count, (tenth, head), 1)
        np.add.at(over, (tenth, head), wrong - said)
        there = count.sum(axis=1) > 0
        count, over = count[there], over[there]
        # what is more or less than said on the whole is taken out: only scatter is left
        over -= count * (over.sum(axis=1) / count.sum(axis=1))[:, None]
        drawn = rng.multinomial(count.shape[1], np.full(count.shape[1], 1 / count.shape[1]), sets)
        gaps = np.abs((over @ drawn.T) / np.maximum(count @ drawn.T, 1)).mean(axis=0)
        return float(np.median(gaps)), float(np.quantile(gaps, 0.95))

    def after(self, rounds):
        """Share of all landmarks that are right after so many rounds of asked moves."""
        return float(np.mean([head[min(rounds, len(head) - 1)] for head in self.within]))

    def done(self, rounds):
        """Share of heads with 95 % of their landmarks right within so many rounds."""
        return float(np.mean([max(head[: rounds + 1]) >= ENOUGH for head in self.within]))


def merged(parts):
    """Several loops as one."""
    total = Loop()
    for part in parts:
        first = len(total.within)
        for name, rows in vars(part).items():
            later = first if name == "heads" else None
            getattr(total, name).extend(rows if later is None else [later + n for n in rows])
    return total


def loops(seeds, kinds=KINDS, rounds=LAST, sizes=MILD, **how):
    """Run a head a seed, the kinds in turn, each as many times as wrong as `sizes` says."""
    total = Loop()
    for seed in seeds:
        kind = kinds[seed % len(kinds)]
        loop(total, headed(seed, kind, worse=sizes[kind], **how), kind, seed, rounds)
    return total


def believed(made, fit):
    """What is believed of a head from its first round."""
    return first_of(made.inputs, made.inputs.sculpts["head"], fit, terms_of(made.inputs))


def judged(made, number, fit, first=None):
    """A round, judged as the answer does, from stills that are solved."""
    inputs = made.inputs
    first = believed(made, fit) if first is None else first
    return judged_round(inputs, inputs.rounds[f"r{number}"], fit, terms_of(inputs), first)


def loop(total, made, kind, seed, rounds):
    """One head: judged, corrected as asked, and again."""
    rng = np.random.Generator(np.random.Philox(key=[seed, 7919]))
    fit = person_fit(made.inputs, "who")
    known = believed(made, fit)
    within, before = [], None
    for number in range(1, rounds + 1):
        one = judged(made, number, fit, known)
        gauge = one.gauge
        weights = {} if gauge is None else dict(zip(gauge.keys, gauge.weights, strict=True))
        truth = true_correction(made, weights) if weights else made.sculpt
        off = {mark.key: float(np.linalg.norm(truth[mark.key])) for mark in one.landmarks}
        if number == 1:
            first(total, one, off, kind)
        elif number == 2:
            total.pushed.append(sum(before[k] <= ALLOWED < off[k] for k in off))
        within.append(float(np.mean([v <= ALLOWED for v in off.values()])))
        before = off
        if within[-1] >= ENOUGH or number == rounds:
            break
        made = carved_on(rng, made, one, number + 1)
    if len(within) == 1:
        total.pushed.append(0)
    total.within.append(within)


def first(total, one, off, kind):
    """Count a first round."""
    for mark in one.landmarks:
        total.off.append(off[mark.key])
        total.said.append(np.nan if mark.chance_off is None else mark.chance_off)
        total.verdict.append(str(mark.verdict))
        total.heads.append(len(total.within))
    total.asks.append(sum(mark.ask_mm is not None for mark in one.landmarks))
    if kind == "jaw":
        jaw = [f for f in one.features if f.name == "jaw"]
        total.jaws.append(any(f.verdict is Verdict.FAILS or f.resized for f in jaw))


def carved_on(rng, made, one, number):
    """The next round: each asked move carried out not quite."""
    sculpt = dict(made.sculpt)
    for mark in one.landmarks:
        if mark.ask_mm is not None:
            move = np.array(mark.ask_mm)
            slip = CARRIED * np.linalg.norm(move) / np.sqrt(3)
            sculpt[mark.key] = sculpt[mark.key] + move + rng.normal(0, slip, 3)
    name = f"r{number}"
    inputs = replace(
        made.inputs,
        rounds=made.inputs.rounds | {name: Round(name, "head", number)},
        placements=(*made.inputs.placements, *placed_as(rng, sculpt, name, 0.05)),
    )
    return replace(made, inputs=inputs, sculpt=sculpt)
