"""All stills of one person solved together: cameras, places, noise, wrong sightings, flaws."""

from dataclasses import replace

import numpy as np

from sixwright.numerics.cameras import FOCAL, SQUEEZE, Integers
from sixwright.numerics.rotations import Floats
from sixwright.topics.likeness.model import Flaw, Inputs
from sixwright.topics.likeness.outline_kinds import MovedBy, moves_with
from sixwright.topics.likeness.person.arrays import (
    DEFAULT_SD_PX,
    FULL_SIZE,
    Cast,
    across_at,
    cast_of,
    definition_mm,
    is_contour,
    slip_mm,
    spread_mm2,
    terms_of,
    usual_expression,
)
from sixwright.topics.likeness.person.bent import are_bent
from sixwright.topics.likeness.person.cameras import (
    PINNED_SQUEEZE,
    StillCameras,
    camera_prior,
    cameras_of_stills,
)
from sixwright.topics.likeness.person.fit import (
    PersonFit,
    robbed_still,
    slanted_still,
    swapped_still,
    unfit_still,
)
from sixwright.topics.likeness.solve.bundle import BundleProblem, Priors
from sixwright.topics.likeness.solve.outliers import ScreenedFit, sort_out
from sixwright.topics.likeness.solve.resection import LOOSE_SQUEEZE, unmirrored
from sixwright.topics.likeness.solve.second_look import looked_again
from sixwright.topics.likeness.solve.sightings import Noise, Sightings
from sixwright.topics.likeness.solve.slant import slants
from sixwright.topics.likeness.solve.spread import Fitted, fit

# Own choices (docs/topics/likeness.md, “What is believed beforehand”).
STATED_FOCAL_SD_LOG = 0.05
# Believed of each place beside the first round's, for up to four stills: so few do not fix their
# own cameras. Each further one lets it be twice as loose. Without it, rough stills are explained
# best by a head that shrinks to a point, as what definitions leave open is in millimetres.
CLOSE_POINT_MM, CLOSE_UP_TO = 3 / FULL_SIZE, 4
LOOSE_POINT_MM = 18 / FULL_SIZE  # at most
FEW_STILLS = 3  # fewer cannot judge anything
CONTOUR_SLIP_MM = 3 / FULL_SIZE  # as the definition of a soft landmark
SQUEEZE_SCORE, LEAST_SQUEEZE = 16.0, 0.008
LENS_CONFLICT = 3.5  # standard deviations


def person_fit(inputs: Inputs, person: str) -> PersonFit | None:
    """Solve all stills of a person together.

    Parameters
    ----------
    inputs
        The folder's nouns.
    person
        A free id that sculpts and stills share.

    Returns
    -------
    None where no sculpt has landmarks or no still can be used.

    Raises
    ------
    numpy.linalg.LinAlgError
        If nothing decides some unknown: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “The method”.
    """
    cast = cast_of(inputs, person)
    if cast is None or not cast.stills:
        return None
    dropped, wrong = dict(cast.unused), {}
    while True:
        taken = cameras_of_stills(inputs, cast)
        turned = taken.turned(cast)
        flipped = len(turned) >= 2 and 2 * len(turned) > len(cast.stills)
        if flipped:
            taken = replace(taken, flaws={id_: [] for id_ in cast.stills})
        solved = _solved(inputs, cast, taken)
        if len(cast.stills) < FEW_STILLS:  # nothing is judged by so few
            chances, odd = None, unfit_still(cast, solved) if len(cast.stills) > 1 else None
        else:
            chances = slants(solved.fitted)
            odd = (
                swapped_still(solved, terms_of(inputs))
                or slanted_still(solved, chances)
                or unfit_still(cast, solved)
                or robbed_still(solved, terms_of(inputs))
            )
        if odd is None:
            break
        dropped[odd[0]] = odd[1]
        if odd[1] == "robbed":
            wrong[odd[0]] = solved.rejected(odd[0])
        cast = _without(cast, odd[0])
    bent = chances is not None and are_bent(solved.fitted, chances, dropped, seed=inputs.seed)
    return replace(solved, dropped=dropped, flipped=flipped, bent=bent, outliers=wrong)


