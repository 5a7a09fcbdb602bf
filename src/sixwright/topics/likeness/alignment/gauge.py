"""Laying the person on the sculpt, and how sure each correction is after that."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from sixwright.line.likeness import Key, Term
from sixwright.numerics.cameras import Integers
from sixwright.numerics.propagation import propagated
from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import Similarity, projection, similarity
from sixwright.topics.likeness.model import Inputs
from sixwright.topics.likeness.person.arrays import (
    PLACING_MM,
    place_of,
    placed_on,
    slip_mm,
    usual_expression,
)
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.solve.sightings import Booleans

# Own choices. How far an honest sculpt is off: landmarks known better than that weigh alike.
HONEST_MM = 0.15
BOUND = 2.5  # times the median distance, from where a place loses its pull on the alignment
LEAST_BOUND_MM = 0.15
LEAST_GAUGE = 4
# Times the middle spread before alignment, from where a place takes no part in it: own choice. Of
# 110 heads on good and poor stills the widest was 1.9 times, but for one that was lost (4.0).
LOST = 2.5
ROUNDS = 60


@dataclass(frozen=True, slots=True)
class Gauge:
    """A person laid on a round.

    Attributes
    ----------
    keys
        Landmarks of the round that the person's places hold, in the round's order.
    rows
        (l,): the place of each.
    sightings
        (l,): kept sightings of each.
    weights
        (l,): zero for what is not part of the gauge.
    onto
        The similarity from the person's frame to the round's.
    person_mm, sculpt_mm
        (l, 3): the person laid on the sculpt, and the sculpt.
    covariance
        (3l, 3l), mm²: of the corrections, after alignment.
    kept
        (3l, 3l): what aligning leaves of a move.
    placing
        (l,): spread of each landmark's placement on the sculpt, mm; of a rigid one with what
        another expression than that of most sightings may move it by.
    """

    keys: tuple[Key, ...]
    rows: Integers
    sightings: Integers
    weights: Floats
    onto: Similarity
    person_mm: Floats
    sculpt_mm: Floats
    covariance: Floats
    kept: Floats
    placing: Floats

    @property
    def correction(self) -> Floats:
        """(l, 3), mm: what to add to the sculpt."""
        moved: Floats = self.person_mm - self.sculpt_mm
        return moved


def placing_mm(inputs: Inputs, round_: str) -> dict[Key, float]:
    """Placement spread of each landmark of a round, mm at 1:6."""
    return {
        (p.landmark, p.side): PLACING_MM[p.how] if p.sd_mm is None else p.sd_mm
        for p in inputs.placements
        if p.round == round_
    }


def gauge_of(
    inputs: Inputs, round_: str, expression: str, fit: PersonFit, terms: Mapping[str, Term]
) -> Gauge | None:
    """Lay a person on a round by its rigid landmarks, robustly; then freeze the weights.

    Parameters
    ----------
    inputs, round_, expression
        The round, and the expression of its sculpt.
    fit
        The person's stills, solved.
    terms
        Every landmark's term.

    Returns
    -------
    None where fewer than four landmarks are seen twice: nothing to lay it by.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a place is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “Gauge”.
    """
    placed = placed_on(inputs, round_)
    rows_of = {k: fit.cast.index.get(place_of(k, expression, terms)) for k in placed}
    keys = tuple(k for k, row in rows_of.items() if row is not None)
    rows = np.array([rows_of[k] for k in keys], dtype=np.int64)
    seen = fit.fitted.problem.sightings
    counts = np.bincount(seen.point, minlength=len(fit.cast.places))[rows]
    contour = np.bincount(seen.point[seen.contour], minlength=len(fit.cast.places))[rows] > 0
    able = (counts >= 2) & ~contour & ~fit.sorted_out.contested[rows]
    rigid = np.array([k[0] in terms and terms[k[0]].rigid for k in keys], dtype=bool)
    member = able & rigid if (able & rigid).sum() >= LEAST_GAUGE else able
    if member.sum() < LEAST_GAUGE:
        return None
    sculpt = np.array([placed[k] for k in keys])
    if np.linalg.matrix_rank(sculpt[member] - sculpt[member].mean(axis=0), tol=0.5) < 2:
        return None
    usual = expression == usual_expression(fit.cast)
    slips = [0.0 if usual else slip_mm(k, terms) for k in keys]
    placing = np.hypot([placing_mm(inputs, round_)[k] for k in keys], slips)
    person = fit.fitted.solved.points[rows]
    columns = (3 * rows[:, None] + np.arange(3)).ravel()
    spread = fit.fitted.spread.points[np.ix_(columns, columns)]
    weights = _weights(person, sculpt, spread, placing, _found(member, spread))
    onto = similarity(person, sculpt, weights)
    covariance, kept = _covariance(onto, person, spread, placing, weights)
    return Gauge(
        keys, rows, counts, weights, onto, onto.of(person), sculpt, covariance, kept, placing
    )


def _found(member: Booleans, spread: Floats) -> Booleans:
    """Members of the gauge without those that are lost along the line of sight.

    One that lies far from the rest turns the frame to itself, and then seems the surest of all.
    """
    widest = np.sqrt(np.diag(spread).reshape(-1, 3).max(axis=1))
    found = member & (widest <= LOST * float(np.median(widest[member])))
    return found if found.sum() >= LEAST_GAUGE else member


def reframed(gauge: Gauge, weights: Floats) -> Gauge:
    """The same person laid on the same round by other weights.

    Parameters
    ----------
    gauge
        The person laid on a round.
    weights
        (l,), zero or more; at least three landmarks in no line must weigh.

    Raises
    ------
    ZeroDivisionError
        If no weight is above zero.

    Source
    ------
    docs/topics/likeness.md, “Gauge”: what one alignment left, another takes from as from the whole.
    """
    onto = similarity(gauge.person_mm, gauge.sculpt_mm, weights)
    person = onto.of(gauge.person_mm)
    kept = projection(person, weights)
    return replace(
        gauge,
        weights=weights,
        onto=onto.after(gauge.onto),
        person_mm=person,
        covariance=propagated(kept, gauge.covariance),
        kept=kept,
    )


def _covariance(
    onto: Similarity, person: Floats, spread: Floats, placing: Floats, weights: Floats
) -> tuple[Floats, Floats]:
    """Covariance after alignment, and the projection that makes it."""
    kept = projection(onto.of(person), weights)
    both = propagated(onto.jacobian(len(person)), spread) + np.diag(np.repeat(placing**2, 3))
    return propagated(kept, both), kept


def _weights(
    person: Floats,
    sculpt: Floats,
    spread: Floats,
    placing: Floats,
    member: Booleans,
) -> Floats:
    """Weights of the gauge: by how well each place is known, and less where it is off."""
    base = member.astype(float)
    for _ in range(2):
        onto = similarity(person, sculpt, base)
        covariance, _ = _covariance(onto, person, spread, placing, base)
        own = np.diag(covariance).reshape(-1, 3).mean(axis=1)
        base = np.where(member, 1 / (HONEST_MM**2 + own), 0.0)
        base = base / base.max()
    weights = base
    for _ in range(ROUNDS):
        onto = similarity(person, sculpt, weights)
        off = np.linalg.norm(onto.of(person) - sculpt, axis=1)
        bound = max(BOUND * float(np.median(off[member])), LEAST_BOUND_MM)
        new = base / (1 + (off / bound) ** 2) ** 2
        if np.abs(new - weights).max() < 1e-9:
            break
        weights = new
    return weights
