"""Which further still would tell most, and whether a planted error would have been noticed."""

import numpy as np
from scipy.special import stdtr, stdtrit

from sixwright.line.likeness import Still
from sixwright.numerics.cameras import Cameras, belief_terms, project
from sixwright.numerics.propagation import propagated
from sixwright.numerics.rotations import Floats, facing
from sixwright.numerics.similarity import similarity
from sixwright.topics.likeness.alignment.gauge import Gauge
from sixwright.topics.likeness.further.model import Viewpoint
from sixwright.topics.likeness.model import LandmarkAnswer
from sixwright.topics.likeness.person.cameras import camera_prior
from sixwright.topics.likeness.person.fit import PersonFit
from sixwright.topics.likeness.planted import Planted
from sixwright.topics.likeness.sculpts import SurfaceMark
from sixwright.topics.likeness.solve.sightings import Noise, Sightings, whitened
from sixwright.topics.likeness.surface import DISTANCE_MM, PITCHES_DEG, YAWS_DEG, viewpoints

# Cosines between the surface's normal and the way to the camera.
FACES, GRAZES = 0.15, 0.35
MOST_MM = 0.5  # a landmark as unsure as that, or more, counts as this
SHOWN = 5
LEAST_GAIN = 0.02
UNLOCATED_MM = 8.0  # spread of a nose tip that no still locates


def view_gains(
    gauge: Gauge,
    fit: PersonFit,
    marks: tuple[LandmarkAnswer, ...],
    surface: tuple[SurfaceMark, ...] = (),
) -> tuple[Viewpoint, ...]:
    """What one more still from each viewpoint would tell, best first.

    Parameters
    ----------
    gauge
        The person laid on a round.
    fit
        The stills solved.
    marks
        The round's landmarks, judged; each counts alike.
    surface
        They on the round's mesh, where there is one.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    The update of the information matrix by a still whose camera is unknown too (its unknowns
    eliminated). A place counts as seen where nothing of the mesh stands before it; without a mesh,
    where it does not face away by the landmark's own normal.
    """
    columns = (3 * gauge.rows[:, None] + np.arange(3)).ravel()
    spread = fit.fitted.spread.points[np.ix_(columns, columns)]
    known = np.linalg.inv(spread + 1e-12 * np.eye(len(spread)))
    tolerance = {mark.key: mark.tolerance_mm for mark in marks}
    tolerance_mm = np.array([tolerance[key] for key in gauge.keys], dtype=np.float64)
    now, judged_now = unsure(gauge, spread, tolerance_mm)
    found = []
    hidden = hidden_from(gauge, surface)
    for pitch in PITCHES_DEG:
        for yaw in YAWS_DEG:
            at = (float(yaw), float(pitch))
            told = information(gauge, fit, at, hidden[at])
            if told is None:
                continue
            more = np.asarray(np.linalg.inv(known + told), dtype=np.float64)
            after, judged = unsure(gauge, more, tolerance_mm)
            gain = max(0.0, 1 - after / now) if now > 0 else 0.0
            found.append(Viewpoint(float(yaw), float(pitch), gain, max(0, judged - judged_now)))
    found.sort(key=lambda view: (-view.gain, abs(view.pitch_deg), view.yaw_deg))
    return tuple(found)


def next_views(views: tuple[Viewpoint, ...]) -> tuple[Viewpoint, ...]:
    """The best views, leaving out those beside a better one, and those that tell next to nothing.

    Parameters
    ----------
    views
        As `view_gains`.

    Raises
    ------
    ValueError
        If a gain is not a number: a fault of ours.

    Source
    ------
    Own choice.
    """
    kept: list[Viewpoint] = []
    for view in (view for view in views if view.gain >= LEAST_GAIN):
        near = any(
            abs(view.yaw_deg - k.yaw_deg) <= 15 and abs(view.pitch_deg - k.pitch_deg) <= 30
            for k in kept
        )
        if not near:
            kept.append(view)
    return tuple(kept[:SHOWN])


