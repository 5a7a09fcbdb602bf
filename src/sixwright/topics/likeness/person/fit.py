"""What solving a person's stills gave, and the still that does not fit into it."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from sixwright.line.likeness import Key, Sighting, Term
from sixwright.numerics.cameras import places_px
from sixwright.topics.likeness.model import Flaw
from sixwright.topics.likeness.person.arrays import DEFAULT_SD_PX, LEAST_SIGHTINGS, Cast, is_contour
from sixwright.topics.likeness.person.cameras import camera_prior
from sixwright.topics.likeness.solve.outliers import ScreenedFit
from sixwright.topics.likeness.solve.resection import StillPoints, resections, unmirrored
from sixwright.topics.likeness.solve.sightings import Booleans
from sixwright.topics.likeness.solve.slant import Slants
from sixwright.topics.likeness.solve.spread import Fitted

UNFIT_SHARE = 0.5
# A still is tried with left and right changed where so many of its sightings are wrong.
LEAST_ODD, SWAPPED_BETTER, PERSON_SLACK_MM = 3, 50.0, 0.1
SLANTED = 1e-5  # chance below which a slant of one still is believed; own choice
ALIKE = 1e-3
OTHER_SIDE = {"left": "right", "right": "left"}


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
    flipped
        Whether most stills fit the sculpts only mirrored: then the sculpts may be the mirror
        image, and no still is blamed.
    bent
        Whether the stills together look photographed off a picture at a slant.
    outliers
        Still left out for them: its sightings that were found wrong.
    """

    cast: Cast
    stills: tuple[str, ...]
    rows: tuple[Sighting, ...]
    kept: Booleans
    sorted_out: ScreenedFit
    mirrored: Mapping[str, bool]
    flaws: Mapping[str, tuple[Flaw, ...]]
    dropped: Mapping[str, str]
    flipped: bool = False
    bent: bool = False
    outliers: Mapping[str, tuple[Key, ...]] = field(default_factory=dict)

    @property
    def turned(self) -> list[str]:
        """The stills that fit the other way round than their rows say."""
        return [id_ for id_ in self.stills
                if self.mirrored[id_] != bool(self.cast.stills[id_].mirrored)]  # fmt: skip

    def rejected(self, still: str) -> tuple[Key, ...]:
        """The landmarks whose sightings in a still were found wrong."""
        return self.outliers.get(still) or tuple(
            (row.landmark, row.side)
            for row, kept in zip(self.rows, self.kept, strict=True)
            if row.still == still and not kept
        )

    @property
    def off_share(self) -> float:
        """How far the middle sighting lies from what was found, over how far sightings spread."""
        solved, seen = self.fitted.solved, self.fitted.problem.sightings
        shown, _ = places_px(solved.cameras.only(seen.still), solved.points[seen.point])
        off = np.linalg.norm(shown - seen.place_px, axis=1)
        for still in np.unique(seen.still):
            mine = seen.still == still
            away = seen.place_px[mine] - np.median(seen.place_px[mine], axis=0)
            off[mine] /= np.median(np.linalg.norm(away, axis=1)) + 1e-9
        return float(np.median(off))

    @property
    def fitted(self) -> Fitted:
        """The solution without wrong sightings."""
        return self.sorted_out.fitted


def slanted_still(solved: PersonFit, chances: Slants) -> tuple[str, str] | None:
    """The still that looks most like a picture of a picture, taken at a slant, and that.

    None where all look slanted or squeezed alike: then no still is to blame.
    """
    k = int(chances.each.argmin())
    sure = chances.each[k] < SLANTED / len(solved.stills) and chances.common > ALIKE
    return (solved.stills[k], "slant") if sure else None


def unfit_still(cast: Cast, solved: PersonFit) -> tuple[str, str] | None:
    """The still most of whose sightings fit nothing, and that."""
    worst, share = None, UNFIT_SHARE
    for still in cast.stills:
        flags = [kept for row, kept in zip(solved.rows, solved.kept, strict=True)
                 if row.still == still]  # fmt: skip
        lost = 1 - sum(flags) / len(flags)
        if lost >= share and len(flags) - sum(flags) >= 3:
            worst, share = (still, "unfit"), lost
    return worst


def robbed_still(solved: PersonFit, terms: Mapping[str, Term]) -> tuple[str, str] | None:
    """The still to which its wrong sightings leave too few to find its camera, and that.

    So it counts as it would if they had not been marked.
    """
    left = dict.fromkeys(solved.stills, 0)
    for row, kept in zip(solved.rows, solved.kept, strict=True):
        left[row.still] += bool(kept) and not is_contour(row, terms)
    still = min(left, key=left.__getitem__)
    return (still, "robbed") if left[still] < LEAST_SIGHTINGS else None


def swapped_still(solved: PersonFit, terms: Mapping[str, Term]) -> tuple[str, str] | None:
    """The still that fits the person with left and right marked the other way round.

    “swapped” where it fits so mirrored, against what its row says; else “sides”.

    Only what is not symmetrical can tell: so against the person's places, which the other stills
    decide, and not against the sculpt's.
    """
    worst, most = None, 0.0
    for k, id_ in enumerate(solved.stills):
        mine = [(row, kept) for row, kept in zip(solved.rows, solved.kept, strict=True)
                if row.still == id_]  # fmt: skip
        if sum(not kept for _, kept in mine) < LEAST_ODD:
            continue
        rows = [row for row, _ in mine if not is_contour(row, terms)]
        plain, other = (_fits_person(solved, k, rows, terms, swap=swap) for swap in (False, True))
        if plain - other > max(most, SWAPPED_BETTER):
            turned = solved.mirrored[id_] == bool(solved.cast.stills[id_].mirrored)
            worst, most = (id_, "swapped" if turned else "sides"), plain - other
    return worst


def _fits_person(
    solved: PersonFit, k: int, rows: list[Sighting], terms: Mapping[str, Term], *, swap: bool
) -> float:
    """Robust cost of a still against the person's own places, as it was read or swapped."""
    cast, still = solved.cast, solved.cast.stills[solved.stills[k]]
    sides = OTHER_SIDE if swap else {}
    named = [replace(row, side=sides.get(row.side, row.side)) for row in rows]
    at = [cast.place_of(row, terms) for row in named]
    if None in at:
        return float("inf")
    turn = solved.mirrored[still.id] != swap
    place = np.array([row.place_px for row in rows], float)
    width = still.width_px or 1.0
    points = solved.fitted.solved.points[[i or 0 for i in at]]
    seen = StillPoints(
        unmirrored(place, width) if turn else place,
        width,
        np.array([row.sd_px or DEFAULT_SD_PX for row in rows]),
        points,
        cast.outward[[i or 0 for i in at]],
        np.full(len(rows), PERSON_SLACK_MM),
    )
    anchor = solved.fitted.solved.cameras.anchor
    return resections(seen, camera_prior(still), anchor)[0].cost
