"""How each still was taken: as its row says, mirrored, or with another squeeze."""

from dataclasses import dataclass

import numpy as np

from sixwright.line.likeness import Still
from sixwright.numerics.cameras import DISTANCE, SQUEEZE, UNKNOWNS, Cameras
from sixwright.topics.likeness.model import Flaw, Inputs
from sixwright.topics.likeness.person.arrays import (
    DEFAULT_SD_PX,
    FULL_SIZE,
    Cast,
    is_contour,
    terms_of,
)
from sixwright.topics.likeness.solve.resection import (
    CameraPrior,
    Resected,
    StillPoints,
    joined,
    resections,
)

# Own choices (docs/topics/likeness.md, “What is believed beforehand”).
DISTANCE_MM, DISTANCE_SD_LOG = 1800 / FULL_SIZE, 0.8
CENTRE_SHARE, CENTRE_SHARE_CROPPED = 0.015, 0.5
PINNED_SQUEEZE = 1e-3
SCULPT_SLACK_MM, CONTOUR_SLACK_MM = 0.4, 1.2
BETTER = 25.0  # fall of a squared distance at which another way of taking a still is believed


@dataclass(frozen=True, slots=True)
class StillCameras:
    """How each still is taken to have been taken: cameras to start from, flaws found so far."""

    cameras: Cameras
    mirrored: dict[str, bool]
    squeezed: set[str]
    flaws: dict[str, list[Flaw]]

    def turned(self, cast: Cast) -> list[str]:
        """The stills that fit the other way round than their rows say."""
        return [id_ for id_, still in cast.stills.items()
                if self.mirrored[id_] != bool(still.mirrored)]  # fmt: skip


def camera_prior(still: Still) -> CameraPrior:
    """What is believed of a still's camera, its lens data aside."""
    width, height = still.width_px or 1.0, still.height_px or 1.0
    side = max(width, height)
    mean, sd = np.zeros(UNKNOWNS), np.full(UNKNOWNS, np.inf)
    left, top, right, bottom = still.bars_px
    mean[6:8] = (width - 1 + left - right) / 2, (height - 1 + top - bottom) / 2
    sd[6:8] = side * (CENTRE_SHARE_CROPPED if still.cropped else CENTRE_SHARE)
    mean[SQUEEZE], sd[SQUEEZE] = np.log(still.squeeze), PINNED_SQUEEZE
    mean[DISTANCE], sd[DISTANCE] = np.log(DISTANCE_MM), DISTANCE_SD_LOG
    return CameraPrior(mean, sd)


def cameras_of_stills(inputs: Inputs, cast: Cast) -> StillCameras:
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
        seen = StillPoints(
            np.array([s.place_px for s in rows], float),
            still.width_px or 1.0,
            np.array([s.sd_px or DEFAULT_SD_PX for s in rows]),
            cast.start[at],
            cast.outward[at],
            np.where(contour, CONTOUR_SLACK_MM, SCULPT_SLACK_MM),
        )
        chosen, found = _chosen(still, resections(seen, camera_prior(still), anchor))
        mirrored[still.id] = chosen.mirrored
        flaws[still.id] = found
        if chosen.squeezed:
            squeezed.add(still.id)
        cameras.append(chosen.camera)
    return StillCameras(joined(cameras), mirrored, squeezed, flaws)


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
