"""Outlines drawn on stills against the outlines of a sculpt, seen through the solved cameras.

A drawn point is no point of the sculpt: only how far it lies across the sculpt's outline tells of
the surface, at the place of the rim that it is across from. Axis letters: m points of one outline.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from sixwright.line.likeness import OutlinePoint
from sixwright.numerics.cameras import Cameras, project
from sixwright.numerics.mesh.model import Longs
from sixwright.numerics.mesh.rims import Rim
from sixwright.numerics.rotations import Floats
from sixwright.numerics.similarity import Similarity
from sixwright.topics.likeness.person.arrays import DEFAULT_SD_PX
from sixwright.topics.likeness.solve.sightings import Booleans

# Own choices. A drawn outline may lie so far from the sculpt's and still be it, mm at 1:6 (9 mm at
# full size), and run at so much of an angle to it.
FAR_MM, LEAST_ALONG = 1.5, 0.75
ASIDE_MM = (
    0.4  # where the sculpt's outline ends, what is drawn beyond so much is across from nothing
)
JUMP_MM = 0.7  # of a place from the middle of its neighbours: it is across from another outline
AROUND = 3
LEAST_SHARE = 0.5  # of an outline that must be across from the sculpt's


@dataclass(frozen=True, slots=True)
class DrawnOutline:
    """One outline drawn on a still, in the order in which it was drawn.

    Attributes
    ----------
    still, outline
        Ids.
    place_px
        (m, 2), of the image before it was mirrored.
    sd_px
        (m,): how sure each point is.
    """

    still: str
    outline: str
    place_px: Floats
    sd_px: Floats

    def along(self) -> Floats:
        """(m, 2): unit vectors along it."""
        way = np.gradient(self.place_px, axis=0)
        unit: Floats = way / np.maximum(np.linalg.norm(way, axis=1), 1e-9)[:, None]
        return unit


@dataclass(frozen=True, slots=True)
class Across:
    """A drawn outline across from the sculpt's; every array has a row for each point that is.

    Attributes
    ----------
    drawn
        What was drawn.
    still
        Row of the still's camera.
    rows
        (m,): the points of `drawn` that are across from something.
    place_mm
        (m, 3): places of the sculpt's rim, sculpt frame of the round.
    normal
        (m, 3): unit vectors out of the surface there.
    radius_mm
        (m,): how round the surface is there, towards the eye.
    foot_px, out_px
        (m, 2): where the sculpt's outline is, and the unit vector out of it.
    px_a_mm
        (m,): pixels of the outline's move for a mm of the surface's along its normal.
    off_px
        (m,): how far out the drawn point lies.
    at_mm
        (m,): how far along the outline, mm at 1:6.
    """

    drawn: DrawnOutline
    still: int
    rows: Longs
    place_mm: Floats
    normal: Floats
    radius_mm: Floats
    foot_px: Floats
    out_px: Floats
    px_a_mm: Floats
    off_px: Floats
    at_mm: Floats

    @property
    def off_mm(self) -> Floats:
        """(m,): how far out of the sculpt the person is, mm at 1:6."""
        return self.off_px / self.px_a_mm

    @property
    def sd_px(self) -> Floats:
        """(m,): how sure each drawn point is."""
        return self.drawn.sd_px[self.rows]

    def only(self, kept: Booleans) -> "Across":
        """Some of the points."""
        return Across(
            self.drawn,
            self.still,
            self.rows[kept],
            self.place_mm[kept],
            self.normal[kept],
            self.radius_mm[kept],
            self.foot_px[kept],
            self.out_px[kept],
            self.px_a_mm[kept],
            self.off_px[kept],
            self.at_mm[kept],
        )


def drawn_on(
    still: str, points: Iterable[OutlinePoint], mirrored_width: float | None
) -> list[DrawnOutline]:
    """The outlines drawn on a still, by their ids; those of one point are none.

    Parameters
    ----------
    still
        Its id.
    points
        Rows of any stills.
    mirrored_width
        Width of an image that is mirrored; None where it is not.
    """
    by_id: dict[str, list[OutlinePoint]] = {}
    for point in points:
        if point.still == still and np.isfinite(point.place_px).all():
            by_id.setdefault(point.outline, []).append(point)
    found = []
    for id_, rows in sorted(by_id.items()):
        rows.sort(key=lambda row: row.point)
        place = np.array([row.place_px for row in rows], np.float64)
        if mirrored_width is not None:
            place[:, 0] = mirrored_width - 1 - place[:, 0]
        sd = np.array([row.sd_px or DEFAULT_SD_PX for row in rows])
        if len(rows) >= 2:
            found.append(DrawnOutline(still, id_, place, sd))
    return found


@dataclass(frozen=True, slots=True)
class Shown:
    """A rim as a camera shows it.

    Attributes
    ----------
    rim
        In the frame of the round.
    place_px, out_px
        (p, 2): where its places fall, and which way is out.
    px_a_mm
        (p,): pixels for a mm out of the surface.
    """

    rim: Rim
    place_px: Floats
    out_px: Floats
    px_a_mm: Floats


def shown_rim(rim: Rim, camera: Cameras, onto: Similarity) -> Shown:
    """A rim through a camera.

    Parameters
    ----------
    rim
        In the frame of a round.
    camera
        One, in the person's frame.
    onto
        From the person's frame to the round's.

    Raises
    ------
    ValueError
        If there is more than one camera.

    Source
    ------
    A surface that moves by d moves its outline by v B d along the outline's normal v, B being the
    projection's derivative at the rim (cipolla-giblin-2000, 4.2): sliding along the surface moves
    it by nothing, to first order.
    """
    count = len(rim.places)
    place = project(camera.only(np.zeros(count, np.int64)), onto.back(rim.places))
    by_place = place.by_point @ onto.rotation.T / onto.scale
    square = by_place @ by_place.transpose(0, 2, 1)
    out = np.linalg.solve(square, (by_place @ rim.normals[:, :, None]))[:, :, 0]
    out = _unit(np.asarray(out, np.float64))
    a_mm = np.linalg.norm(np.einsum("ni,nij->nj", out, by_place), axis=1)
    return Shown(rim, place.place_px, out, a_mm)


def across(drawn: DrawnOutline, shown: Shown, still: int) -> Across | None:
    """What of a drawn outline is across from the sculpt's.

    Parameters
    ----------
    drawn, shown
        A drawn outline, and the sculpt's rim through the camera of its still.
    still
        Row of that camera.

    Returns
    -------
    None where less than half of it is.

    Raises
    ------
    ValueError
        If the shapes disagree.

    Source
    ------
    Own choice: the nearest place of the rim that runs alike; places that leave the middle of their
    neighbours are across from another outline, and left out.
    """
    segments = shown.rim.segments
    if not len(segments):
        return None
    first, second = shown.place_px[segments[:, 0]], shown.place_px[segments[:, 1]]
    way = second - first
    length = np.maximum((way * way).sum(axis=1), 1e-12)
    share = np.clip(((drawn.place_px[:, None] - first) * way).sum(axis=2) / length, 0.0, 1.0)
    away = drawn.place_px[:, None] - first - share[..., None] * way
    distance = np.linalg.norm(away, axis=2)
    out = _unit(shown.out_px[segments].mean(axis=1))
    turned = np.abs(drawn.along()[:, None, 0] * out[:, 1] - drawn.along()[:, None, 1] * out[:, 0])
    a_mm = shown.px_a_mm[segments].mean(axis=1)
    able = (turned >= LEAST_ALONG) & (distance <= FAR_MM * a_mm)
    best = np.where(able, distance, np.inf).argmin(axis=1).astype(np.int64)
    rows = np.flatnonzero(able[np.arange(len(best)), best]).astype(np.int64)
    if not len(rows):
        return None
    found = _placed(drawn, shown, still, _Feet(rows, best[rows], share[rows, best[rows]]))
    found = found.only(_beside(found) & _together(found))
    return found if len(found.rows) >= max(LEAST_SHARE * len(drawn.place_px), 2) else None


@dataclass(frozen=True, slots=True)
class _Feet:
    """Points of an outline (m,), the segment that each is across from, and how far along it."""

    rows: Longs
    segment: Longs
    share: Floats


def _placed(drawn: DrawnOutline, shown: Shown, still: int, feet: _Feet) -> Across:
    ends = shown.rim.segments[feet.segment]

    def at(values: Floats) -> Floats:
        one, other = values[ends[:, 0]], values[ends[:, 1]]
        part = feet.share if values.ndim == 1 else feet.share[:, None]
        mixed: Floats = one + part * (other - one)
        return mixed

    foot, out, a_mm = at(shown.place_px), _unit(at(shown.out_px)), at(shown.px_a_mm)
    steps = np.linalg.norm(np.diff(drawn.place_px, axis=0), axis=1)
    along = np.concatenate([[0.0], np.cumsum(steps)])
    return Across(
        drawn,
        still,
        feet.rows,
        at(shown.rim.places),
        _unit(at(shown.rim.normals)),
        at(shown.rim.radius),
        foot,
        out,
        a_mm,
        ((drawn.place_px[feet.rows] - foot) * out).sum(axis=1),
        along[feet.rows] / float(np.median(a_mm)),
    )


def _unit(vectors: Floats) -> Floats:
    unit: Floats = vectors / np.maximum(np.linalg.norm(vectors, axis=1), 1e-12)[:, None]
    return unit


def _beside(found: Across) -> Booleans:
    """(m,): whether a point lies across from its place, and not beyond the end of an outline."""
    away = found.drawn.place_px[found.rows] - found.foot_px
    aside = np.abs(away[:, 0] * found.out_px[:, 1] - away[:, 1] * found.out_px[:, 0])
    near: Booleans = aside <= ASIDE_MM * found.px_a_mm
    return near


def _together(found: Across) -> Booleans:
    """(m,): whether a point is as far off as its neighbours, to what may be on one outline."""
    off = found.off_mm
    padded = np.pad(off, AROUND, mode="edge")
    middle = np.median(np.lib.stride_tricks.sliding_window_view(padded, 2 * AROUND + 1), axis=1)
    near: Booleans = np.abs(off - middle) <= JUMP_MM
    return near
