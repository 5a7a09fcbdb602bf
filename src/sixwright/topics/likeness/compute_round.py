"""One round judged: each landmark's correction, its region, its verdict."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from sixwright.kernel.intervals import Interval, Limit, Verdict, judge
from sixwright.line.landmarks import name_of
from sixwright.line.likeness import Key, Round, Sculpt, Term
from sixwright.numerics.multiple_tests import (
    LEVEL,
    Family,
    chance_beyond,
    family_of,
    region_squared,
)
from sixwright.numerics.regions import least_squared_distance, reach
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.compute_curved import TRUSTED, scatter
from sixwright.topics.likeness.compute_fit import PersonFit
from sixwright.topics.likeness.compute_gauge import Gauge, gauge_of
from sixwright.topics.likeness.compute_person import FEW_STILLS
from sixwright.topics.likeness.compute_start import placed_on
from sixwright.topics.likeness.model import Inputs, LandmarkAnswer, Matrix, Vector
from sixwright.topics.likeness.solve.sightings import Booleans

TOLERANCE_MM = 0.25  # own choice, at 1:6, where none is given
# A landmark seen twice has one check on its sightings; beyond this a wrong sighting along the
# line of sight is likelier than such a sculpt (9 mm at full size). Own choice.
LIKELY_MM = 1.5
# Two landmarks so far apart that each lies so much nearer to the other's place are exchanged.
EXCHANGED_MM, EXCHANGED_SHARE = 1.5, 1 / 3  # own choices
# The middle sighting lies nearer than this share of how far a still's sightings spread (some
# 6 mm on a head), or it is no head that was marked. Own choice.
MISFIT_SHARE = 0.1
NOTICED = (0.975, 0.9)  # two-sided 95 %, and 9 times in 10
NEVER_MM = 2.0  # a direction as unsure as that is decided by belief alone


@dataclass(frozen=True, slots=True)
class Judged:
    """A round's landmarks, and what they were judged with."""

    gauge: Gauge | None
    landmarks: tuple[LandmarkAnswer, ...]
    curved: bool = False


def judged_round(
    inputs: Inputs, one: Round, fit: PersonFit | None, terms: Mapping[str, Term]
) -> Judged:
    """Every landmark of a round with its verdict.

    Parameters
    ----------
    inputs, one
        The folder's nouns, and a round of them.
    fit
        The stills of the person, solved; None where none can be.
    terms
        Every landmark's term.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “The verdict of a landmark”.
    """
    sculpt = inputs.sculpts[one.sculpt]
    bare = _bare(inputs, one, sculpt, terms)
    gauge = None if fit is None else gauge_of(inputs, one.id, sculpt.expression, fit, terms)
    if fit is None or gauge is None:
        return Judged(None, tuple(bare.values()))
    marks = [bare[key] for key in gauge.keys]
    table = _Table(gauge, marks, fit.fitted.freedom)
    family = family_of(gauge.covariance, table.parts(), freedom=table.freedom, seed=inputs.seed)
    answered = [table.answer(i, family) for i in range(len(marks))]
    judged = any(mark.verdict is not Verdict.UNCHECKED for mark in answered)
    curved = judged and scatter(gauge, fit, seed=inputs.seed) > TRUSTED
    whole = _of_the_whole(fit)
    contested = fit.sorted_out.contested[gauge.rows]
    names = exchanged(gauge)
    for i, mark in enumerate(answered):
        bare[mark.key] = _with_reasons(
            mark,
            {"contested": bool(contested[i]), "exchanged": bool(names[i]), "curved": curved},
            stills=len(fit.stills),
            whole=whole,
        )
    return Judged(gauge, tuple(bare.values()), curved)


def _bare(
    inputs: Inputs, one: Round, sculpt: Sculpt, terms: Mapping[str, Term]
) -> dict[Key, LandmarkAnswer]:
    """Each landmark with what the folder says of it, nothing judged."""
    targets = {(t.landmark, t.side): t for t in inputs.targets if t.sculpt == sculpt.id}
    found = {}
    placed = placed_on(inputs, one.id)
    rows = dict.fromkeys((p.landmark, p.side) for p in inputs.placements if p.round == one.id)
    for key in (key for key in rows if key in placed):
        target = targets.get(key)
        own = None if target is None else target.tolerance_mm
        term = terms.get(key[0])
        found[key] = LandmarkAnswer(
            landmark=key[0],
            side=key[1],
            name=name_of(key, (term.name if term else "") or key[0]),
            sightings=0,
            tolerance_mm=own or sculpt.tolerance_mm or TOLERANCE_MM,
            verdict=Verdict.UNCHECKED,
            reason="unseen",
            meant_mm=(target.meant_mm if target else None) or (0.0, 0.0, 0.0),
            place_mm=_vector(placed[key]),
        )
    return found


