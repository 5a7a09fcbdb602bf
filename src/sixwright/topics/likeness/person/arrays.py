"""From the folder's nouns to arrays: which sightings count, where to start, what is believed."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from sixwright.line.landmarks import LANDMARKS, outward_of
from sixwright.line.likeness import Key, OutlinePoint, Sighting, Still, Term
from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import similarity
from sixwright.topics.likeness.checks_files import is_left_out
from sixwright.topics.likeness.model import Inputs

# Own choices (docs/topics/likeness.md, “What is believed beforehand”).
DEFAULT_SD_PX = 1.5
# mm at 1:6, of a landmark whose spread is not stated, by how it came onto the sculpt.
PLACING_MM = {"placed": 0.05, "carried": 0.1, "confirmed": 0.05}
DEFAULT_DEFINITION_MM = 1.5  # mm at full size, of a landmark of the line's own
ACROSS_SHARE = 0.3  # spread of a definition out of the surface, over that along it
FULL_SIZE = 6.0
LEAST_ALIKE = 0.34  # cosine of the mesh's direction and the built-in one of a landmark
LEAST_SIGHTINGS = 5  # of points in a still; fewer leave its camera without a check
OUTLINE_NEAR_PX = 12.0
# Sightings may lie beyond a still's edge by this share of its longer side, and must spread over
# that share of it: else its size is that of another file.
BEYOND_SHARE, LEAST_SHARE = 0.25, 0.002
SAME_SHARE = 1e-6  # of the longer side: sightings as near as that were copied, not marked again

# A place of the person: a landmark, and its expression where it is mobile.
PersonPoint = tuple[Key, str]


@dataclass(frozen=True, slots=True)
class Cast:
    """All that is known of one person.

    Attributes
    ----------
    person
        Its id.
    places
        The places looked for, in a fixed order.
    start
        (p, 3), mm, in the frame of the reference round: where the sculpts have them.
    outward
        (p, 3) unit normals.
    stills
        Those that can be used, by id.
    unused
        Those that cannot: id to the reason.
    sightings
        Those that count, of used stills, on places looked for.
    """

    person: str
    places: tuple[PersonPoint, ...]
    start: Floats
    outward: Floats
    stills: Mapping[str, Still]
    unused: Mapping[str, str]
    sightings: tuple[Sighting, ...]
    index: Mapping[PersonPoint, int] = field(default_factory=dict)

    def place_of(self, sighting: Sighting, terms: Mapping[str, Term]) -> int | None:
        """Row of what a sighting shows; None where it is on no sculpt of the person."""
        key = (sighting.landmark, sighting.side)
        return self.index.get(place_of(key, self.stills[sighting.still].expression, terms))


def terms_of(inputs: Inputs) -> dict[str, Term]:
    """Every landmark's term: the built-in ones, and the line's own over them."""
    return {id_: mark.term for id_, mark in LANDMARKS.items()} | dict(inputs.terms)


def place_of(key: Key, expression: str, terms: Mapping[str, Term]) -> PersonPoint:
    """A rigid landmark is one place; a mobile one has a place in each expression."""
    term = terms.get(key[0])
    return (key, "" if term is not None and term.rigid else expression)


def cast_of(inputs: Inputs, person: str) -> Cast | None:
    """What is known of a person; None where no round of its sculpts has landmarks.

    Parameters
    ----------
    inputs
        The folder's nouns.
    person
        A free id that sculpts and stills share.

    Raises
    ------
    KeyError
        If a placement names a round that is not there; reading a folder refuses that first.

    Source
    ------
    docs/topics/likeness.md, “What counts”.
    """
    terms = terms_of(inputs)
    layouts = _layouts(inputs, person)
    if not layouts:
        return None
    stills = [one for _, one in sorted(inputs.stills.items()) if one.person == person]
    start = _start(layouts, terms, {still.expression for still in stills})
    places = tuple(sorted(start))
    counted = _counted(inputs.sightings, {still.id for still in stills})
    out = {one.id: "file" for one in stills if is_left_out(one, inputs.pictures)}
    used, unused = _usable([one for one in stills if one.id not in out], counted, start, terms)
    points = np.array([start[place] for place in places])
    return Cast(
        person,
        places,
        points,
        outward_at(places, points, surface_outward(inputs, person, terms)),
        used,
        unused | out,
        tuple(
            s
            for s in counted
            if s.still in used
            and place_of((s.landmark, s.side), used[s.still].expression, terms) in start
        ),
        {place: i for i, place in enumerate(places)},
    )


def _counted(sightings: Iterable[Sighting], stills: set[str]) -> list[Sighting]:
    """Sightings that somebody looked at and that have a place; the last of a place counts."""
    last = {
        (s.still, s.landmark, s.side): s
        for s in sightings
        if s.still in stills
        and s.state == "seen"
        and s.place_px is not None
        and np.isfinite(s.place_px).all()
    }
    return [last[key] for key in sorted(last)]  # in one order, whatever that of the rows


def _layouts(inputs: Inputs, person: str) -> list[tuple[str, dict[Key, Floats]]]:
    """Landmarks of each round of the person's sculpts, first rounds first: expression, places."""
    found = []
    for sculpt in inputs.sculpts.values():
        rounds = [r for r in inputs.rounds.values() if r.sculpt == sculpt.id]
        for one in sorted(rounds, key=lambda r: r.number or 0):
            placed = placed_on(inputs, one.id)
            if sculpt.person == person and placed:
                found.append((sculpt.expression, placed))
    return found


