"""What outlines tell of how a sculpt is off, beside what its landmarks tell, and how sure that is.

Axis letters: l landmarks, j places of outlines, c unknowns of the cameras.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
from scipy.linalg import eigh

from sixwright.line.likeness import Key, OutlinePoint
from sixwright.numerics.cameras import project
from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import Similarity
from sixwright.topics.likeness.alignment.gauge import Gauge
from sixwright.topics.likeness.alignment.observed import Lines, Observed
from sixwright.topics.likeness.outline_kinds import MovedBy, moves_with
from sixwright.topics.likeness.outlines.drawn import Across, across, drawn_on, shown_rim
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.solids import Solid

# How the error of one drawing hangs together, shares of its variance: all of it drawn too far out
# or in alike, a wander, and the hand at each point; and how far the wander reaches, mm at 1:6
# (18 mm at full size, a thumb's width). Own choices, no source.
ALIKE, WANDER, WANDER_MM = 0.3, 0.5, 3.0
MEANT_MM = 5.0  # how far what is meant at a landmark may reach over the skin, 30 mm at full size
# Points nearer to each other tell nearly the same: so far apart they count, and so many at most.
APART_MM, MOST = 1.0, 200
# The outlines of two stills confirm what is seen of a landmark, one beside it and one not far off:
# mm at 1:6, 21 and 30 mm at full size.
BESIDE_IT_MM, NOT_FAR_MM = 3.5, 5.0
# Outlines are told by the sums of their moves in which a sculpt's errors stand out of the drawing,
# by so much or more of its variance: expected as a smooth field and single landmarks (mm at 1:6).
MOST_TOLD, LEAST_TOLD = 40, 0.2
USUAL_MM, USUAL_REACH_MM, USUAL_OWN_MM = 0.3, 4.5, 0.2


@dataclass(frozen=True, slots=True)
class OutlineEvidence:
    """Places of outlines, and the joint noise of them and of the landmarks' corrections.

    Attributes
    ----------
    rim, out
        (j, 3) each: places of the sculpt, mm, and unit vectors out of it.
    off
        (j,), mm: how far out of the sculpt the person is there.
    noise
        (j, j), mm²: of the drawing and of the cameras, before any alignment.
    drawing
        (j, j), mm²: of the drawing alone.
    with_marks
        (j, 3l), mm²: what they share with the landmarks' corrections, by the cameras.
    marks
        (3l, 3l), mm²: of those corrections, before any alignment.
    """

    rim: Floats
    out: Floats
    off: Floats
    noise: Floats
    drawing: Floats
    with_marks: Floats
    marks: Floats


def lines_of(
    outlines: Iterable[OutlinePoint], fit: PersonFit, onto: Similarity, solid: Solid
) -> list[Across]:
    """Outlines drawn on a person's stills that lie across from those of a round's mesh.

    Parameters
    ----------
    outlines
        Rows of any stills.
    fit, onto
        The person's stills, solved, and from the person's frame to the round's.
    solid
        The round's mesh.

    Raises
    ------
    InputError
        If a camera is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “Outlines”.
    """
    rows, cameras, found = tuple(outlines), fit.fitted.solved.cameras, []
    for k, id_ in enumerate(fit.stills):
        still = fit.cast.stills[id_]
        width = (still.width_px or 1.0) if fit.mirrored[id_] else None
        drawn = drawn_on(id_, rows, width)
        if drawn:
            eye = onto.of(-cameras.rotation[k].T @ cameras.translation()[k])
            shown = shown_rim(solid.rim(eye), cameras.only([k]), onto)
            found += [line for one in drawn if (line := across(one, shown, k)) is not None]
    return found


def apart_from(lines: list[Across], places: Floats) -> list[Across]:
    """Outlines without what lies beside places of the sculpt: where it is meant to differ.

    Parameters
    ----------
    lines
        Outlines across from those of a round.
    places
        (t, 3), mm: landmarks whose correction is meant to remain; none takes nothing away.

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    Own choice: a deliberate exaggeration is a target of its landmark; how far it reaches over the
    skin nobody said.
    """
    if not len(places):
        return lines
    found = []
    for line in lines:
        away = np.linalg.norm(line.place_mm[:, None] - places[None], axis=2).min(axis=1)
        kept = line.only(away > MEANT_MM)
        found += [kept] if len(kept.rows) else []
    return found


def of_expression(lines: list[Across], expression: str, fit: PersonFit) -> list[Across]:
    """Those that tell of a sculpt: what moves from stills of its expression alone, no hair."""
    return [
        line
        for line in lines
        if (kind := moves_with(line.drawn.outline)) is MovedBy.RIGID
        or (kind is MovedBy.MOBILE and fit.cast.stills[line.drawn.still].expression == expression)
    ]


def thinned(lines: list[Across], apart_mm: float = APART_MM, most: int = MOST) -> list[Across]:
    """Of each outline points so far apart that each tells something, and few enough in all."""
    while True:
        some = [_thinned(line, apart_mm) for line in lines]
        if sum(len(line.rows) for line in some) <= max(most, len(lines)):
            return some
        apart_mm *= 1.3


def _thinned(line: Across, apart_mm: float) -> Across:
    kept = np.zeros(len(line.rows), bool)
    last = -np.inf
    for n, at in enumerate(line.at_mm):
        if at - last >= apart_mm:
            kept[n], last = True, at
    return line.only(kept)


def drawing_noise(line: Across) -> Floats:
    """(m, m), px²: of how one outline was drawn, across it."""
    apart = np.abs(line.at_mm[:, None] - line.at_mm[None])
    shared = ALIKE + WANDER * np.exp(-apart / WANDER_MM)
    shared[range(len(shared)), range(len(shared))] = 1.0
    noise: Floats = shared * line.sd_px[:, None] * line.sd_px
    return noise


def confirmed_by(lines: list[Across], keys: tuple[Key, ...], places: Floats) -> frozenset[Key]:
    """Landmarks that the outlines of two stills pass.

    Parameters
    ----------
    lines
        Outlines across from those of a round.
    keys, places
        Landmarks of the round, and where they were placed, (l, 3) mm.

    Raises
    ------
    ValueError
        If a landmark has no place.

    Source
    ------
    Own choice: what one or two sightings say of a landmark, outlines beside it confirm or not.
    """
    stills = sorted({line.still for line in lines})
    away = np.full((max(len(stills), 2), len(keys)), np.inf)
    for line in lines:
        near = np.linalg.norm(line.place_mm[:, None] - places[None], axis=2).min(axis=0)
        row = stills.index(line.still)
        away[row] = np.minimum(away[row], near)
    first, second = np.sort(away, axis=0)[:2]
    told = (first <= BESIDE_IT_MM) & (second <= NOT_FAR_MM)
    return frozenset(key for key, is_told in zip(keys, told, strict=True) if is_told)


def with_outlines(
    seen: Observed, lines: list[Across], fit: PersonFit, gauge: Gauge, more: Floats
) -> Observed:
    """Moves as the stills show them, with those of the places across from drawn outlines.

    Parameters
    ----------
    seen
        Moves of landmarks.
    lines
        Outlines; none changes nothing.
    fit, gauge
        The person's stills, laid on the round.
    more
        (3l, 3l), mm²: what is added to the noise of the landmarks.

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    docs/topics/likeness.md, “Outlines”.
    """
    some = [line for line in thinned(lines) if len(line.rows)]
    if not some:
        return seen
    told = evidence_of(some, fit, gauge)
    lines_told = Lines(told.rim, told.out)
    mix = _telling(lines_told, seen.places, told.drawing)
    return joined(seen, told, replace(lines_told, mix=mix), more)


def joined(seen: Observed, told: OutlineEvidence, lines: Lines, more: Floats) -> Observed:
    """Moves of landmarks with what outlines tell, told in the sums that `lines` mixes.

    Parameters
    ----------
    seen, told
        Moves of landmarks, and the evidence of outlines.
    lines
        Its places, and the sums in which it is told.
    more
        (3l, 3l), mm²: what is added to the noise of the landmarks.

    Raises
    ------
    ValueError
        If the shapes disagree.
    """
    cross = lines.mix @ told.with_marks
    noise = np.block([
        [told.marks + more, cross.T],
        [cross, lines.mix @ told.noise @ lines.mix.T],
    ])  # fmt: skip
    off = np.concatenate([seen.off, lines.mix @ told.off])
    return replace(seen, off=off, noise=noise, lines=lines)


def _telling(lines: Lines, places: Floats, drawing: Floats) -> Floats:
    """(r, j): the sums of an outline's moves that stand out of how it was drawn, the most first."""
    beside = lines.beside(places)
    expected = (
        USUAL_MM**2 * lines.smooth(USUAL_REACH_MM, np.ones(3))
        + USUAL_OWN_MM**2 * beside @ beside.T
        + lines.grain()
    )
    sizes, ways = eigh(expected, drawing)
    order = np.argsort(-sizes)[:MOST_TOLD]
    told: Floats = ways[:, order[sizes[order] > LEAST_TOLD]].T
    return told


