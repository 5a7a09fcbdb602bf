"""Where every round of every head is off, from the stills of the person it depicts.

Levels: `person.arrays` turns nouns into arrays; `person.solution` solves a person's stills;
`alignment.gauge` lays the person on a round; `rounds.verdicts` judges its landmarks;
`person.stills` and `further.views` say what the stills are worth.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from typing import TypeVar

import numpy as np

from sixwright.line.likeness import Round, Sculpt
from sixwright.numerics.threads import one_thread
from sixwright.topics.likeness.alignment.gauge import Gauge
from sixwright.topics.likeness.belief.first_round import First, first_of
from sixwright.topics.likeness.further.helps import helps
from sixwright.topics.likeness.further.views import next_views, planted, view_gains
from sixwright.topics.likeness.model import Answer, Inputs, LandmarkAnswer, RoundAnswer
from sixwright.topics.likeness.person.arrays import placed_on, terms_of
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.person.solution import person_fit
from sixwright.topics.likeness.person.stills import definition_share, left_out, still_answers
from sixwright.topics.likeness.rounds.hidden import hidden_in
from sixwright.topics.likeness.rounds.moved import moved_since
from sixwright.topics.likeness.rounds.outline_distances import agreed, distances
from sixwright.topics.likeness.rounds.verdicts import JudgedRound, judged_round
from sixwright.topics.likeness.solids import Solids, no_solids

Three = tuple[float | None, float | None, float | None]


def answer(inputs: Inputs, solids: Solids = no_solids) -> Answer:
    """Where each round is off, how sure that is, and what the stills cannot show.

    Parameters
    ----------
    inputs
        Sculpts, rounds, landmarks, stills and sightings. Every simulation is seeded by them.
    solids
        The meshes of rounds: what `inputs.surfaces` says of landmarks was read off them.

    Raises
    ------
    KeyError
        If a row names a noun that is not there; reading a folder refuses that first.

    Source
    ------
    docs/topics/likeness.md.
    """
    one_thread()
    return _answer(inputs, solids)


@dataclass(frozen=True, slots=True)
class _Solved:
    """By person: the stills, and how well each agrees with the others. By sculpt: the belief."""

    fits: dict[str, PersonFit | None]
    agreement: dict[str, dict[str, tuple[float, float, float]]]
    firsts: dict[str, First | None]


def _answer(inputs: Inputs, solids: Solids) -> Answer:
    people = dict.fromkeys(s.person for s in inputs.sculpts.values() if s.person)
    fits = {person: _or(None, partial(person_fit, inputs, person)) for person in people}
    solved = _Solved(
        fits,
        {p: {} if fit is None else _or({}, partial(left_out, fit)) for p, fit in fits.items()},
        {sculpt.id: _first(inputs, sculpt, fits, solids) for sculpt in inputs.sculpts.values()},
    )
    latest = _latest(inputs)
    return Answer(
        agreed(
            tuple(
                _round(inputs, one, solved, solids if one.id in latest else None)
                for one in inputs.rounds.values()
            )
        )
    )


T = TypeVar("T")


def _or(otherwise: T, work: Callable[[], T]) -> T:
    """What is worked out; where a person's rows are beyond numbers, what stands in for it."""
    try:
        return work()
    except np.linalg.LinAlgError:
        return otherwise


def _first(
    inputs: Inputs, sculpt: Sculpt, fits: dict[str, PersonFit | None], solids: Solids
) -> First | None:
    fit = fits.get(sculpt.person or "")
    return _or(None, partial(first_of, inputs, sculpt, fit, terms_of(inputs), solids))


def _latest(inputs: Inputs) -> set[str]:
    """The latest round with landmarks of each sculpt; without any, the latest round."""
    found: dict[str, Round] = {}
    for one in inputs.rounds.values():
        other = found.get(one.sculpt)
        if other is None or _age(inputs, one) >= _age(inputs, other):
            found[one.sculpt] = one
    return {one.id for one in found.values()}


def _age(inputs: Inputs, one: Round) -> tuple[bool, int]:
    return bool(placed_on(inputs, one.id)), one.number or 0


def _round(inputs: Inputs, one: Round, solved: _Solved, solids: Solids | None) -> RoundAnswer:
    """A round; of one that is not the latest no mesh is looked at."""
    person = inputs.sculpts[one.sculpt].person or ""
    fit = solved.fits.get(person)
    try:
        return _answered(inputs, one, solved, fit, solids)
    except np.linalg.LinAlgError:  # one person's stills must not end the whole review
        return _answered(inputs, one, solved, None, solids)


def _answered(
    inputs: Inputs,
    one: Round,
    solved: _Solved,
    fit: PersonFit | None,
    solids: Solids | None,
) -> RoundAnswer:
    sculpt = inputs.sculpts[one.sculpt]
    person = sculpt.person or ""
    judged = judged_round(inputs, one, fit, terms_of(inputs), solved.firsts[sculpt.id])
    onto = None if judged.gauge is None else judged.gauge.onto
    stills = still_answers(inputs, person, fit, onto)
    found = RoundAnswer(
        round=one.id,
        sculpt=sculpt.id,
        number=one.number,
        person=sculpt.person,
        expression=sculpt.expression,
        latest=solids is not None,
        stills=tuple(
            replace(s, left_out=solved.agreement.get(person, {}).get(s.id)) for s in stills
        ),
        landmarks=moved_since(inputs, one, judged.landmarks),
    )
    if fit is None or judged.gauge is None:
        return found
    solid = None if solids is None else solids(one.id)
    if solid is not None:
        found = replace(
            found,
            hidden=hidden_in(inputs, found, solid),
            outlines=distances(inputs, sculpt, fit, judged.gauge, solid),
        )
    return _worth(inputs, found, judged, fit, judged.gauge)


def _worth(
    inputs: Inputs, found: RoundAnswer, judged: JudgedRound, fit: PersonFit, gauge: Gauge
) -> RoundAnswer:
    """A round with what its stills are worth, and what would help it most."""
    member = np.flatnonzero(gauge.weights > 0)
    surface = inputs.surfaces.get(found.round, ())
    gains = view_gains(gauge, fit, judged.landmarks, surface)
    views = next_views(gains)
    return replace(
        found,
        gauge=tuple((gauge.keys[i], float(gauge.weights[i])) for i in member),
        smallest_mm=_typical(judged.landmarks),
        next_views=views,
        gains=gains,
        helps=helps(gauge, fit, judged.landmarks, views, surface) if found.latest else (),
        planted=planted(gauge, judged.landmarks, fit.fitted.freedom),
        freedom=fit.fitted.freedom,
        curved=judged.curved,
        by_definition=definition_share(fit),
        features=judged.features,
        flipped=len(fit.turned) if fit.flipped else 0,
        noise=float(np.sqrt(np.median(fit.fitted.problem.noise.pixel))),
    )


def _typical(marks: tuple[LandmarkAnswer, ...]) -> Three:
    """The median over the landmarks seen; None where most would never be noticed."""
    seen = [mark.smallest_mm for mark in marks if mark.sightings > 0]
    if not seen:
        return None, None, None

    def middle(axis: int) -> float | None:
        values = sorted(np.inf if s[axis] is None else float(s[axis] or 0.0) for s in seen)
        value = values[len(values) // 2]
        return None if value == np.inf else value

    return middle(0), middle(1), middle(2)