def _without(cast: Cast, still: str) -> Cast:
    return replace(
        cast,
        stills={id_: one for id_, one in cast.stills.items() if id_ != still},
        sightings=tuple(s for s in cast.sightings if s.still != still),
    )


def _sightings(inputs: Inputs, cast: Cast, taken: StillCameras) -> Sightings:
    """The sightings that count as arrays, mirrored stills turned."""
    terms = terms_of(inputs)
    rows, order = cast.sightings, {still: k for k, still in enumerate(cast.stills)}
    of_head = [p for p in inputs.outlines if moves_with(p.outline) is not MovedBy.APART]
    outlines = {still: [p for p in of_head if p.still == still] for still in cast.stills}
    place = np.array([s.place_px for s in rows], float)
    across = np.full((len(rows), 2), np.nan)
    for n, row in enumerate(rows):
        if is_contour(row, terms) and row.place_px is not None and outlines[row.still]:
            across[n] = across_at(row.place_px, outlines[row.still])
        if taken.mirrored[row.still]:
            place[n] = unmirrored(place[n, None], cast.stills[row.still].width_px or 1.0)[0]
            across[n, 0] = -across[n, 0]
    point = np.array([cast.place_of(s, terms) or 0 for s in rows], dtype=np.int64)
    outward = cast.outward[point]
    spread = np.array([definition_mm((s.landmark, s.side), terms) for s in rows])
    usual = usual_expression(cast)
    apart = np.array([
        0.0 if cast.stills[s.still].expression == usual else slip_mm((s.landmark, s.side), terms)
        for s in rows
    ])  # fmt: skip
    return Sightings(
        np.array([order[s.still] for s in rows], dtype=np.int64),
        point,
        place,
        np.array([s.sd_px or DEFAULT_SD_PX for s in rows]),
        spread_mm2(outward, spread),
        np.array([is_contour(s, terms) for s in rows]),
        outward,
        across,
        CONTOUR_SLIP_MM,
        apart if apart.any() else None,
    )


def _priors(cast: Cast, taken: StillCameras) -> Priors:
    beliefs = [camera_prior(still) for still in cast.stills.values()]
    mean, sd = np.array([b.mean for b in beliefs]), np.array([b.sd for b in beliefs])
    for k, still in enumerate(cast.stills):
        if still in taken.squeezed:
            sd[k, SQUEEZE] = LOOSE_SQUEEZE
    lens = _lenses(cast)
    lenses = int(lens.max()) + 1
    return Priors(
        mean,
        sd,
        lens,
        np.zeros(lenses),
        np.full(lenses, np.inf),
        cast.start,
        min(CLOSE_POINT_MM * float(2 ** max(len(cast.stills) - CLOSE_UP_TO, 0)), LOOSE_POINT_MM),
    )


def _lenses(cast: Cast) -> Integers:
    """(k,): stills of one camera share a lens."""
    names = [f"camera {s.camera}" if s.camera else f"still {s.id}" for s in cast.stills.values()]
    order = {name: row for row, name in enumerate(dict.fromkeys(names))}
    return np.array([order[name] for name in names], dtype=np.int64)


def _solved(inputs: Inputs, cast: Cast, taken: StillCameras) -> PersonFit:
    """Solve, free a squeeze that the sightings contradict, heed the lens data that agree."""
    seen = _sightings(inputs, cast, taken)
    problem = BundleProblem(seen, _priors(cast, taken), Noise(np.ones(len(seen))))
    result = sort_out(problem, taken.cameras, cast.start)
    flaws = {still: list(found) for still, found in taken.flaws.items()}
    for _ in range(len(cast.stills)):
        odd = _odd_squeeze(result.fitted)
        if odd is None:
            break
        freed = problem.priors.sd.copy()
        freed[odd, SQUEEZE] = LOOSE_SQUEEZE
        problem = replace(problem, priors=replace(problem.priors, sd=freed))
        result = sort_out(problem, result.fitted.solved.cameras, result.fitted.solved.points)
    result = _with_lens_data(cast, looked_again(problem, result), flaws)
    _note_squeezes(cast, result.fitted, flaws)
    return PersonFit(
        cast,
        tuple(cast.stills),
        cast.sightings,
        result.kept,
        result,
        taken.mirrored,
        {still: tuple(found) for still, found in flaws.items()},
        {},
    )


