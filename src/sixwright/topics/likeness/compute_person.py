"""All stills of one person solved together: cameras, places, noise, wrong sightings, flaws."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from sixwright.line.likeness import Sighting, Still
from sixwright.numerics.bundle import Priors, Problem
from sixwright.numerics.cameras import DISTANCE, FOCAL, SQUEEZE, UNKNOWNS, Cameras, Integers
from sixwright.numerics.resection import LOOSE_SQUEEZE, Belief, Resected, Seen, joined, resections
from sixwright.numerics.rotations import Floats
from sixwright.numerics.sightings import Booleans, Noise, Sightings
from sixwright.numerics.spread import Fitted, fit
from sixwright.numerics.wrong import Sorted, sort_out
from sixwright.topics.likeness.compute_start import (
    DEFAULT_SD_PX,
    FULL_SIZE,
    Cast,
    across_at,
    cast_of,
    definition_mm,
    is_contour,
    spread_mm2,
    terms_of,
)
from sixwright.topics.likeness.model import Flaw, Inputs

# Own choices (docs/topics/likeness.md, “What is believed beforehand”).
DISTANCE_MM, DISTANCE_SD_LOG = 1800 / FULL_SIZE, 0.8
STATED_FOCAL_SD_LOG = 0.05
CENTRE_SHARE, CENTRE_SHARE_CROPPED = 0.015, 0.5
PINNED_SQUEEZE = 1e-3
LOOSE_POINT_MM = 200 / FULL_SIZE
# Of fewer stills than can judge anything: else even the size of the head would be open.
LOOSE_POINT_FEW_MM, FEW_STILLS = 18 / FULL_SIZE, 3
CONTOUR_SLIP_MM = 3 / FULL_SIZE  # as the definition of a soft landmark
SCULPT_SLACK_MM, CONTOUR_SLACK_MM = 0.4, 1.2
BETTER = 25.0  # fall of a squared distance at which another way of taking a still is believed
SQUEEZE_SCORE, LEAST_SQUEEZE = 16.0, 0.008
LENS_CONFLICT = 3.5  # standard deviations
UNFIT_SHARE = 0.5


@dataclass(frozen=True, slots=True)
class PersonFit:
    """One person's stills, solved.

    Attributes
    ----------
    cast
        What was known.
    stills
        Ids of the stills solved, in the order of the cameras.
    rows
        The sightings solved, in the order of the problem's.
    kept
        (n,): whether each was kept.
    sorted_out
        The solution.
    mirrored
        Whether each still was turned.
    flaws
        Still: what its row does not say.
    dropped
        Still: why it was left out, those of the cast included.
    """

    cast: Cast
    stills: tuple[str, ...]
    rows: tuple[Sighting, ...]
    kept: Booleans
    sorted_out: Sorted
    mirrored: Mapping[str, bool]
    flaws: Mapping[str, tuple[Flaw, ...]]
    dropped: Mapping[str, str]

    @property
    def fitted(self) -> Fitted:
        """The solution without wrong sightings."""
        return self.sorted_out.fitted


@dataclass(frozen=True, slots=True)
class _Taken:
    """How each still is taken to have been taken: cameras to start from, flaws found so far."""

    cameras: Cameras
    mirrored: dict[str, bool]
    squeezed: set[str]
    flaws: dict[str, list[Flaw]]


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
    dropped = dict(cast.unused)
    while True:
        taken = _taken(inputs, cast)
        solved = _solved(inputs, cast, taken)
        unfit = _unfit(cast, solved)
        if unfit is None or len(cast.stills) == 1:
            break
        dropped[unfit] = "unfit"
        cast = _without(cast, unfit)
    return replace(solved, dropped=dropped)


def _without(cast: Cast, still: str) -> Cast:
    return replace(
        cast,
        stills={id_: one for id_, one in cast.stills.items() if id_ != still},
        sightings=tuple(s for s in cast.sightings if s.still != still),
    )


def _unfit(cast: Cast, solved: PersonFit) -> str | None:
    """The still most of whose sightings fit nothing."""
    worst, share = None, UNFIT_SHARE
    for still in cast.stills:
        flags = [kept for row, kept in zip(solved.rows, solved.kept, strict=True)
                 if row.still == still]  # fmt: skip
        lost = 1 - sum(flags) / len(flags)
        if lost >= share and len(flags) - sum(flags) >= 3:
            worst, share = still, lost
    return worst


def belief_of(still: Still) -> Belief:
    """What is believed of a still's camera, its lens data aside."""
    width, height = still.width_px or 1.0, still.height_px or 1.0
    side = max(width, height)
    mean, sd = np.zeros(UNKNOWNS), np.full(UNKNOWNS, np.inf)
    mean[6:8] = (width - 1) / 2, (height - 1) / 2
    sd[6:8] = side * (CENTRE_SHARE_CROPPED if still.cropped else CENTRE_SHARE)
    mean[SQUEEZE], sd[SQUEEZE] = np.log(still.squeeze), PINNED_SQUEEZE
    mean[DISTANCE], sd[DISTANCE] = np.log(DISTANCE_MM), DISTANCE_SD_LOG
    return Belief(mean, sd)


