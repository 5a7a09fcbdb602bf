"""What is believed of how a sculpt is off: smooth over the head, each place by itself, by a fault.

The belief is fitted to the head itself (empirical Bayes): a grid of shapes, each weighed by how
well it explains all corrections of the head together. It never enters cameras or noise.
"""

from dataclasses import dataclass
from functools import cache
from itertools import product

import numpy as np
from scipy.special import logsumexp

from sixwright.numerics.fields import contrasts, posterior
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.alignment.observed import Observed

Integers = np.ndarray[tuple[int, ...], np.dtype[np.int64]]

# Loose centres, mm at 1:6 (the depth is a factor), and how loose, as the standard deviation of
# the logarithm: own choices. Heads matched to a still err more in depth.
FIELD_MM, REACH_MM, DEPTH, OWN_MM = (0.15, 0.8), (7.0, 0.5), (1.3, 0.5), (0.08, 0.7)
FIELDS_MM, REACHES_MM = (0.03, 0.1, 0.2, 0.42), (4.5, 7.0, 11.0)
DEPTHS, OWNS_MM = (0.8, 2.0), (0.04, 0.08, 0.16, 0.32)
FAULT_MM = 0.35
FAULT_CHANCES = (0.005, 0.03, 0.1)
MOST_FAULTS = 4
# Half the width between two sides that only outlines show is off by so much, mm at 1:6, however the
# rest errs: it is sculpted to one outline at a time. Own choice.
WIDTH_MM = 0.2
KEPT = 24  # shapes that stand for all


@dataclass(frozen=True, slots=True)
class Shape:
    """How sculpts err, in one way: mm at 1:6, but for the depth's factor."""

    field: float
    reach: float
    depth: float
    own: float


WIDE = Shape(0.35, 7.0, 1.0, 0.2)  # a belief that hardly believes
# With it, where single drawings are judged by all else: a fault between landmarks may be off by so
# much, and reach so far. Own choices, mm at 1:6.
BETWEEN_MM, BETWEEN_REACH_MM = 0.3, 3.0


@dataclass(frozen=True, slots=True)
class Shapes:
    """Moves of l places as a mixture of normal beliefs.

    Attributes
    ----------
    weights
        (b,), sum 1.
    mean, covariance
        (b, 3l) and (b, 3l, 3l), mm.
    """

    weights: Floats
    mean: Floats
    covariance: Floats

    def through(self, kept: Floats) -> "Shapes":
        """The same after a linear change (m, 3l) of the moves."""
        return Shapes(self.weights, self.mean @ kept.T, kept @ self.covariance @ kept.T)

    def middle(self) -> Floats:
        """(3l,): the mean of all."""
        moved: Floats = self.weights @ self.mean
        return moved


@dataclass(frozen=True, slots=True)
class Belief:
    """What is believed after the stills.

    Attributes
    ----------
    sculpt
        How the sculpt is off.
    person
        Where the person is, from where the sculpt was placed: what later rounds are judged by.
    """

    sculpt: Shapes
    person: Shapes


def covariance_of(shape: Shape, seen: Observed) -> Floats:
    """(m, m), mm²: what a shape believes of all moves beforehand, faults aside."""
    smooth = seen.smooth(shape.reach, np.array([1.0, 1.0, shape.depth**2]))
    believed: Floats = shape.field**2 * smooth + shape.own**2 * seen.own() + seen.grain()
    return believed


def _of_widths(seen: Observed) -> Floats:
    """(m, m), mm²: what is believed beforehand of widths that only outlines show."""
    apart = np.zeros((len(seen.widths), seen.marks, 1))
    for way, (left, right) in zip(apart, seen.widths, strict=True):
        way[3 * left], way[3 * right] = WIDTH_MM, -WIDTH_MM
    moved = seen.with_skin(apart)[:, :, 0]
    shared: Floats = moved.T @ moved
    return shared


def prior_of(seen: Observed) -> Floats:
    """(m, m), mm²: what is believed of all moves by one who hardly believes, faults included."""
    between = BETWEEN_MM**2 * seen.smooth(BETWEEN_REACH_MM, np.ones(3))
    believed: Floats = covariance_of(WIDE, seen) + _of_widths(seen) + between
    return believed


