"""Which still is marked next: by the detail that it holds, and by what its side would tell."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import asin, atan2, degrees

from sixwright.line.likeness import Still
from sixwright.project.model import Project
from sixwright.topics.likeness.further.model import Viewpoint
from sixwright.topics.likeness.model import Answer, RoundAnswer, StillAnswer
from sixwright.workflows.marking import counted, is_exhausted, to_mark

ENOUGH = 12  # landmarks on a still: own choice
SIDE_KNOWN = 6  # from so many it is known from which side a still was taken


@dataclass(frozen=True, slots=True)
class RankedStill:
    """A still, and what speaks for marking it.

    Attributes
    ----------
    seen
        Landmarks that are marked as seen on it.
    exhausted
        Whether every landmark that lies on a sculpt of its person is marked, hidden or unsure.
    blur_px, detail_px
        The blur of its sharpest part, and how many such blurs its shorter side is; None where
        the picture was not opened, or is flat.
    side
        From where it was taken, and by how much a further still from there would cut what is
        uncertain; None while that is not known.
    """

    still: Still
    seen: int
    exhausted: bool = False
    blur_px: float | None = None
    detail_px: float | None = None
    side: Viewpoint | None = None

    @property
    def is_done(self) -> bool:
        """Whether enough is marked on it, or all that it can tell of the sculpt."""
        return self.seen >= ENOUGH or self.exhausted


def ranked_stills(project: Project, heads: Answer | None) -> tuple[RankedStill, ...]:
    """Every still, the one to mark next first; those with enough marks last.

    Parameters
    ----------
    heads
        What is known of the heads; None while it is being worked out.
    """
    sides = {} if heads is None else _sides(heads)
    found = [_ranked(project, still, sides) for still in project.stills.values()]
    return tuple(sorted(found, key=_order))


def _order(one: RankedStill) -> tuple[bool, bool, float]:
    """What its side tells first, where that is known; else what detail it holds."""
    worth = one.side.gain if one.side is not None else one.detail_px or 0.0
    return one.is_done, one.side is None, -worth


def _ranked(project: Project, still: Still, sides: Mapping[str, Viewpoint]) -> RankedStill:
    marks = to_mark(project, still.id)
    seen, _ = counted(marks)
    picture = project.pictures.get(still.file or "")
    blur = None if picture is None else picture.blur_px
    left, top, right, bottom = still.bars_px
    wide, high = (still.width_px or 0) - left - right, (still.height_px or 0) - top - bottom
    detail = None if blur is None or min(wide, high) <= 0 else min(wide, high) / blur
    side = sides.get(still.id) if seen >= SIDE_KNOWN else None
    return RankedStill(still, seen, is_exhausted(project, still.id, marks), blur, detail, side)


def _sides(heads: Answer) -> dict[str, Viewpoint]:
    """From where each solved still was taken, with what a further one from there would tell."""
    found: dict[str, Viewpoint] = {}
    for one in heads.rounds:
        if one.latest and one.gains:
            found |= {s.id: view for s in one.stills if (view := _view(one, s)) is not None}
    return found


def _view(one: RoundAnswer, still: StillAnswer) -> Viewpoint | None:
    """The viewpoint, of those that were tried, that lies nearest to where a still was taken."""
    if still.rotation is None:
        return None
    x, y, z = (-value for value in still.rotation[2])
    yaw, pitch = degrees(atan2(x, z)), degrees(asin(max(-1.0, min(1.0, y))))

    def away(view: Viewpoint) -> float:
        return abs((view.yaw_deg - yaw + 180) % 360 - 180) + abs(view.pitch_deg - pitch)

    return min(one.gains, key=away)