def unsure(gauge: Gauge, spread: Floats, tolerance_mm: Floats) -> tuple[float, int]:
    """Sum of the landmarks' spreads after alignment, and how many have no blind direction.

    Parameters
    ----------
    gauge
        The person laid on a round.
    spread
        (3l, 3l), mm²: of its landmarks, before alignment.
    tolerance_mm
        (l,).

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    Own choice: each spread counts up to 0.5 mm, beyond which a landmark tells nothing.
    """
    laid = propagated(gauge.onto.jacobian(len(gauge.keys)), spread)
    aligned = propagated(gauge.kept, laid + np.diag(np.repeat(gauge.placing**2, 3)))
    blocks = np.array([aligned[i : i + 3, i : i + 3] for i in range(0, len(aligned), 3)])
    sizes = np.sqrt(np.maximum(np.linalg.eigvalsh(blocks), 0.0))
    return float(np.minimum(sizes, MOST_MM).sum()), int(
        (sizes.max(axis=1) <= tolerance_mm / 2).sum()
    )


def hidden_from(
    gauge: Gauge, surface: tuple[SurfaceMark, ...]
) -> dict[tuple[float, float], Floats]:
    """For each viewpoint (l,): 1 where the mesh hides a landmark, 0 where not, NaN: not known.

    Parameters
    ----------
    gauge, surface
        The person laid on a round, and its landmarks on the round's mesh.

    Raises
    ------
    IndexError
        If a landmark was not tried from every viewpoint: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “Next still”.
    """
    by_key = {mark.key: mark for mark in surface if mark.seen_from}
    found = {}
    for i, at in enumerate(viewpoints()):
        told = [float(not by_key[k].seen_from[i]) if k in by_key else np.nan for k in gauge.keys]
        found[at] = np.array(told)
    return found


def information(
    gauge: Gauge, fit: PersonFit, at: tuple[float, float], hidden: Floats
) -> Floats | None:
    """What a still from a viewpoint would add, its own camera unknown; None if it sees little.

    Parameters
    ----------
    gauge, fit
        The person laid on a round, and its stills, solved.
    at
        Yaw and pitch of the viewpoint, degrees.
    hidden
        (l,), as `hidden_from`.

    Returns
    -------
    (3l, 3l), 1/mm²: to be added to the inverse of the landmarks' covariance.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    docs/topics/likeness.md, “Next still”.
    """
    yaw_deg, pitch_deg = at
    fitted = fit.fitted
    points, outward = fitted.solved.points[gauge.rows], fit.cast.outward[gauge.rows]
    turn = facing(np.radians(yaw_deg), np.radians(pitch_deg)) @ gauge.onto.rotation
    log_scale = float(np.median(fitted.solved.cameras.log_scale))
    one = Cameras(
        fitted.solved.cameras.anchor,
        turn[None],
        np.zeros((1, 2)),
        np.array([log_scale]),
        np.zeros((1, 2)),
        np.zeros(1),
        np.array([log_scale + np.log(DISTANCE_MM)]),
    )
    towards = -(one.rotation[0].T @ one.translation()[0]) - points
    towards /= np.linalg.norm(towards, axis=1, keepdims=True)
    cosine = (towards * outward).sum(axis=1)
    contour = _contours(gauge, fit)
    seen_there = np.where(np.isnan(hidden), cosine > FACES, hidden == 0)
    rows = np.flatnonzero(np.where(contour, np.abs(cosine) < GRAZES, seen_there))
    if len(rows) < 5:
        return None
    seen = Sightings(
        np.zeros(len(rows), np.int64),
        rows,
        np.zeros((len(rows), 2)),
        np.full(len(rows), float(np.median(fitted.problem.sightings.sd_px))),
        _definitions(gauge, fit)[rows],
        contour[rows],
        outward[rows],
        np.full((len(rows), 2), np.nan),
        fitted.problem.sightings.slip_mm,
    )
    noise = fitted.problem.noise
    shown = project(one.only([0] * len(rows)), points[rows])
    factor = np.full(len(rows), float(np.median(noise.pixel)))
    weight = whitened(seen, one, shown, Noise(factor, noise.definition, noise.contour)).whitener
    by_camera = (weight @ shown.by_camera).reshape(-1, shown.by_camera.shape[2])
    by_point = weight @ shown.by_point
    by_place = np.zeros((len(rows), 2, len(points), 3))
    by_place[np.arange(len(rows)), :, rows] = by_point
    flat = by_place.reshape(2 * len(rows), -1)
    believed = camera_prior(_usual_still(fit))
    belief = belief_terms(one, believed.mean, believed.sd)[0][0]
    system = by_camera.T @ by_camera + belief + 1e-12 * np.eye(len(belief))
    mixed = by_camera.T @ flat
    told: Floats = flat.T @ flat - mixed.T @ np.linalg.solve(system, mixed)
    return told