def _odd_squeeze(fitted: Fitted) -> int | None:
    """The still whose pinned squeeze its sightings contradict most; None where none does.

    At the optimum the belief balances the data's pull, so that the pull can be read off it.
    """
    priors = fitted.problem.priors
    columns = fitted.problem.columns()[:, SQUEEZE]
    belief = priors.sd[:, SQUEEZE] ** -2.0
    knowledge = 1 / np.diag(fitted.spread.cameras)[columns] - belief
    off = fitted.solved.cameras.log_squeeze - priors.mean[:, SQUEEZE]
    pull = belief * off
    knowledge = np.maximum(knowledge, 1e-9)
    score = np.where(priors.sd[:, SQUEEZE] <= PINNED_SQUEEZE, pull**2 / knowledge, 0.0)
    score = np.where(np.abs(pull / knowledge) > LEAST_SQUEEZE, score, 0.0)
    worst = int(score.argmax())
    return worst if score[worst] > SQUEEZE_SCORE else None


def _note_squeezes(cast: Cast, fitted: Fitted, flaws: dict[str, list[Flaw]]) -> None:
    """Name every still whose squeeze was found to be another than its row says."""
    columns = fitted.problem.columns()[:, SQUEEZE]
    spread = np.sqrt(np.maximum(np.diag(fitted.spread.cameras)[columns], 0.0))
    for k, (id_, still) in enumerate(cast.stills.items()):
        if fitted.problem.priors.sd[k, SQUEEZE] <= PINNED_SQUEEZE:
            continue
        found = float(fitted.solved.cameras.log_squeeze[k])
        off = abs(found - float(np.log(still.squeeze)))
        if off > max(3 * float(spread[k]), LEAST_SQUEEZE / 2):
            scale = float(np.exp(fitted.solved.cameras.log_scale[k]))
            gain = off * scale * 10.0  # px over a face some 20 mm wide, from its middle
            flaws[id_].append(Flaw("squeeze", still.squeeze, float(np.exp(found)), gain))


def _with_lens_data(cast: Cast, result: ScreenedFit, flaws: dict[str, list[Flaw]]) -> ScreenedFit:
    """Refit with the lens data that agree with the stills; name those that do not."""
    fitted = result.fitted
    priors = fitted.problem.priors
    mean, sd = priors.lens_mean.copy(), priors.lens_sd.copy()
    columns = fitted.problem.columns()[:, FOCAL]
    spread = np.sqrt(np.maximum(np.diag(fitted.spread.cameras)[columns], 0.0))
    heeded = False
    for k, (id_, still) in enumerate(cast.stills.items()):
        if still.focal_px is None:
            continue
        own = still.focal_sd_log or STATED_FOCAL_SD_LOG
        found = float(fitted.solved.cameras.log_focal[k])
        off = abs(found - np.log(still.focal_px))
        if off > LENS_CONFLICT * float(np.hypot(own, spread[k])):
            flaws[id_].append(Flaw("focal", still.focal_px, float(np.exp(found)), 0.0))
            continue
        mean[priors.lens[k]], sd[priors.lens[k]] = np.log(still.focal_px), own
        heeded = True
    if not heeded:
        return result
    problem = replace(fitted.problem, priors=replace(priors, lens_mean=mean, lens_sd=sd))
    return replace(result, fitted=fit(problem, fitted.solved))


def spread_of_focal(fitted: Fitted) -> Floats:
    """(k,): standard deviation of log f of each still."""
    columns = fitted.problem.columns()[:, FOCAL]
    spread: Floats = np.sqrt(np.maximum(np.diag(fitted.spread.cameras)[columns], 0.0))
    return spread
