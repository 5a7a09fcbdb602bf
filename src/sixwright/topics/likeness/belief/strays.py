"""Stretches of drawn outlines that follow another edge than the head's: found, and left out.

Each stretch of each drawing is tried for a shift of its own, everything else (landmarks, the other
drawings, the rest of the same one) being fitted with it. Axis letters: m points of one outline.
"""

from dataclasses import dataclass
from math import ceil

import numpy as np

from sixwright.line.likeness import Key
from sixwright.numerics.fields import contrasts
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.alignment.gauge import Gauge
from sixwright.topics.likeness.alignment.observed import Lines, Observed
from sixwright.topics.likeness.belief.shapes import prior_of
from sixwright.topics.likeness.outlines.drawn import LEAST_SHARE, Across
from sixwright.topics.likeness.outlines.evidence import (
    BESIDE_IT_MM,
    evidence_of,
    joined,
    thinned,
)
from sixwright.topics.likeness.outlines.model import Stray, Why
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.solve.sightings import Booleans

# Own choices. A shift counts from so many squared standard deviations and so many mm at 1:6 (3 mm
# at full size) on. Of right drawings on heads wrong by 1 mm some have 55 and 0.43 mm: the rim of a
# head so far off is other skin, and what is said of one place then holds less well for its rim.
SURE, LEAST_MM = 16.0, 0.5
# A stretch so far off is believed where all else says at least such a share of it.
FAR_MM, CONFIRMED = 0.5, 1 / 3
# Where leaving out another drawing does nearly as well, nothing tells which of the two is wrong.
RIVAL = 9.0
LEAST_POINTS = 3
EDGE_MM = 0.5  # of a stretch that is left out, so much more at either end
MOST_SHARE = 1 / 3  # of all drawings may go; where more would, nothing tells which are wrong
NEAR_MM, MOST_POINTS = 0.7, 400  # as `thinned`


@dataclass(frozen=True, slots=True)
class Sifted:
    """Drawings without the stretches that are left out.

    Attributes
    ----------
    kept
        What tells of the head.
    strays
        What was left out, and why.
    places
        (s, 3), mm: places of the sculpt that those stretches are across from.
    """

    kept: list[Across]
    strays: tuple[Stray, ...]
    places: Floats

    def beside(self, keys: tuple[Key, ...], places: Floats) -> frozenset[Key]:
        """Landmarks, at (l, 3) mm, that a stretch which was left out passes."""
        away = np.linalg.norm(self.places[:, None] - places[None], axis=2)
        near = (away <= BESIDE_IT_MM).any(axis=0)
        return frozenset(key for key, is_near in zip(keys, near, strict=True) if is_near)


@dataclass(frozen=True, slots=True)
class _Run:
    """A stretch of one drawing: its points from `first` to before `end`.

    `squared` is the shift over its standard deviation, squared.
    """

    line: int
    first: int
    end: int
    squared: float
    shift: float
    off: float

    @property
    def others(self) -> float:
        """How far out all else says that the person is, mm."""
        return self.off - self.shift


def sifted(
    lines: list[Across], seen: Observed, fit: PersonFit, gauge: Gauge, more: Floats
) -> Sifted:
    """Drawings without the stretches that all else contradicts, or that nothing confirms.

    Parameters
    ----------
    lines
        Outlines across from those of a round.
    seen
        Moves of landmarks.
    fit, gauge
        The person's stills, laid on the round.
    more
        (3l, 3l), mm²: what is added to the noise of the landmarks.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    The mean-shift model of an outlier (cook-weisberg-1982, chapter 2) for the points of a stretch
    together; docs/topics/likeness.md, “Outlines”.
    """
    some = thinned(lines, NEAR_MM, MOST_POINTS)
    if not any(len(line.rows) for line in some):
        return Sifted(lines, (), np.zeros((0, 3)))
    trial = _Trial.of(some, seen, fit, gauge, more)
    most = ceil(MOST_SHARE * len(some))
    gone: dict[_Run, Why] = {}
    while found := trial.standing_out():
        gone |= dict.fromkeys(found, Why.STRAY if len(found) == 1 else Why.CONTESTED)
        if len({run.line for run in gone}) > most:
            return Sifted(lines, (), np.zeros((0, 3)))
        for run in found:
            trial = trial.without(run)
    gone |= dict.fromkeys(trial.unconfirmed(), Why.ALONE)
    kept, strays, places = list(lines), [], [np.zeros((0, 3))]
    for run, why in gone.items():
        line, thin = kept[run.line], some[run.line]
        strays.append(_told(run, thin, why))
        within = _within(line, thin, run, whole=why is not Why.STRAY)
        places.append(line.place_mm[within])
        kept[run.line] = line.only(~within)
    left = [_enough(line, whole) for line, whole in zip(kept, lines, strict=True)]
    return Sifted([line for line in left if len(line.rows)], tuple(strays), np.concatenate(places))


def _told(run: _Run, thin: Across, why: Why) -> Stray:
    """What is said of a stretch; its share is of all that was drawn."""
    drawn, a_mm = thin.drawn, float(np.median(thin.px_a_mm))
    length = float(np.linalg.norm(np.diff(drawn.place_px, axis=0), axis=1).sum()) / a_mm
    start, end = float(thin.at_mm[run.first]), float(thin.at_mm[run.end - 1])
    share = min((end - start) / length, 1.0) if length > 0 else 1.0
    return Stray(drawn.still, drawn.outline, start, end, share, run.off, run.others, why)