def _taken(inputs: Inputs, cast: Cast) -> _Taken:
    """Resect each still, as its row says and otherwise, and take what fits decidedly better."""
    terms = terms_of(inputs)
    anchor = cast.start.mean(axis=0)
    mirrored: dict[str, bool] = {}
    squeezed: set[str] = set()
    flaws: dict[str, list[Flaw]] = {}
    cameras = []
    for still in cast.stills.values():
        rows = [s for s in cast.sightings if s.still == still.id]
        at = [cast.place_of(s, terms) or 0 for s in rows]
        contour = np.array([is_contour(s, terms) for s in rows])
        seen = Seen(
            np.array([s.place_px for s in rows], float),
            still.width_px or 1.0,
            np.array([s.sd_px or DEFAULT_SD_PX for s in rows]),
            cast.start[at],
            cast.outward[at],
            np.where(contour, CONTOUR_SLACK_MM, SCULPT_SLACK_MM),
        )
        chosen, found = _chosen(still, resections(seen, belief_of(still), anchor))
        mirrored[still.id] = chosen.mirrored
        flaws[still.id] = found
        if chosen.squeezed:
            squeezed.add(still.id)
        cameras.append(chosen.camera)
    return _Taken(joined(cameras), mirrored, squeezed, flaws)


def _chosen(still: Still, ways: tuple[Resected, ...]) -> tuple[Resected, list[Flaw]]:
    """The way in which a still is taken to have been taken, and what its row does not say."""
    stated = bool(still.mirrored)
    by_way = {(way.mirrored, way.squeezed): way for way in ways}

    def best(mirror: bool) -> Resected:  # noqa: FBT001
        plain, loose = by_way[mirror, False], by_way[mirror, True]
        off = abs(float(loose.camera.log_squeeze[0]) - float(np.log(still.squeeze)))
        return loose if plain.cost - loose.cost > BETTER and off > 0.04 else plain

    as_said, other = best(stated), best(not stated)
    price = 0.0 if still.mirrored is None else BETTER
    chosen = other if as_said.cost - other.cost > price else as_said
    found = []
    if chosen is other and still.mirrored is not None:
        gain = as_said.typical_px() - chosen.typical_px()
        hidden = int(as_said.hidden.sum())
        found.append(
            Flaw("mirrored", float(stated), float(chosen.mirrored), max(gain, 0.0), hidden=hidden)
        )
    return chosen, found


def _sightings(inputs: Inputs, cast: Cast, taken: _Taken) -> Sightings:
    """The sightings that count as arrays, mirrored stills turned."""
    terms = terms_of(inputs)
    rows, order = cast.sightings, {still: k for k, still in enumerate(cast.stills)}
    outlines = {still: [p for p in inputs.outlines if p.still == still] for still in cast.stills}
    place = np.array([s.place_px for s in rows], float)
    across = np.full((len(rows), 2), np.nan)
    for n, row in enumerate(rows):
        if is_contour(row, terms) and row.place_px is not None and outlines[row.still]:
            across[n] = across_at(row.place_px, outlines[row.still])
        if taken.mirrored[row.still]:
            place[n, 0] = (cast.stills[row.still].width_px or 1.0) - 1 - place[n, 0]
            across[n, 0] = -across[n, 0]
    point = np.array([cast.place_of(s, terms) or 0 for s in rows], dtype=np.int64)
    outward = cast.outward[point]
    spread = np.array([definition_mm((s.landmark, s.side), terms) for s in rows])
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
    )


def _priors(cast: Cast, taken: _Taken) -> Priors:
    beliefs = [belief_of(still) for still in cast.stills.values()]
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
        LOOSE_POINT_MM if len(cast.stills) >= FEW_STILLS else LOOSE_POINT_FEW_MM,
    )


def _lenses(cast: Cast) -> Integers:
    """(k,): stills of one camera share a lens."""
    names = [f"camera {s.camera}" if s.camera else f"still {s.id}" for s in cast.stills.values()]
    order = {name: row for row, name in enumerate(dict.fromkeys(names))}
    return np.array([order[name] for name in names], dtype=np.int64)


def _solved(inputs: Inputs, cast: Cast, taken: _Taken) -> PersonFit:
    """Solve, free a squeeze that the sightings contradict, heed the lens data that agree."""
    seen = _sightings(inputs, cast, taken)
    problem = Problem(seen, _priors(cast, taken), Noise(np.ones(len(seen))))
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
    result = _with_lens_data(cast, result, flaws)
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
    spread = np.sqrt(np.diag(fitted.spread.cameras)[columns])
    for k, (id_, still) in enumerate(cast.stills.items()):
        if fitted.problem.priors.sd[k, SQUEEZE] <= PINNED_SQUEEZE:
            continue
        found = float(fitted.solved.cameras.log_squeeze[k])
        off = abs(found - float(np.log(still.squeeze)))
        if off > max(3 * float(spread[k]), LEAST_SQUEEZE / 2):
            scale = float(np.exp(fitted.solved.cameras.log_scale[k]))
            gain = off * scale * 10.0  # px over a face some 20 mm wide, from its middle
            flaws[id_].append(Flaw("squeeze", still.squeeze, float(np.exp(found)), gain))


def _with_lens_data(cast: Cast, result: Sorted, flaws: dict[str, list[Flaw]]) -> Sorted:
    """Refit with the lens data that agree with the stills; name those that do not."""
    fitted = result.fitted
    priors = fitted.problem.priors
    mean, sd = priors.lens_mean.copy(), priors.lens_sd.copy()
    columns = fitted.problem.columns()[:, FOCAL]
    spread = np.sqrt(np.diag(fitted.spread.cameras)[columns])
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
    spread: Floats = np.sqrt(np.diag(fitted.spread.cameras)[columns])
    return spread
