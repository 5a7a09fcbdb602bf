"""How near, how sure and how honest the answers are over many scenes of a hidden truth."""

from collections import Counter
from dataclasses import dataclass, field, replace

import numpy as np

from sixwright.kernel.intervals import Verdict
from sixwright.topics.likeness.compute import answer
from topics.likeness.truth import CONTOURS, laid, scene, true_correction, without_wrong

Z95 = 1.96


def varied(n, shot):
    """Frames as they come: each still with its own noise, some squeezed, some cropped."""
    rng = np.random.Generator(np.random.Philox(int(1000 * shot.distance) + n))
    x = shot.centre[0] + (rng.uniform(-0.25, 0.25) * shot.size[0] if n % 2 else 0.0)
    squeeze = float(rng.choice([1.0, 1.0, 0.75, 1.333]))
    noise = float(rng.uniform(1.0, 2.5))
    return replace(
        shot, noise=noise, centre=(x, shot.centre[1]), cropped=bool(n % 2), squeeze=squeeze
    )


GOOD = {}
VARIED = {"slip": 0.4, "change": varied, "stated_px": 1.5}
FOUR_450 = {"views": (0.0, -28.0, 15.0, 27.0), "head_px": 450.0, "noise": 3.0}
FOUR_300 = {"views": (0.0, -28.0, 15.0, 27.0), "head_px": 300.0, "noise": 4.0}
THREE_450 = {"views": (-11.0, 0.0, 10.0), "head_px": 450.0, "noise": 3.0}
POOR = {"four within 30°, 450 px": FOUR_450, "four within 30°, 300 px": FOUR_300,
        "three within 12°, 450 px": THREE_450}  # fmt: skip


@dataclass
class Score:
    """What many scenes showed.

    `rms2` is a scene's root mean square error over landmarks sighted twice or more, along each
    axis, mm at 1:6; `points2` the same without contours; `decided2` along the directions that an
    answer does not call blind; `squared3` the squared errors of those sighted three times or more;
    `held` by landmark and axis whether the 95 % interval held the truth.
    """

    rms2: list = field(default_factory=list)
    points2: list = field(default_factory=list)
    decided2: list = field(default_factory=list)
    squared3: list = field(default_factory=list)
    held: dict = field(default_factory=dict)
    verdicts: Counter = field(default_factory=Counter)
    truly_wrong: int = 0
    false_holds: int = 0
    worst_held_mm: float = 0.0
    truly_right: int = 0
    false_fails: int = 0

    def coverage(self):
        """Share of all intervals that held the truth."""
        return float(np.mean([hit for hits in self.held.values() for hit in hits]))

    def median2(self):
        return float(np.median(self.rms2))

    def by_landmark(self, least):
        """Coverage of each landmark and axis that was sighted in so many scenes."""
        return [float(np.mean(hits)) for hits in self.held.values() if len(hits) >= least]

    def pooled3(self):
        return float(np.sqrt(np.mean(self.squared3)))


def score(seeds, **how):
    """Answer a scene a seed and compare it with what was hidden."""
    total = Score()
    for seed in seeds:
        made = scene(seed, **how)
        count(total, made, answer(made.inputs).rounds[0])
    return total