def _usual_still(fit: PersonFit) -> Still:
    """A still that is not there yet: whole, of the middle size of those that are."""
    sizes = [(still.width_px or 1.0, still.height_px or 1.0) for still in fit.cast.stills.values()]
    width, height = np.median(np.array(sizes), axis=0)
    return Still("next", width_px=float(width), height_px=float(height))


def _contours(gauge: Gauge, fit: PersonFit) -> "np.ndarray[tuple[int], np.dtype[np.bool_]]":
    seen = fit.fitted.problem.sightings
    marked = np.bincount(seen.point[seen.contour], minlength=len(fit.cast.places)) > 0
    return marked[gauge.rows]


def _definitions(gauge: Gauge, fit: PersonFit) -> Floats:
    """(l, 3, 3): the definition's covariance of each landmark, that of any where unseen."""
    seen = fit.fitted.problem.sightings
    spread = np.tile(np.median(seen.spread_mm2, axis=0), (len(fit.cast.places), 1, 1))
    spread[seen.point] = seen.spread_mm2
    return spread[gauge.rows]


def planted(gauge: Gauge, marks: tuple[LandmarkAnswer, ...], freedom: float) -> Planted | None:
    """Whether the nose tip moved out by the tolerance would be noticed on the user's own data.

    Parameters
    ----------
    gauge
        The person laid on a round.
    marks
        The round's landmarks, judged.
    freedom
        Degrees of freedom of the noise.

    Returns
    -------
    None where no still sees the nose tip, or another landmark out of the face.

    Raises
    ------
    numpy.linalg.LinAlgError
        If a covariance is not finite: a fault of ours.

    Source
    ------
    Own choice: the landmark is first put where the stills have it, then moved in depth; the
    person is laid on that sculpt again with the same weights. What that takes up of the move is
    not there to be noticed.
    """
    seen = {mark.key: mark for mark in marks if mark.sightings > 0}
    key = next((k for k in (("pronasale", "mid"), *gauge.keys) if k in seen), None)
    if key is None or key not in gauge.keys:
        return None
    i = gauge.keys.index(key)
    moved = seen[key].tolerance_mm
    sculpt = gauge.sculpt_mm.copy()
    sculpt[i] = gauge.person_mm[i] + np.array([0.0, 0.0, moved])
    onto = similarity(gauge.person_mm, sculpt, gauge.weights)
    found = (onto.of(gauge.person_mm) - sculpt)[i, 2]
    spread = float(np.sqrt(gauge.covariance[3 * i + 2, 3 * i + 2]))
    limit = float(stdtrit(freedom, 0.975))
    if spread > UNLOCATED_MM:
        return Planted(*key, seen[key].name, moved, noticed=False, chance=0.0)
    chance = 1 - float(stdtr(freedom, limit - abs(found) / spread))
    return Planted(*key, seen[key].name, moved, bool(abs(found) > limit * spread), chance)
