"""The camera of one still from known points: many starts at once, robust, depths positive."""

from dataclasses import dataclass, replace

import numpy as np

from sixwright.numerics.cameras import (
    DISTANCE,
    NEAREST,
    SQUEEZE,
    Cameras,
    belief_cost,
    belief_terms,
    places_px,
    project,
)
from sixwright.numerics.rotations import Floats, facing
from sixwright.topics.likeness.solve.sightings import Booleans

STEPS = 40
BOUND = 4.0  # standard deviations at which a sighting begins to lose its pull
BEHIND = 9.0  # cost of a sighting that the head itself would hide; own choice
HIDDEN = -0.25  # cosine below which a place faces away for certain
YAWS_DEG = (-80.0, -40.0, 0.0, 40.0, 80.0)
RIDGE = 1e-9
LOOSE_SQUEEZE = 0.35  # spread of log squeeze where it is looked for; own choice


@dataclass(frozen=True, slots=True)
class StillPoints:
    """What one still shows of points that are known.

    Attributes
    ----------
    place_px
        (n, 2), as the still shows them.
    width_px
        Of the still: a mirrored one shows x at width - 1 - x.
    sd_px
        (n,).
    points, outward
        (n, 3), mm, and unit normals.
    slack_mm
        (n,): how far a point may be from where it is taken to be.
    """

    place_px: Floats
    width_px: float
    sd_px: Floats
    points: Floats
    outward: Floats
    slack_mm: Floats


@dataclass(frozen=True, slots=True)
class CameraPrior:
    """Beliefs about one still's camera: (10,) means and spreads, as in `belief_terms`."""

    mean: Floats
    sd: Floats


@dataclass(frozen=True, slots=True)
class Resected:
    """One way in which a still may have been taken.

    Attributes
    ----------
    camera
        One camera.
    mirrored, squeezed
        Whether the still was turned left for right, and whether its squeeze was looked for.
    cost
        Robust sum of squares, what faces away included.
    residual_px
        (n,): distance of each sighting from where the camera shows it.
    hidden
        (n,): whether the head itself would hide the place.
    """

    camera: Cameras
    mirrored: bool
    squeezed: bool
    cost: float
    residual_px: Floats
    hidden: Booleans

    def typical_px(self) -> float:
        """The median distance, px: what most sightings are off."""
        return float(np.median(self.residual_px))


def unmirrored(place_px: Floats, width_px: float) -> Floats:
    """Places of a mirrored still as they were before mirroring, and the reverse."""
    return np.column_stack([width_px - 1 - place_px[:, 0], place_px[:, 1]])


def resections(seen: StillPoints, belief: CameraPrior, anchor: Floats) -> tuple[Resected, ...]:
    """The best camera under each way a still may have been taken.

    Parameters
    ----------
    seen
        Four sightings or more.
    belief
        About offset, centre, squeeze, focal length.
    anchor
        (3,), mm, inside the head.

    Returns
    -------
    As it is, mirrored, and each with its squeeze looked for.

    Raises
    ------
    ValueError
        If there is no sighting.

    Source
    ------
    Levenberg-Marquardt from five yaws, all at once; the five are own choice, tested on random
    scenes. A near-frontal, distant camera has two poses, and a mirrored still fits a camera
    behind the head: so what the head would hide counts against a camera.
    """
    if len(seen.place_px) == 0:
        raise ValueError("seen must hold sightings (count); received 0.")
    ways = [(mirrored, squeezed) for mirrored in (False, True) for squeezed in (False, True)]
    turned = unmirrored(seen.place_px, seen.width_px)
    starts, places, spreads = [], [], []
    for mirrored, squeezed in ways:
        place = turned if mirrored else seen.place_px
        starts.append(_starts(replace(seen, place_px=place), belief, anchor))
        places += [place] * len(YAWS_DEG)
        spreads += [_loosened(belief).sd if squeezed else belief.sd] * len(YAWS_DEG)
    trial = _Trial(seen, np.array(places), belief.mean, np.array(spreads))
    cameras, costs = _refine(trial, joined(starts))
    found = []
    for turn, (mirrored, squeezed) in enumerate(ways):
        rows = np.arange(turn * len(YAWS_DEG), (turn + 1) * len(YAWS_DEG))
        best = rows[int(np.argmin(costs[rows]))]
        camera, at = cameras.only([best]), places[best]
        shown, _ = places_px(camera.only([0] * len(at)), seen.points)
        found.append(
            Resected(
                camera,
                mirrored,
                squeezed,
                float(costs[best]),
                np.linalg.norm(shown - at, axis=1),
                _hidden(seen, camera)[0],
            )
        )
    return tuple(found)


def joined(cameras: list[Cameras]) -> Cameras:
    """Several cameras of one anchor as one table."""
    return Cameras(
        cameras[0].anchor,
        np.concatenate([c.rotation for c in cameras]),
        np.concatenate([c.offset_px for c in cameras]),
        np.concatenate([c.log_scale for c in cameras]),
        np.concatenate([c.centre_px for c in cameras]),
        np.concatenate([c.log_squeeze for c in cameras]),
        np.concatenate([c.log_focal for c in cameras]),
    )


@dataclass(frozen=True, slots=True)
class _Trial:
    """One still under b ways of having been taken: (b, n, 2) places, (b, 10) spreads."""

    seen: StillPoints
    place_px: Floats
    mean: Floats
    sd: Floats


def _loosened(belief: CameraPrior) -> CameraPrior:
    sd = belief.sd.copy()
    sd[SQUEEZE] = LOOSE_SQUEEZE
    return CameraPrior(belief.mean, sd)