def wide_belief(seen: Observed) -> Belief:
    """What is believed after the stills by one who hardly believed anything."""
    free = contrasts(seen.unseen())
    noise = free.T @ seen.noise @ free
    believed = covariance_of(WIDE, seen) + _of_widths(seen)
    return _belief(seen, free, noise, [believed], np.ones(1))


def fitted_belief(seen: Observed) -> Belief:
    """What is believed after the stills, the belief itself fitted to them.

    Parameters
    ----------
    seen
        Moves of all places of a head.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “What is believed of the sculpt”: rasmussen-williams-2006, 2.2 and
    5.4, on error contrasts; the shapes by their marginal likelihood, faults by adding one at a
    time, each shape and set of faults a model, models averaged.
    """
    free = contrasts(seen.unseen())
    noise = free.T @ seen.noise @ free
    told = free.T @ seen.off
    shapes, logs = _grid()
    widths = _of_widths(seen)
    systems = _systems(shapes, seen, free) + free.T @ widths @ free + noise
    root = np.linalg.cholesky(systems)
    inverse = np.linalg.inv(systems)
    logs = logs - np.log(np.diagonal(root, axis1=1, axis2=2)).sum(axis=1)
    logs = logs - 0.5 * np.einsum("bij,i,j->b", inverse, told, told)
    precision = free @ inverse @ free.T
    ways = _ways(seen)
    models = _with_faults(logs, precision, precision @ seen.off, ways)
    chosen, share = _likeliest(models.logs)
    believed = []
    for n in chosen:
        one = covariance_of(shapes[models.shape[n]], seen) + widths
        for j in models.faults[n][models.faults[n] >= 0]:
            one = one + FAULT_MM**2 * ways[j] @ ways[j].T
        believed.append(one)
    return _belief(seen, free, noise, believed, share)


def _belief(
    seen: Observed, free: Floats, noise: Floats, believed: list[Floats], share: Floats
) -> Belief:
    """Sculpt and person after the stills, each belief beforehand with its weight."""
    marks = seen.marks
    placed = np.zeros(seen.noise.shape)
    placed[range(marks), range(marks)] = np.repeat(seen.placing**2, 3)
    sculpt, person = [], []
    for one in believed:
        precision = free @ np.linalg.inv(free.T @ one @ free + noise) @ free.T
        sculpt.append(posterior(one, precision, seen.off))
        person.append(posterior(one + placed, precision, seen.off))
    both = (
        Shapes(
            share,
            np.array([p.mean[:marks] for p in ones]),
            np.array([p.covariance[:marks, :marks] for p in ones]),
        )
        for ones in (sculpt, person)
    )
    return Belief(*both)


@cache
def _grid() -> tuple[tuple[Shape, ...], Floats]:
    """Every shape, and the logarithm of its weight beforehand."""
    shapes = tuple(
        Shape(field, reach, depth, own)
        for reach, depth, field, own in product(REACHES_MM, DEPTHS, FIELDS_MM, OWNS_MM)
    )
    said = np.array([[s.field, s.reach, s.depth, s.own] for s in shapes])
    centre, loose = np.array([FIELD_MM, REACH_MM, DEPTH, OWN_MM]).T
    logs: Floats = -0.5 * (np.log(said / centre) ** 2 / loose**2).sum(axis=1)
    return shapes, logs


def _systems(shapes: tuple[Shape, ...], seen: Observed, free: Floats) -> Floats:
    """(b, m, m): what each shape believes of the contrasts."""
    across, depth = np.array([1.0, 1.0, 0.0]), np.array([0.0, 0.0, 1.0])
    parts = {
        reach: [free.T @ seen.smooth(reach, axes) @ free for axes in (across, depth)]
        for reach in REACHES_MM
    }
    own, grain = free.T @ seen.own() @ free, free.T @ seen.grain() @ free
    return np.array([
        s.field**2 * (parts[s.reach][0] + s.depth**2 * parts[s.reach][1]) + s.own**2 * own + grain
        for s in shapes
    ])  # fmt: skip