def count(total, made, found):
    """Add one scene's answer."""
    truth = true_correction(made, dict(found.gauge))
    squares, points, decided = [], [], []
    for mark in found.landmarks:
        total.verdicts[mark.verdict] += 1
        right = np.linalg.norm(truth[mark.key]) <= mark.tolerance_mm
        total.truly_wrong += not right
        total.false_holds += not right and mark.verdict is Verdict.HOLDS
        if mark.verdict is Verdict.HOLDS:
            off_mm = float(np.linalg.norm(truth[mark.key]))
            total.worst_held_mm = max(total.worst_held_mm, off_mm)
        total.truly_right += right
        total.false_fails += right and mark.verdict is Verdict.FAILS
        if mark.sightings < 2 or mark.correction_mm is None:
            continue
        off = np.array(mark.correction_mm) - truth[mark.key]
        spread = np.sqrt(np.diag(mark.covariance_mm2))
        for axis, hit in enumerate(np.abs(off) <= Z95 * spread):
            total.held.setdefault((mark.key, axis), []).append(bool(hit))
        squares.append(float((off**2).mean()))
        if mark.landmark not in CONTOURS:
            points.append(float((off**2).mean()))
        if len(mark.blind) < 3:
            left = off - sum((off @ np.array(b)) * np.array(b) for b in mark.blind)
            decided.append(float(left @ left / (3 - len(mark.blind))))
        if mark.sightings >= 3:
            total.squared3.append(float((off**2).mean()))
    for rows, into in ((squares, total.rms2), (points, total.points2), (decided, total.decided2)):
        if rows:
            into.append(float(np.sqrt(np.mean(rows))))


def in_frame(one, other, sure):
    """An answer's places of the person, laid on another's by those that are sure: Horn's way."""
    ours, theirs = (
        {m.key: np.add(m.place_mm, m.correction_mm) for m in o.landmarks if m.correction_mm}
        for o in (one, other)
    )
    ours = {key: place for key, place in ours.items() if key in theirs}
    return laid(ours, theirs, {key: w for key, w in dict(other.gauge).items() if key in sure})


@dataclass
class Found:
    """Wrong sightings: made where more right ones remain, named, and right ones called wrong.

    `apart_mm` is how far landmarks with three right sightings are from the answer without the
    wrong ones; `told_apart_mm` the same in scenes in which no landmark has three sightings or more
    of which half or more are wrong: there nobody could tell.
    """

    made: int = 0
    named: int = 0
    falsely: int = 0
    sightings: int = 0
    pairs: Counter = field(default_factory=Counter)
    apart_mm: list = field(default_factory=list)
    told_apart_mm: list = field(default_factory=list)


def near(apart_mm):
    """Share of landmarks whose answer is within 0.01 mm of that without wrong sightings."""
    return float((np.array(apart_mm) <= 0.01).mean())


def wrong_sightings(seeds, **how):
    """Spoil one sighting in ten by 60 px and compare with the scene without those."""
    total = Found()
    for seed in seeds:
        made = scene(seed, wrong=0.1, **how)
        spoilt = answer(made.inputs).rounds[0]
        clean = without_wrong(made)
        without = answer(clean).rounds[0]
        compare(total, made, spoilt, without, clean.sightings)
    return total


def compare(total, made, spoilt, without, clean):
    """Count one scene: what was named, and how far the two answers are apart in one frame."""
    right = Counter((s.landmark, s.side) for s in clean)
    wrong = Counter(key[1:] for key in made.wrong)
    rejected = {(still.id, *key) for still in spoilt.stills for key in still.rejected}
    able = {key for key in made.wrong if right[key[1:]] >= 2 and right[key[1:]] > wrong[key[1:]]}
    total.made += len(able)
    total.named += len(able & rejected)
    total.falsely += len(rejected - made.wrong)
    total.sightings += len(made.inputs.sightings)
    others = {mark.key: mark for mark in without.landmarks}
    told = all(right[key] > wrong[key] or right[key] + wrong[key] < 3 for key in wrong)
    sure = {key for key in right if right[key] >= 3 and right[key] > wrong[key]}
    ours = in_frame(spoilt, without, sure)
    for mark in spoilt.landmarks:
        if right[mark.key] + wrong[mark.key] == 2 and wrong[mark.key]:
            total.pairs[mark.verdict] += 1
        other = others[mark.key]
        seen = right[mark.key] >= 3 and mark.correction_mm and other.correction_mm
        if seen and right[mark.key] > wrong[mark.key]:
            apart = ours[mark.key] - np.add(other.place_mm, other.correction_mm)
            total.apart_mm.append(float(np.linalg.norm(apart)))
            if told:
                total.told_apart_mm.append(float(np.linalg.norm(apart)))