def _starts(seen: StillPoints, belief: CameraPrior, anchor: Floats) -> Cameras:
    """A camera a yaw, with scale and offset from the middle of what is seen."""
    rotation = facing(np.radians(YAWS_DEG), np.zeros(len(YAWS_DEG)))
    flat = np.einsum("bij,nj->bni", rotation, seen.points - anchor)[:, :, :2]
    middle, image_middle = np.median(flat, axis=1), np.median(seen.place_px, axis=0)
    size = np.sqrt(((flat - middle[:, None]) ** 2).sum(axis=2).mean(axis=1))
    spread = ((seen.place_px - image_middle) ** 2).sum(axis=1)
    image_size = float(np.sqrt((np.median(spread) + spread.mean()) / 2))
    scale = max(image_size, 1.0) / np.maximum(size, 1e-3)
    count = len(YAWS_DEG)
    away = np.linalg.norm(seen.points - anchor, axis=1).max()
    distance = max(float(belief.mean[DISTANCE]), float(np.log(3 * away + 1e-6)))
    centre = np.tile(belief.mean[6:8], (count, 1))
    return Cameras(
        anchor,
        rotation,
        image_middle - centre - scale[:, None] * middle,
        np.log(scale),
        centre,
        np.full(count, belief.mean[SQUEEZE]),
        np.log(scale) + distance,
    )


def _refine(trial: _Trial, starts: Cameras) -> tuple[Cameras, Floats]:
    """Cameras after damped steps, side by side, and the cost of each."""
    cameras, seen = starts, trial.seen
    count, n = trial.place_px.shape[:2]
    rows, points = np.repeat(np.arange(count), n), np.tile(seen.points, (count, 1))
    diagonal = np.arange(trial.sd.shape[1])
    damping, bound = np.full(count, 1e-2), 4 * BOUND
    cost = _costs(trial, cameras, bound)
    for turn in range(STEPS):
        if turn in {8, 16}:
            bound /= 2  # let wrong sightings go by and by
            cost = _costs(trial, cameras, bound)
        shown = project(cameras.only(rows), points)
        spread = _spread_px(seen, cameras)
        off = trial.place_px - shown.place_px.reshape(count, n, 2)
        weight = 1 / (spread * (1 + (off**2).sum(axis=2) / (spread * bound) ** 2))
        jacobian = (shown.by_camera.reshape(count, n, 2, -1) * weight[:, :, None, None]).reshape(
            count, 2 * n, -1
        )
        turned = jacobian.transpose(0, 2, 1)
        system = turned @ jacobian
        side = turned @ (off * weight[:, :, None]).reshape(count, 2 * n, 1)
        slope, believed = belief_terms(cameras, trial.mean, trial.sd)
        system += slope
        side = side[:, :, 0] + believed
        system[:, diagonal, diagonal] *= 1 + damping[:, None]
        system[:, diagonal, diagonal] += RIDGE  # sightings all in one place decide nothing
        moved = cameras.stepped(np.linalg.solve(system, side[:, :, None])[:, :, 0])
        moved_cost = _costs(trial, moved, bound)
        better = moved_cost < cost
        cameras = _chosen(better, moved, cameras)
        damping = np.clip(np.where(better, damping / 6, damping * 6), 1e-9, 1e9)
        settled = ~better | (moved_cost > cost - 1e-4)
        cost = np.where(better, moved_cost, cost)
        if turn > 18 and settled.all():
            break
    return cameras, cost + BEHIND * _hidden(seen, cameras).sum(axis=1)


def _chosen(better: Booleans, new: Cameras, old: Cameras) -> Cameras:
    def pick(one: Floats, other: Floats) -> Floats:
        shape = (-1,) + (1,) * (one.ndim - 1)
        return np.where(better.reshape(shape), one, other)

    return Cameras(
        old.anchor,
        pick(new.rotation, old.rotation),
        pick(new.offset_px, old.offset_px),
        pick(new.log_scale, old.log_scale),
        pick(new.centre_px, old.centre_px),
        pick(new.log_squeeze, old.log_squeeze),
        pick(new.log_focal, old.log_focal),
    )


def _spread_px(seen: StillPoints, cameras: Cameras) -> Floats:
    """(b, n): how far a sighting may be from where a right camera shows its point."""
    scale = np.exp(np.clip(cameras.log_scale, -7, 7))
    spread: Floats = np.sqrt(seen.sd_px**2 + (scale[:, None] * seen.slack_mm) ** 2)
    return spread


def _costs(trial: _Trial, cameras: Cameras, bound: float) -> Floats:
    """(b,): robust sum of squares and beliefs; infinite where a point is not before its camera."""
    count, n = trial.place_px.shape[:2]
    rows = np.repeat(np.arange(count), n)
    with np.errstate(all="ignore"):
        place, depth = places_px(cameras.only(rows), np.tile(trial.seen.points, (count, 1)))
        off = place.reshape(count, n, 2) - trial.place_px
        spread = _spread_px(trial.seen, cameras)
        squared = (off**2).sum(axis=2) / spread**2
        robust = (squared / (1 + squared / bound**2) + 2 * np.log(spread)).sum(axis=1)
        total = robust + belief_cost(cameras, trial.mean, trial.sd)
    right = (depth.reshape(count, n) > NEAREST).all(axis=1) & np.isfinite(total)
    chosen: Floats = np.where(right, total, np.inf)
    return chosen


def _hidden(seen: StillPoints, cameras: Cameras) -> Booleans:
    """(b, n): whether the head itself would hide each place."""
    back = -np.einsum("bij,bi->bj", cameras.rotation, cameras.translation())
    towards = back[:, None, :] - seen.points
    towards = towards / np.linalg.norm(towards, axis=2, keepdims=True)
    away: Booleans = np.einsum("bnj,nj->bn", towards, seen.outward) < HIDDEN
    return away