@dataclass(frozen=True, slots=True)
class FaultModels:
    """Shapes with faults: logarithm of the weight (n,), row of the shape (n,), faults (n, most)."""

    logs: Floats
    shape: Integers
    faults: Integers


def _ways(seen: Observed) -> Floats:
    """(j, m, 3): how a fault moves the head: a place, a pair alike, mirrored, or a feature."""
    straight, mirrored = np.eye(3), np.diag([-1.0, 1.0, 1.0])
    moves: list[tuple[tuple[int, Floats], ...]]
    moves = [((i, straight),) for i in range(len(seen.places))]
    moves += [((left, straight), (right, mirrored)) for left, right in seen.pairs]
    moves += [tuple((i, straight) for i in rows) for rows in seen.features]
    ways = np.zeros((len(moves), seen.marks, 3))
    for way, parts in zip(ways, moves, strict=True):
        for i, turned in parts:
            way[3 * i : 3 * i + 3] = turned
    return seen.with_skin(ways)


def _with_faults(logs: Floats, precision: Floats, pull: Floats, ways: Floats) -> FaultModels:
    """Every shape without fault, with each one fault, and with each one more than the best path."""
    rows, count = np.arange(len(logs)), len(ways)
    found = [(logs + _of_faults(0, count), rows, np.full((len(rows), MOST_FAULTS), -1))]
    path = np.full((len(rows), MOST_FAULTS), -1)
    flat = ways.transpose(1, 0, 2).reshape(len(ways[0]), -1)
    for k in range(MOST_FAULTS):
        carried = (precision @ flat).reshape(len(rows), -1, count, 3)
        gain, inverse = _gains(carried, pull, ways)
        for j in range(k):
            gain[rows, path[:, j]] = -np.inf
        faults = np.repeat(path[:, None], count, axis=1)
        faults[:, :, k] = np.arange(count)
        told = (logs[:, None] + gain + _of_faults(k + 1, count)).ravel()
        found.append((told, np.repeat(rows, count), faults.reshape(-1, MOST_FAULTS)))
        best = gain.argmax(axis=1)
        path[:, k] = best
        logs = logs + gain[rows, best]
        column = carried[rows, :, best]
        weighed = column @ inverse[rows, best]
        mine = np.einsum("bmi,bm->bi", ways[best], pull)
        precision = precision - weighed @ column.transpose(0, 2, 1)
        pull = pull - (weighed @ mine[:, :, None])[:, :, 0]
    told, shape, faults = (np.concatenate(part) for part in zip(*found, strict=True))
    return FaultModels(told, shape, faults)


def _gains(carried: Floats, pull: Floats, ways: Floats) -> tuple[Floats, Floats]:
    """(b, j) what each fault adds to the logarithm, and (b, j, 3, 3) its inverse."""
    own = np.einsum("jmi,bmjk->bjik", ways, carried, optimize=True)
    system = own + np.eye(3) / FAULT_MM**2
    inverse: Floats = np.asarray(np.linalg.inv(system), dtype=np.float64)
    mine = np.einsum("jmi,bm->bji", ways, pull, optimize=True)
    gain = 0.5 * np.einsum("bji,bjik,bjk->bj", mine, inverse, mine)
    whole: Floats = gain - 0.5 * np.linalg.slogdet(system * FAULT_MM**2)[1]
    return whole, inverse


def _of_faults(faults: int, count: int) -> float:
    """Logarithm of the chance of just these faults beforehand, by any of the stated shares."""
    shares = np.array(FAULT_CHANCES)
    return float(logsumexp(faults * np.log(shares) + (count - faults) * np.log1p(-shares)))


def _likeliest(logs: Floats) -> tuple[Integers, Floats]:
    """Models that stand for all, by even steps through their weights, and the weight of each."""
    order = np.argsort(-logs, kind="stable")
    total = np.cumsum(np.exp(logs[order] - logs[order[0]]))
    steps = (np.arange(KEPT) + 0.5) / KEPT * total[-1]
    chosen, counts = np.unique(np.searchsorted(total, steps), return_counts=True)
    return order[chosen], np.asarray(counts / KEPT, dtype=np.float64)
