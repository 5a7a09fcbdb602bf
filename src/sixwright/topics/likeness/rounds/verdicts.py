"""One round judged: each landmark's correction, its region, its verdict."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from sixwright.kernel.intervals import Verdict
from sixwright.line.landmarks import name_of
from sixwright.line.likeness import Key, Round, Sculpt, Term
from sixwright.topics.likeness.alignment.gauge import Gauge, gauge_of, reframed
from sixwright.topics.likeness.alignment.scatter import TRUSTED, scatter
from sixwright.topics.likeness.belief.chances import NOT_ASKED, with_beliefs
from sixwright.topics.likeness.belief.features import features_of
from sixwright.topics.likeness.belief.first_round import (
    LIKELY_MM,
    First,
    believed_of,
    frame_weights,
)
from sixwright.topics.likeness.belief.flat_prior import error_model, judged, vector
from sixwright.topics.likeness.model import Feature, Inputs, LandmarkAnswer
from sixwright.topics.likeness.person.arrays import placed_on
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.person.solution import FEW_STILLS
from sixwright.topics.likeness.solve.sightings import Booleans

TOLERANCE_MM = 0.25  # own choice, at 1:6, where none is given
# Two landmarks so far apart that each lies so much nearer to the other's place are exchanged.
EXCHANGED_MM, EXCHANGED_SHARE = 1.5, 1 / 3  # own choices
# The middle sighting lies nearer than this share of how far a still's sightings spread (some
# 6 mm on a head), or it is no head that was marked. Own choice.
MISFIT_SHARE = 0.1


@dataclass(frozen=True, slots=True)
class JudgedRound:
    """A round's landmarks, and what they were judged with."""

    gauge: Gauge | None
    landmarks: tuple[LandmarkAnswer, ...]
    curved: bool = False
    features: tuple[Feature, ...] = ()


def judged_round(
    inputs: Inputs,
    one: Round,
    fit: PersonFit | None,
    terms: Mapping[str, Term],
    first: First | None = None,
) -> JudgedRound:
    """Every landmark of a round with its verdict.

    Parameters
    ----------
    inputs, one
        The folder's nouns, and a round of them.
    fit
        The stills of the person, solved; None where none can be.
    terms
        Every landmark's term.
    first
        The belief of the sculpt's first round; None judges by the stills alone.

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
        return JudgedRound(None, tuple(bare.values()))
    marks = [bare[key] for key in gauge.keys]
    table = error_model(gauge, marks, fit.fitted.freedom, inputs.seed)
    believed = None if first is None else believed_of(inputs, first, sculpt.id, one.id, gauge)
    if believed is not None and not table.are_poor():
        gauge = reframed(gauge, frame_weights(believed, gauge))
        table = error_model(gauge, marks, fit.fitted.freedom, inputs.seed)
    answered = judged(table, seed=inputs.seed)
    if believed is not None:
        believed = believed.through(gauge.kept)
        answered = with_beliefs(table, answered, believed)
    is_judged = any(mark.verdict is not Verdict.UNCHECKED for mark in answered)
    curved = is_judged and scatter(gauge, fit, seed=inputs.seed) > TRUSTED
    whole = _of_the_whole(fit)
    contested = fit.sorted_out.contested[gauge.rows]
    names = exchanged(gauge)
    confirmed = frozenset() if first is None or table.are_poor() else first.confirmed
    strayed = frozenset() if first is None else first.strayed
    told = [
        _with_reasons(
            mark,
            {
                "contested": bool(contested[i]),
                "exchanged": bool(names[i]),
                "curved": curved,
                "alone": mark.key not in confirmed,
                "strayed": mark.key in strayed,
                "point": not (mark.landmark in terms and terms[mark.landmark].contour),
            },
            stills=len(fit.stills),
            whole=whole,
        )
        for i, mark in enumerate(answered)
    ]
    bare.update({mark.key: mark for mark in told})
    features = () if believed is None else features_of(table, told, believed.fitted)
    return JudgedRound(gauge, tuple(bare.values()), curved, features)


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
            place_mm=vector(placed[key]),
        )
    return found


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
    two = mark.sightings == 2 and far and doubts["alone"]
    # An outline passes a contour by what it is; a point beside it may be marked anywhere along it.
    one = mark.sightings == 1 and (doubts["alone"] or doubts["point"])
    known = mark.verdict is not Verdict.UNCHECKED
    # What was drawn past it says otherwise and is not used: few sightings do not settle that.
    few = mark.sightings < FEW_STILLS or not doubts["point"]
    strayed = doubts["strayed"] and few and mark.verdict is Verdict.HOLDS
    if whole or doubts["contested"] or mark.sightings == 0 or one:
        mark = replace(mark, chance_off=None, ask_mm=None)
    reasons = (
        (bool(whole), Verdict.UNCHECKED, whole),
        (doubts["contested"], Verdict.DOUBTFUL, "contested"),
        (mark.sightings == 0, Verdict.UNCHECKED, "unseen"),
        (stills < FEW_STILLS, Verdict.UNCHECKED, "few-stills"),
        (one, Verdict.UNCHECKED, "one-sighting"),
        (known and doubts["curved"], Verdict.UNCHECKED, "curved"),
        (known and doubts["exchanged"], Verdict.DOUBTFUL, "exchanged"),
        (two, Verdict.DOUBTFUL, "two-sightings"),
        (strayed, Verdict.DOUBTFUL, "stray-outline"),
    )
    for applies, verdict, reason in reasons:
        if applies:
            asked = None if reason in NOT_ASKED else mark.ask_mm
            return replace(mark, verdict=verdict, reason=reason, ask_mm=asked)
    return mark


def _length(mark: LandmarkAnswer) -> float:
    """Length of the correction that is not meant to remain, blind directions included."""
    return float(np.linalg.norm(np.subtract(mark.correction_mm or (0, 0, 0), mark.meant_mm)))