def evidence_of(lines: list[Across], fit: PersonFit, gauge: Gauge) -> OutlineEvidence:
    """What some outlines tell, with the noise that they share with each other and the landmarks.

    Parameters
    ----------
    lines
        One or more.
    fit, gauge
        The person's stills, laid on the round.

    Raises
    ------
    ValueError
        If there is no line.

    Source
    ------
    First-order propagation of the joint covariance of cameras and places (hartley-zisserman, 5.2)
    to how far each point lies across the sculpt's outline.
    """
    spread, onto = fit.fitted.spread, gauge.onto
    cameras = fit.fitted.solved.cameras
    columns = fit.fitted.problem.columns()
    size = len(spread.cameras)
    blocks, drawing = [], []
    for line in lines:
        shown = project(cameras.only(np.full(len(line.rows), line.still)), onto.back(line.place_mm))
        own = np.einsum("ni,nic->nc", line.out_px, shown.by_camera) / line.px_a_mm[:, None]
        block = np.zeros((len(line.rows), size))
        block[:, columns[line.still]] = -own
        blocks.append(block)
        scale = 1 / line.px_a_mm
        drawing.append(scale[:, None] * drawing_noise(line) * scale)
    by_camera = np.concatenate(blocks)
    at = (3 * gauge.rows[:, None] + np.arange(3)).ravel()
    turned = onto.jacobian(len(gauge.rows))
    drawn = _diagonal(drawing)
    noise = by_camera @ spread.cameras @ by_camera.T + drawn
    marks = turned @ spread.points[np.ix_(at, at)] @ turned.T
    marks = marks + np.diag(np.repeat(gauge.placing**2, 3))
    return OutlineEvidence(
        np.concatenate([line.place_mm for line in lines]),
        np.concatenate([line.normal for line in lines]),
        np.concatenate([line.off_mm for line in lines]),
        noise,
        drawn,
        by_camera @ spread.cross[:, at] @ turned.T,
        marks,
    )


def _diagonal(blocks: list[Floats]) -> Floats:
    """Blocks along a diagonal, nothing beside them."""
    size = sum(len(block) for block in blocks)
    whole = np.zeros((size, size))
    start = 0
    for block in blocks:
        end = start + len(block)
        whole[start:end, start:end] = block
        start = end
    return whole
