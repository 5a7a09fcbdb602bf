"""How far drawn outlines lie from a round's, with what stills and drawing leave open."""

from dataclasses import replace
from itertools import pairwise
from statistics import NormalDist

import numpy as np

from sixwright.kernel.intervals import Interval, Limit, Verdict, judge
from sixwright.line.likeness import Sculpt
from sixwright.numerics.multiple_tests import LEVEL
from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import tangent
from sixwright.topics.likeness.alignment.gauge import Gauge
from sixwright.topics.likeness.belief.first_round import meant_of, seen_of
from sixwright.topics.likeness.belief.strays import sifted
from sixwright.topics.likeness.model import Inputs, RoundAnswer
from sixwright.topics.likeness.outline_kinds import MovedBy, moves_with
from sixwright.topics.likeness.outlines.drawn import Across
from sixwright.topics.likeness.outlines.evidence import (
    apart_from,
    evidence_of,
    lines_of,
    of_expression,
    thinned,
)
from sixwright.topics.likeness.outlines.model import (
    OutlineAnswer,
    OutlinePlace,
    OutlineStretch,
    Stray,
    Why,
)
from sixwright.topics.likeness.person.arrays import terms_of
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.rounds.verdicts import TOLERANCE_MM
from sixwright.topics.likeness.solids import Solid

# As many stretches that overlap are, side by side, as surprising as so many that do not.
OVERLAP = 6.0
STRETCH_MM = 3.0  # over which an outline's distance is averaged: 18 mm at full size; own choice
OPEN = frozenset({Why.CONTESTED, Why.ALONE})  # what may be the head's, and may not
SHOWN_APART_MM, MOST_SHOWN = 0.4, 400


def distances(
    inputs: Inputs, sculpt: Sculpt, fit: PersonFit, gauge: Gauge, solid: Solid
) -> tuple[OutlineAnswer, ...]:
    """Every outline drawn on a still of the person, against the mesh of a round.

    Parameters
    ----------
    inputs, sculpt
        The folder's nouns, and the sculpt whose round it is.
    fit, gauge
        The person's stills, laid on the round.
    solid
        The round's mesh.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “Outlines”.
    """
    tolerance_mm = sculpt.tolerance_mm or TOLERANCE_MM
    meant = meant_of(inputs, sculpt.id, gauge.keys).any(axis=1)
    drawn = lines_of(inputs.outlines, fit, gauge.onto, solid)
    lines = {(line.drawn.still, line.drawn.outline): line
             for line in apart_from(drawn, gauge.sculpt_mm[meant])}  # fmt: skip
    across_it = {(line.drawn.still, line.drawn.outline) for line in drawn}
    shown = thinned(list(lines.values()), SHOWN_APART_MM, MOST_SHOWN)
    spreads = aligned_noise(shown, fit, gauge) if shown else []
    told = {(line.drawn.still, line.drawn.outline): (line, noise)
            for line, noise in zip(shown, spreads, strict=True)}  # fmt: skip
    strays = _strays(inputs, sculpt, fit, gauge, list(lines.values()))
    counts: dict[tuple[str, str], int] = {}
    for row in inputs.outlines:
        if row.still in inputs.stills:
            key = (row.still, row.outline)
            counts[key] = counts.get(key, 0) + 1
    found = []
    for key, count in counts.items():
        reason = _reason(inputs, sculpt.expression, fit, key)
        if not reason and key not in told:
            reason = "meant" if key in across_it else "unlike"
        stray = None if reason else strays.get(key)
        if stray is not None:
            reason = str(stray.why)
        verdict = Verdict.DOUBTFUL if reason in OPEN else Verdict.UNCHECKED
        bare = OutlineAnswer(*key, reason, count, 0, tolerance_mm, verdict, stray=stray)
        if key in told:
            line, noise = told[key]
            bare = _answered(bare, len(lines[key].rows), line, noise, fit)
        found.append(bare)
    return tuple(found)


def agreed(rounds: tuple[RoundAnswer, ...]) -> tuple[RoundAnswer, ...]:
    """Rounds in which no drawing is judged of which another round shows that it slipped.

    Parameters
    ----------
    rounds
        All that were judged.

    Source
    ------
    Own choice: a stretch that slipped may lie too far from one head to be held against it, and what
    is left of the drawing would be judged there.
    """
    slipped = {(line.still, line.outline) for one in rounds for line in one.outlines if line.stray}

    def told(line: OutlineAnswer) -> OutlineAnswer:
        if (line.still, line.outline) in slipped and not line.reason:
            return replace(line, reason="elsewhere", verdict=Verdict.UNCHECKED)
        return line

    return tuple(replace(one, outlines=tuple(map(told, one.outlines))) for one in rounds)


def _strays(
    inputs: Inputs, sculpt: Sculpt, fit: PersonFit, gauge: Gauge, lines: list[Across]
) -> dict[tuple[str, str], Stray]:
    """The longest stretch that is not used of each drawing that has one."""
    telling = of_expression(lines, sculpt.expression, fit)
    if not telling:
        return {}
    seen, more = seen_of(inputs, sculpt.id, gauge, terms_of(inputs))
    found = sifted(telling, seen, fit, gauge, more).strays
    ordered = sorted(found, key=lambda stray: (stray.why is Why.STRAY, stray.share))
    return {(stray.still, stray.outline): stray for stray in ordered}


