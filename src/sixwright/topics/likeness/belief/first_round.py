"""The belief of a sculpt's first round, carried to each of its rounds, and the frame from it."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from sixwright.line.likeness import Key, Sculpt, Term
from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import projection, similarity
from sixwright.topics.likeness.alignment.gauge import LEAST_GAUGE, Gauge, gauge_of
from sixwright.topics.likeness.alignment.observed import Observed
from sixwright.topics.likeness.belief.shapes import (
    Belief,
    Shapes,
    fitted_belief,
    wide_belief,
)
from sixwright.topics.likeness.belief.strays import sifted
from sixwright.topics.likeness.features import rows_of
from sixwright.topics.likeness.model import Inputs
from sixwright.topics.likeness.outlines.evidence import (
    apart_from,
    confirmed_by,
    lines_of,
    of_expression,
    with_outlines,
)
from sixwright.topics.likeness.person.arrays import placed_on
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.solids import Solids, no_solids

HONEST_MM = 0.12  # how far off a landmark may be and still weigh as one that is right; own choice
# A landmark seen twice has one check on its sightings; beyond this a wrong sighting along the
# line of sight is likelier than such a sculpt (9 mm at full size). Own choice.
LIKELY_MM = 1.5
UNTOLD_MM = 100.0  # spread of what a sighting that nothing confirms tells: nothing
MIRRORED = frozenset({"jaw"})  # its sides are off mirrored, as a pair
PASSES = 30
SETTLED = 1e-6


@dataclass(frozen=True, slots=True)
class First:
    """A sculpt's first round with landmarks, and what is believed from it.

    Attributes
    ----------
    round
        Its id.
    keys, places
        Its landmarks, and where they were placed, (l, 3) mm.
    fitted, wide
        The belief fitted to the head, and one that hardly believes.
    confirmed
        Landmarks that outlines of two stills or more pass: their sightings are confirmed by them.
    strayed
        Others that a stretch passes which is not used: it said that the head is off there.
    """

    round: str
    keys: tuple[Key, ...]
    places: Floats
    fitted: Belief
    wide: Belief
    confirmed: frozenset[Key] = frozenset()
    strayed: frozenset[Key] = frozenset()


@dataclass(frozen=True, slots=True)
class Believed:
    """How far each landmark of a round is off, as is believed: moves of all, in its frame."""

    fitted: Shapes
    wide: Shapes

    def through(self, kept: Floats) -> "Believed":
        """The same after a linear change of the moves."""
        return Believed(self.fitted.through(kept), self.wide.through(kept))


def meant_of(inputs: Inputs, sculpt: str, keys: tuple[Key, ...]) -> Floats:
    """(l, 3), mm: the correction that is meant to remain at each landmark."""
    meant = {(t.landmark, t.side): t.meant_mm for t in inputs.targets if t.sculpt == sculpt}
    return np.array([meant.get(key) or (0.0, 0.0, 0.0) for key in keys], dtype=np.float64)


def first_of(
    inputs: Inputs,
    sculpt: Sculpt,
    fit: PersonFit | None,
    terms: Mapping[str, Term],
    solids: Solids = no_solids,
) -> First | None:
    """The belief from the first round of a sculpt that has landmarks, and all stills of now.

    Parameters
    ----------
    inputs, sculpt
        The folder's nouns, and one of its sculpts.
    fit
        The person's stills, solved; None where none can be.
    terms
        Every landmark's term.
    solids
        The meshes of rounds: where that round has one, outlines drawn on stills tell too.

    Returns
    -------
    None where the person cannot be laid on that round.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md: refitted on a round that was corrected from the same stills, a belief
    would take their own noise for a head that is right.
    """
    rounds = [
        r for r in inputs.rounds.values() if r.sculpt == sculpt.id and placed_on(inputs, r.id)
    ]
    if fit is None or not rounds:
        return None
    one = min(rounds, key=lambda r: (r.number or 0, r.id))
    gauge = gauge_of(inputs, one.id, sculpt.expression, fit, terms)
    if gauge is None:
        return None
    seen, more = seen_of(inputs, sculpt.id, gauge, terms)
    solid = solids(one.id) if inputs.outlines else None
    confirmed: frozenset[Key] = frozenset()
    strayed: frozenset[Key] = frozenset()
    if solid is not None:
        meant = meant_of(inputs, sculpt.id, gauge.keys)
        lines = lines_of(inputs.outlines, fit, gauge.onto, solid)
        lines = of_expression(lines, sculpt.expression, fit)
        lines = apart_from(lines, gauge.sculpt_mm[meant.any(axis=1)])
        told = sifted(lines, seen, fit, gauge, more)
        seen = with_outlines(seen, told.kept, fit, gauge, more)
        confirmed = confirmed_by(told.kept, gauge.keys, gauge.sculpt_mm)
        strayed = told.beside(gauge.keys, gauge.sculpt_mm) - confirmed
    return First(
        one.id,
        gauge.keys,
        gauge.sculpt_mm,
        fitted_belief(seen),
        wide_belief(seen),
        confirmed,
        strayed,
    )


def seen_of(
    inputs: Inputs, sculpt: str, gauge: Gauge, terms: Mapping[str, Term]
) -> tuple[Observed, Floats]:
    """Moves of a round's landmarks as the stills show them, and what their noise has for doubt.

    Parameters
    ----------
    inputs, sculpt
        The folder's nouns, and the id of a sculpt.
    gauge
        The person laid on one of its rounds.
    terms
        Every landmark's term.

    Returns
    -------
    The moves, and (3l, 3l), mm²: the part of their noise that stands for sightings which nothing
    confirms.

    Raises
    ------
    ValueError
        If the shapes disagree.
    """
    off = gauge.correction - meant_of(inputs, sculpt, gauge.keys)
    pairs = _pairs(gauge.keys)
    unconfirmed = np.diag(np.repeat(_unconfirmed(gauge, off), 3))
    seen = Observed(
        gauge.person_mm,
        off.ravel(),
        gauge.covariance + unconfirmed,
        gauge.placing,
        pairs,
        tuple(rows for name, rows in rows_of(gauge.keys).items() if name not in MIRRORED),
        tuple(pair for pair in pairs if _is_outline(gauge.keys[pair[0]], terms)),
    )
    return seen, unconfirmed


def _pairs(keys: tuple[Key, ...]) -> tuple[tuple[int, int], ...]:
    """Rows of each left landmark whose right one is there."""
    row = {key: i for i, key in enumerate(keys)}
    return tuple(
        (i, row[name, "right"])
        for (name, side), i in row.items()
        if side == "left" and (name, "right") in row
    )


def _is_outline(key: Key, terms: Mapping[str, Term]) -> bool:
    return key[0] in terms and terms[key[0]].contour


def _unconfirmed(gauge: Gauge, off: Floats) -> Floats:
    """(l,), mm²: what is added to the noise of a place whose sightings nothing confirms."""
    far = np.linalg.norm(off, axis=1) > LIKELY_MM
    return np.where((gauge.sightings < 2) | ((gauge.sightings == 2) & far), UNTOLD_MM**2, 0.0)


def believed_of(inputs: Inputs, first: First, sculpt: str, round_: str, gauge: Gauge) -> Believed:
    """What is believed of a round, before it is put into a frame.

    Parameters
    ----------
    inputs, first
        The folder's nouns, and the belief of the sculpt's first round.
    sculpt, round_, gauge
        A round of that sculpt, and the person laid on it.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    The person's places are those of the first round's belief; a later round's placement is new. A
    landmark that the first round lacks is known by the stills alone.
    """
    if round_ == first.round:
        return Believed(first.fitted.sculpt, first.wide.sculpt)
    meant = meant_of(inputs, sculpt, gauge.keys)
    return Believed(
        _carried(first, first.fitted.person, gauge, meant),
        _carried(first, first.wide.person, gauge, meant),
    )


def _carried(first: First, person: Shapes, gauge: Gauge, meant: Floats) -> Shapes:
    """The person as believed in the first round, laid on a later one."""
    row = {key: i for i, key in enumerate(first.keys)}
    there = np.array([i for i, key in enumerate(gauge.keys) if key in row], dtype=np.int64)
    here = np.array([row[gauge.keys[i]] for i in there], dtype=np.int64)
    count = len(gauge.keys)
    base = (gauge.correction - meant).ravel()
    alone = _blocks_alone(gauge.covariance)
    if len(there) < LEAST_GAUGE or not (gauge.weights[there] > 0).sum() >= LEAST_GAUGE:
        return Shapes(np.ones(1), base[None], alone[None])
    columns = (3 * here[:, None] + np.arange(3)).ravel()
    rows = (3 * there[:, None] + np.arange(3)).ravel()
    places = (first.places[here] + meant[there])[None] + person.mean[:, columns].reshape(
        -1, len(here), 3
    )
    middle = np.tensordot(person.weights, places, axes=1)
    onto = similarity(middle, gauge.sculpt_mm[there], gauge.weights[there])
    mean = np.tile(base, (len(places), 1))
    laid = onto.of(places) - gauge.sculpt_mm[there] - meant[there]
    mean[:, rows] = laid.reshape(len(places), -1)
    turn = onto.jacobian(len(here))
    covariance = np.tile(alone, (len(places), 1, 1))
    placed = np.diag(np.repeat(gauge.placing[there] ** 2, 3))
    own = turn @ person.covariance[:, columns[:, None], columns] @ turn.T + placed
    covariance[:, rows[:, None], rows] = own
    return Shapes(person.weights, mean.reshape(-1, 3 * count), covariance)


def _blocks_alone(covariance: Floats) -> Floats:
    """Each landmark's own covariance, nothing shared."""
    size = len(covariance)
    own = np.arange(size) // 3
    alone: Floats = np.where(own[:, None] == own[None, :], covariance, 0.0)
    return alone


def frame_weights(believed: Believed, gauge: Gauge) -> Floats:
    """Weights of the gauge by what is believed of each landmark: the likelier right, the heavier.

    Parameters
    ----------
    believed
        Of the round, in any frame.
    gauge
        The person laid on it.

    Returns
    -------
    (l,), the largest 1; zero for what is seen in fewer than two stills.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    Own choice: one over the expected square of a landmark's error in the frame that the weights
    make, and what an honest sculpt is off; repeated until they agree.
    """
    shapes = believed.fitted
    second = np.einsum("b,bi,bj->ij", shapes.weights, shapes.mean, shapes.mean)
    second += np.tensordot(shapes.weights, shapes.covariance, axes=1)
    member = gauge.sightings >= 2
    weights = member.astype(float)
    for _ in range(PASSES):
        kept = projection(gauge.person_mm, weights)
        squared = np.einsum("ij,jk,ik->i", kept, second, kept).reshape(-1, 3).mean(axis=1)
        new = np.where(member, 1 / (HONEST_MM**2 + squared), 0.0)
        new = new / new.max()
        if np.abs(new - weights).max() < SETTLED:
            break
        weights = new
    return weights