@dataclass(frozen=True, slots=True)
class _Table:
    """The arithmetic of a round's landmarks, row by row of its gauge."""

    gauge: Gauge
    marks: list[LandmarkAnswer]
    freedom: float

    def own(self, i: int) -> Floats:
        """(3, 3): covariance of one correction."""
        block: Floats = self.gauge.covariance[3 * i : 3 * i + 3, 3 * i : 3 * i + 3]
        return block

    def decided(self, i: int) -> tuple[Floats, Floats]:
        """Directions that the stills decide (3, k), and those that are blind (3, 3 - k)."""
        sizes, axes = np.linalg.eigh(self.own(i))
        blind = np.sqrt(np.maximum(sizes, 0)) > self.marks[i].tolerance_mm / 2
        if self.gauge.sightings[i] == 0:
            blind[:] = True
        return axes[:, ~blind], axes[:, blind]

    def parts(self) -> list[Floats]:
        """The decided directions of each landmark in the joint coordinates."""
        size = len(self.gauge.covariance)
        found = []
        for i in range(len(self.marks)):
            axes = self.decided(i)[0]
            if axes.shape[1]:
                part = np.zeros((size, axes.shape[1]))
                part[3 * i : 3 * i + 3] = axes
                found.append(part)
        return found

    def answer(self, i: int, family: Family) -> LandmarkAnswer:
        """One landmark with its correction, region and bare verdict."""
        mark, count = self.marks[i], int(self.gauge.sightings[i])
        if count == 0:
            return mark
        axes, blind = self.decided(i)
        correction, own = self.gauge.correction[i], self.own(i)
        told = replace(
            mark,
            sightings=count,
            correction_mm=_vector(correction),
            covariance_mm2=_matrix(own),
            blind=tuple(_vector(direction) for direction in blind.T),
            smallest_mm=self._smallest(own),
            gauge_weight=float(self.gauge.weights[i]),
            reason="blind" if blind.shape[1] else "",
        )
        if axes.shape[1] == 0:
            return told
        off = axes.T @ (correction - np.array(mark.meant_mm))
        interval, chance = self._interval(off, axes.T @ own @ axes, mark.tolerance_mm, family)
        verdict = judge(interval, Limit("<=", mark.tolerance_mm))
        if blind.shape[1] and verdict is not Verdict.FAILS:
            verdict = Verdict.UNCHECKED
        return replace(told, off_mm=interval, p_adjusted=chance, verdict=verdict)

    def _interval(
        self, off: Floats, own: Floats, tolerance_mm: float, family: Family
    ) -> tuple[Interval, float]:
        """How far off: from above at 95 % by itself, from below at 95 % over the head."""
        k = len(off)
        high = reach(off, own, region_squared(k, self.freedom))[1]
        low = reach(off, own, region_squared(k, self.freedom, 1 - family.single()))[0]
        squared = least_squared_distance(off, own, tolerance_mm)
        single = float(chance_beyond(np.array([squared]), k, self.freedom)[0])
        value = float(np.linalg.norm(off))
        return Interval(value, min(low, value), max(high, value), LEVEL), family.adjusted(single)

    def _smallest(self, own: Floats) -> tuple[float | None, float | None, float | None]:
        x, y, z = (smallest_mm(float(own[a, a]), self.freedom) for a in range(3))
        return x, y, z


def smallest_mm(variance: float, freedom: float) -> float | None:
    """Least move along a direction that would be noticed 9 times in 10; None if none would."""
    from scipy.special import stdtrit

    spread = float(np.sqrt(max(variance, 0.0)))
    if spread > NEVER_MM:
        return None
    return float(sum(stdtrit(freedom, level) for level in NOTICED)) * spread


def exchanged(gauge: Gauge) -> Booleans:
    """(l,): landmarks that lie where another is on the sculpt, and that one where they are.

    Parameters
    ----------
    gauge
        The person laid on a round.

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    Own choice: no sculptor takes one corner of an eye for the other; who marks stills may.
    """
    person, sculpt = gauge.person_mm, gauge.sculpt_mm
    to_other = np.linalg.norm(person[:, None] - sculpt[None], axis=2)
    apart = np.linalg.norm(sculpt[:, None] - sculpt[None], axis=2)
    near = (to_other < EXCHANGED_SHARE * apart) & (apart > EXCHANGED_MM)
    both: Booleans = (near & near.T).any(axis=1)
    return both & (gauge.sightings >= 2)


def _of_the_whole(fit: PersonFit) -> str:
    """Why nothing of a person can be judged; empty where it can."""
    if fit.off_share > MISFIT_SHARE:
        return "misfit"
    if fit.flipped:
        return "flipped"
    return "bent" if fit.bent else ""


def _with_reasons(
    mark: LandmarkAnswer, doubts: Mapping[str, bool], *, stills: int, whole: str
) -> LandmarkAnswer:
    """The verdict after what the interval cannot know."""
    far = mark.correction_mm is not None and _length(mark) > LIKELY_MM
    two = mark.sightings == 2 and far
    known = mark.verdict is not Verdict.UNCHECKED
    reasons = (
        (bool(whole), Verdict.UNCHECKED, whole),
        (doubts["contested"], Verdict.DOUBTFUL, "contested"),
        (mark.sightings == 0, Verdict.UNCHECKED, "unseen"),
        (stills < FEW_STILLS, Verdict.UNCHECKED, "few-stills"),
        (mark.sightings == 1, Verdict.UNCHECKED, "one-sighting"),
        (known and doubts["curved"], Verdict.UNCHECKED, "curved"),
        (known and doubts["exchanged"], Verdict.DOUBTFUL, "exchanged"),
        (two, Verdict.DOUBTFUL, "two-sightings"),
    )
    for applies, verdict, reason in reasons:
        if applies:
            return replace(mark, verdict=verdict, reason=reason)
    return mark


def _length(mark: LandmarkAnswer) -> float:
    """Length of the correction that is not meant to remain, blind directions included."""
    return float(np.linalg.norm(np.subtract(mark.correction_mm or (0, 0, 0), mark.meant_mm)))


def _vector(row: Floats) -> Vector:
    x, y, z = (float(v) for v in row)
    return x, y, z


def _matrix(rows: Floats) -> Matrix:
    a, b, c = (_vector(row) for row in rows)
    return a, b, c