def _within(line: Across, thin: Across, run: _Run, *, whole: bool) -> Booleans:
    """(m,): points of a drawing that a stretch of its thinned ones stands for; or all of them."""
    if whole:
        return np.ones(len(line.rows), np.bool_)
    start, end = thin.at_mm[run.first] - EDGE_MM, thin.at_mm[run.end - 1] + EDGE_MM
    inside: Booleans = (line.at_mm >= start) & (line.at_mm <= end)
    return inside


def _enough(line: Across, whole: Across) -> Across:
    """What is left of a drawing; nothing where less than half is."""
    if len(line.rows) < LEAST_SHARE * len(whole.rows):
        return line.only(np.zeros(len(line.rows), bool))
    return line


@dataclass(frozen=True, slots=True)
class _Trial:
    """All moves with their covariance, believed beforehand and of noise, and which still count.

    `first` is the row of each drawing's first point, and of the end.
    """

    off: Floats
    covariance: Floats
    unseen: Floats
    first: tuple[int, ...]
    counts: Booleans

    @classmethod
    def of(
        cls, lines: list[Across], seen: Observed, fit: PersonFit, gauge: Gauge, more: Floats
    ) -> "_Trial":
        told = evidence_of(lines, fit, gauge)
        whole = joined(seen, told, Lines(told.rim, told.out, np.eye(len(told.off))), more)
        first = np.cumsum([seen.marks, *(len(line.rows) for line in lines)])
        return cls(
            whole.off,
            prior_of(whole) + whole.noise,
            whole.unseen(),
            tuple(int(n) for n in first),
            np.ones(len(whole.off), bool),
        )

    def without(self, run: _Run) -> "_Trial":
        """The same with the points of a stretch no longer counting."""
        start = self.first[run.line]
        return self._less(start + run.first, start + run.end)

    def bare_of(self, line: int) -> "_Trial":
        """The same with a whole drawing no longer counting."""
        return self._less(self.first[line], self.first[line + 1])

    def _less(self, start: int, end: int) -> "_Trial":
        counts = self.counts.copy()
        counts[start:end] = False
        return _Trial(self.off, self.covariance, self.unseen, self.first, counts)

    def runs(self) -> list[_Run]:
        """Every stretch of every drawing, with the shift of its own that fits best."""
        rows = np.flatnonzero(self.counts)
        free = contrasts(self.unseen[rows])
        system = free.T @ self.covariance[np.ix_(rows, rows)] @ free
        precision = free @ np.linalg.solve(system, free.T)
        pull = precision @ self.off[rows]
        at = np.cumsum(self.counts) - 1
        found = []
        for line, (start, end) in enumerate(zip(self.first, self.first[1:], strict=False)):
            own = np.flatnonzero(self.counts[start:end]) + start
            found += _shifts(line, own - start, precision[np.ix_(at[own], at[own])], pull[at[own]],
                             self.off[own])  # fmt: skip
        return found

    def standing_out(self) -> list[_Run]:
        """The stretch whose shift stands out most, with its rivals; none where none does."""
        best = self.best(LEAST_MM)
        if not best:
            return []
        worst = max(best.values(), key=lambda run: run.squared)
        rivals = [
            run
            for run in self.best(0.0).values()
            if run.line != worst.line and run.squared > worst.squared - RIVAL
        ]
        return [
            worst,
            *(run for run in rivals if worst.line not in self.bare_of(run.line).best(LEAST_MM)),
        ]

    def best(self, least_mm: float) -> dict[int, _Run]:
        """Of each drawing that has one, the stretch whose shift stands out most."""
        found: dict[int, _Run] = {}
        for run in self.runs():
            if run.squared > SURE and abs(run.shift) > least_mm:
                other = found.get(run.line)
                if other is None or run.squared > other.squared:
                    found[run.line] = run
        return found

    def unconfirmed(self) -> list[_Run]:
        """Of each drawing the stretch that is far off by its own word alone."""
        found: dict[int, _Run] = {}
        for run in self.runs():
            says = run.others * np.sign(run.off)
            if abs(run.off) < FAR_MM or says >= CONFIRMED * abs(run.off):
                continue
            other = found.get(run.line)
            if other is None or run.end - run.first > other.end - other.first:
                found[run.line] = run
        return list(found.values())


def _shifts(line: int, own: np.ndarray, precision: Floats, pull: Floats, off: Floats) -> list[_Run]:
    """Every stretch of one drawing's points `own`, each with the shift that fits it best."""
    count = len(own)
    told, summed = np.concatenate([[0.0], np.cumsum(pull)]), np.concatenate([[0.0], np.cumsum(off)])
    weight = np.zeros((count + 1, count + 1))
    weight[1:, 1:] = precision.cumsum(axis=0).cumsum(axis=1)
    found = []
    for a in range(count):
        for b in range(a + min(LEAST_POINTS, count), count + 1):
            size = weight[b, b] - weight[a, b] - weight[b, a] + weight[a, a]
            shift = (told[b] - told[a]) / size
            found.append(
                _Run(line, int(own[a]), int(own[b - 1]) + 1, float(shift * shift * size),
                     float(shift), float((summed[b] - summed[a]) / (b - a)))
            )  # fmt: skip
    return found