def aligned_noise(lines: list[Across], fit: PersonFit, gauge: Gauge) -> list[Floats]:
    """(m, m) of each line, mm²: covariance of how far off its points are, after alignment.

    Parameters
    ----------
    lines
        One or more.
    fit, gauge
        The person's stills, laid on the round.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “Gauge”: the landmarks' weights decide the alignment, and what it
    takes from the places of outlines is taken from their noise.
    """
    told = evidence_of(lines, fit, gauge)
    marks = len(told.marks)
    moved = tangent(np.concatenate([gauge.person_mm, told.rim]))
    rim = np.einsum("ji,jig->jg", told.out, moved[marks:].reshape(len(told.rim), 3, 7))
    heavy = np.repeat(gauge.weights, 3)[:, None] * moved[:marks]
    laid = rim @ np.linalg.pinv(moved[:marks].T @ heavy) @ heavy.T
    cross = told.with_marks @ laid.T
    noise = told.noise - cross - cross.T + laid @ told.marks @ laid.T
    ends = np.cumsum([0, *(len(line.rows) for line in lines)])
    return [noise[a:b, a:b] for a, b in pairwise(ends)]


def _reason(inputs: Inputs, expression: str, fit: PersonFit, key: tuple[str, str]) -> str:
    """Why an outline cannot be held against a sculpt of an expression; empty where it can."""
    still, outline = key
    if still not in fit.stills:
        return "unused"
    kind = moves_with(outline)
    if kind is MovedBy.APART:
        return "apart"
    is_other = inputs.stills[still].expression != expression
    return "expression" if kind is MovedBy.MOBILE and is_other else ""


def _answered(
    bare: OutlineAnswer, across: int, line: Across, noise: Floats, fit: PersonFit
) -> OutlineAnswer:
    """An outline with its places, and its worst stretch."""
    still = fit.cast.stills[bare.still]
    width = (still.width_px or 1.0) if fit.mirrored[bare.still] else None
    drawn, sculpt = (_in_the_still(px, width) for px in (
        line.drawn.place_px[line.rows], line.foot_px))  # fmt: skip
    half = NormalDist().inv_cdf((1 + LEVEL) / 2) * np.sqrt(np.maximum(np.diag(noise), 0.0))
    places = tuple(
        OutlinePlace(
            float(line.at_mm[n]),
            Interval(float(off), float(off - half[n]), float(off + half[n]), LEVEL),
            (float(drawn[n, 0]), float(drawn[n, 1])),
            (float(sculpt[n, 0]), float(sculpt[n, 1])),
        )
        for n, off in enumerate(line.off_mm)
    )
    worst = worst_stretch(line.at_mm, line.off_mm, noise, drawn, bare.tolerance_mm)
    judged = judge(worst.off_mm, Limit("<=", bare.tolerance_mm))
    verdict = bare.verdict if bare.reason else judged
    return replace(bare, across=across, verdict=verdict, places=places, worst=worst)


def _in_the_still(place_px: Floats, mirrored_width: float | None) -> Floats:
    if mirrored_width is None:
        return place_px
    return np.column_stack([mirrored_width - 1 - place_px[:, 0], place_px[:, 1]])


def worst_stretch(
    at_mm: Floats, off_mm: Floats, noise: Floats, drawn_px: Floats, tolerance_mm: float
) -> OutlineStretch:
    """The stretch of an outline that is shown to be off most, else the one that may be.

    Parameters
    ----------
    at_mm, off_mm, noise, drawn_px
        (m,), (m,), (m, m) and (m, 2) of the points of an outline, in order; one or more.
    tolerance_mm
        What is allowed.

    Raises
    ------
    ValueError
        If there is no point.

    Source
    ------
    Own choice: means over 3 mm; a stretch is off by more than allowed at 5 % over all stretches of
    the outline (Bonferroni, six for each length of one, for they overlap), within it at 5 % each.
    """
    span = float(at_mm[-1] - at_mm[0])
    many = 1 + OVERLAP * max(span - STRETCH_MM, 0.0) / STRETCH_MM
    sure = NormalDist().inv_cdf(1 - (1 - LEVEL) / many)
    usual = NormalDist().inv_cdf(LEVEL)
    found = []
    for start in at_mm:
        rows = np.flatnonzero((at_mm >= start) & (at_mm <= start + STRETCH_MM))
        mean = float(off_mm[rows].mean())
        sd = float(np.sqrt(max(noise[np.ix_(rows, rows)].mean(), 0.0)))
        low = max(abs(mean) - sure * sd, 0.0)
        interval = Interval(abs(mean), low, abs(mean) + usual * sd, LEVEL)
        x, y = drawn_px[rows[len(rows) // 2]]
        found.append(
            OutlineStretch(float(start), float(at_mm[rows[-1]]), mean > 0, interval,
                    (float(x), float(y)))
        )  # fmt: skip
        if at_mm[-1] - start <= STRETCH_MM:
            break
    fails = [one for one in found if one.off_mm.low > tolerance_mm]
    if fails:
        return max(fails, key=lambda one: float(one.off_mm.low))
    return max(found, key=lambda one: float(one.off_mm.high))