def placed_on(inputs: Inputs, round_: str) -> dict[Key, Floats]:
    """Where the landmarks of a round lie, mm at 1:6; in one order, whatever that of the rows."""
    placed = {
        (p.landmark, p.side): np.array(p.place_mm)
        for p in inputs.placements
        if p.round == round_ and p.place_mm is not None and np.isfinite(p.place_mm).all()
    }
    return dict(sorted(placed.items()))


def _start(
    layouts: list[tuple[str, dict[Key, Floats]]],
    terms: Mapping[str, Term],
    expressions: set[str],
) -> dict[PersonPoint, Floats]:
    """Where each place starts: on the first round of its expression that has it, else elsewhere.

    A later round was corrected from the same stills: started there, they would agree with it.
    """
    reference = max(layouts, key=lambda layout: len(layout[1]))[1]
    laid = [(expression, _laid(places, reference, terms)) for expression, places in layouts]
    start: dict[PersonPoint, Floats] = {}
    for expression, places in laid:
        for key, point in places.items():
            start.setdefault(place_of(key, expression, terms), point)
    for expression in sorted(expressions):
        for _, places in laid:
            for key, point in places.items():
                start.setdefault(place_of(key, expression, terms), point)
    return start


def _laid(
    places: dict[Key, Floats], reference: dict[Key, Floats], terms: Mapping[str, Term]
) -> dict[Key, Floats]:
    """A sculpt's landmarks in the frame of the reference, by the rigid ones both have."""
    shared = [k for k in places if k in reference and k[0] in terms and terms[k[0]].rigid]
    if places is reference or len(shared) < 4:
        return places
    ours = np.array([places[k] for k in shared])
    theirs = np.array([reference[k] for k in shared])
    weights = np.ones(len(shared))
    for _ in range(8):
        onto = similarity(ours, theirs, weights)
        off = np.linalg.norm(onto.of(ours) - theirs, axis=1)
        weights = 1 / (1 + (off / (2 * np.median(off) + 1e-6)) ** 2) ** 2
    return {key: onto.of(point) for key, point in places.items()}


def surface_outward(
    inputs: Inputs, person: str, terms: Mapping[str, Term]
) -> dict[PersonPoint, tuple[float, float, float]]:
    """Unit normals that the meshes of a person's sculpts have, the latest rounds first.

    One that is more than 70 degrees from the built-in direction was met in a fold: left out.
    """
    found: dict[PersonPoint, tuple[float, float, float]] = {}
    rounds = sorted(inputs.rounds.values(), key=lambda one: one.number or 0, reverse=True)
    for one in rounds:
        sculpt = inputs.sculpts[one.sculpt]
        for mark in inputs.surfaces.get(one.id, ()) if sculpt.person == person else ():
            usual = outward_of(mark.key)
            if mark.outward is None:
                continue
            if usual is None or np.dot(usual, mark.outward) >= LEAST_ALIKE:
                found.setdefault(place_of(mark.key, sculpt.expression, terms), mark.outward)
    return found


def outward_at(
    places: tuple[PersonPoint, ...],
    points: Floats,
    on_mesh: Mapping[PersonPoint, tuple[float, float, float]],
) -> Floats:
    """Unit normal at each place, the mesh's where it has one; the built-in one, or from the middle.

    Away from the middle is out for a landmark of the line's own that is on no mesh.
    """
    middle = points.mean(axis=0) - np.array([0.0, 0.0, 5.0])
    rows = []
    for place, point in zip(places, points, strict=True):
        key = place[0]
        known = on_mesh.get(place) or outward_of(key)
        away = point - middle if known is None else np.array(known)
        rows.append(away / max(float(np.linalg.norm(away)), 1e-9))
    return np.array(rows)


def _usable(
    stills: list[Still],
    sightings: list[Sighting],
    start: Mapping[PersonPoint, Floats],
    terms: Mapping[str, Term],
) -> tuple[dict[str, Still], dict[str, str]]:
    """Stills whose camera can be found and checked, and why the others cannot be used."""
    used: dict[str, Still] = {}
    unused: dict[str, str] = {}
    shares: list[dict[Key, Floats]] = []
    for still in stills:
        seen = {
            (s.landmark, s.side): tuple(start[place])
            for s in sightings
            if s.still == still.id
            and not is_contour(s, terms)
            and (place := place_of((s.landmark, s.side), still.expression, terms)) in start
        }
        apart = len(set(seen.values()))
        places = {(s.landmark, s.side): _share(still, s) for s in sightings if s.still == still.id}
        if not still.width_px or not still.height_px:
            unused[still.id] = "size"
        elif apart < LEAST_SIGHTINGS:
            unused[still.id] = "sightings"
        elif not _fits_frame(still, np.array(list(places.values()))):
            unused[still.id] = "frame"
        elif any(_is_copy(places, other) for other in shares):
            unused[still.id] = "copy"
        else:
            used[still.id] = still
            shares.append(places)
    return used, unused


def _share(still: Still, sighting: Sighting) -> Floats:
    """(2,): where a sighting lies in its still, in shares of the longer side."""
    side = max(still.width_px or 1.0, still.height_px or 1.0)
    return np.array(sighting.place_px or (0.0, 0.0), dtype=np.float64) / side


def _fits_frame(still: Still, places: Floats) -> bool:
    """Whether most sightings lie within their still, and not all in one corner of it."""
    width, height = still.width_px or 1.0, still.height_px or 1.0
    size = np.array([width, height]) / max(width, height)
    within = ((places > -BEYOND_SHARE) & (places < size + BEYOND_SHARE)).all(axis=1)
    return bool(within.mean() > 0.5) and float(np.ptp(places, axis=0).max()) > LEAST_SHARE


def _is_copy(places: dict[Key, Floats], other: dict[Key, Floats]) -> bool:
    """Whether a still's sightings are those of another, to the last digit."""
    shared = [key for key in places if key in other]
    same = sum(bool(np.abs(places[key] - other[key]).max() < SAME_SHARE) for key in shared)
    return len(shared) >= LEAST_SIGHTINGS and 2 * same > len(shared)


def is_contour(sighting: Sighting, terms: Mapping[str, Term]) -> bool:
    """Whether a sighting only says where the outline runs."""
    if sighting.how is not None:
        return sighting.how == "contour"
    term = terms.get(sighting.landmark)
    return term is not None and term.contour


def definition_mm(key: Key, terms: Mapping[str, Term]) -> float:
    """Definition spread along the surface, mm at 1:6."""
    term = terms.get(key[0])
    stated = None if term is None else term.sd_mm
    if stated is None and key[0] in LANDMARKS:
        stated = LANDMARKS[key[0]].term.sd_mm
    return (DEFAULT_DEFINITION_MM if stated is None else stated) / FULL_SIZE


def slip_mm(key: Key, terms: Mapping[str, Term]) -> float:
    """How far an expression may move a rigid landmark, mm at 1:6; a mobile one has its places."""
    term = terms.get(key[0])
    if term is None or not term.rigid:
        return 0.0
    stated = term.slip_mm
    if stated is None and key[0] in LANDMARKS:
        stated = LANDMARKS[key[0]].term.slip_mm
    return (stated or 0.0) / FULL_SIZE


def usual_expression(cast: Cast) -> str:
    """The expression that most sightings are of: the one whose places rigid landmarks have."""
    counts: dict[str, int] = {}
    for row in cast.sightings:
        shown = cast.stills[row.still].expression
        counts[shown] = counts.get(shown, 0) + 1
    return min(counts, key=lambda shown: (-counts[shown], shown), default="")


def spread_mm2(outward: Floats, sd_mm: Floats) -> Floats:
    """(n, 3, 3): covariance of a definition, wide along the surface, narrow out of it."""
    out = outward[:, :, None] * outward[:, None, :]
    along = np.eye(3) - out
    spread: Floats = (sd_mm**2)[:, None, None] * (along + ACROSS_SHARE**2 * out)
    return spread


def across_at(place_px: tuple[float, float], outlines: list[OutlinePoint]) -> Floats:
    """Unit normal of the drawn outline that passes a place; nan where none does."""
    at, best, nearest = np.array(place_px), np.full(2, np.nan), OUTLINE_NEAR_PX
    drawn: dict[str, list[OutlinePoint]] = {}
    for point in outlines:
        drawn.setdefault(point.outline, []).append(point)
    for points in drawn.values():
        line = np.array([p.place_px for p in sorted(points, key=lambda p: p.point)])
        for one, other in pairwise(line):
            along = other - one
            length = float(np.linalg.norm(along))
            if length < 1e-6:
                continue
            share = np.clip((at - one) @ along / length**2, 0, 1)
            distance = float(np.linalg.norm(at - one - share * along))
            if distance < nearest:
                nearest = distance
                best = np.array([-along[1], along[0]]) / length
    return best
