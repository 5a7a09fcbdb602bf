"""Which pictures there are of the heads that have a mesh."""

from collections.abc import Iterator
from math import atan2, degrees

from sixwright.kernel.intervals import Verdict
from sixwright.line.shots import (
    Camera,
    Matrix,
    Placed,
    Shot,
    ShotSighting,
    ThroughStill,
    Trace,
    TwelveSides,
    UnseenSide,
)
from sixwright.topics.likeness.model import Answer, Inputs, LandmarkAnswer, RoundAnswer, StillAnswer
from sixwright.topics.likeness.outlines.model import OutlineAnswer
from sixwright.topics.likeness.sculpt_files import ref_of

TO_MOVE = frozenset({Verdict.FAILS, Verdict.DOUBTFUL})


def shots(inputs: Inputs, answer: Answer) -> dict[str, tuple[Shot, ...]]:
    """Pictures of each latest round whose file was read: twelve sides, then still by still.

    Parameters
    ----------
    inputs, answer
        The nouns and what was computed of them.

    Returns
    -------
    dict
        By round; stills of the sculpt's own expression first.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.
    """
    read = {file.round: file.sha256 for file in answer.files if file.sha256}
    return {
        one.round: (
            TwelveSides(one.round, ref_of(inputs.rounds[one.round]), read[one.round]),
            *_through(inputs, one, read[one.round]),
        )
        for one in answer.rounds
        if one.latest and one.round in read
    }


def unseen_side(inputs: Inputs, answer: Answer, round_: str) -> UnseenSide | None:
    """A latest round from the side, at the height of the eyes, that lies farthest from all stills.

    None where its file was not read, or no still's camera is known.

    Raises
    ------
    KeyError
        If there is no such round.

    Source
    ------
    Own choice: from ear to ear, every 15 degrees; of two as far apart the one more to the side.
    """
    one = next(each for each in answer.rounds if each.round == round_)
    read = {file.round: file.sha256 for file in answer.files if file.sha256}
    taken = [yaw_deg(still.rotation) for still in one.stills if still.used and still.rotation]
    if round_ not in read or not taken:
        return None
    apart = {float(yaw): min(_apart(yaw, other) for other in taken) for yaw in range(-90, 91, 15)}
    yaw = max(apart, key=lambda each: (round(apart[each]), abs(each)))
    ref = ref_of(inputs.rounds[round_])
    return UnseenSide(round_, ref, read[round_], yaw, apart[yaw], moves_of(one))


def yaw_deg(rotation: Matrix) -> float:
    """How far to the figure's left a camera stands, degrees."""
    return degrees(atan2(-rotation[2][0], -rotation[2][2]))


def _apart(one: float, other: float) -> float:
    return abs((one - other + 180) % 360 - 180)


def moves_of(one: RoundAnswer) -> tuple[Placed, ...]:
    """The landmarks of a round that have a place, and what to add to them."""
    return tuple(_placed(mark) for mark in one.landmarks if mark.place_mm is not None)


def _through(inputs: Inputs, one: RoundAnswer, sha256: str) -> Iterator[Shot]:
    ref = ref_of(inputs.rounds[one.round])
    landmarks = moves_of(one)
    for still in sorted(one.stills, key=lambda still: _worth(inputs, one, still)):
        camera, file = camera_of(inputs, still), inputs.stills[still.id].file
        if camera is not None and file:
            seen = _sightings(inputs, still)
            traces = tuple(
                _trace(line) for line in one.outlines if line.still == still.id and line.places
            )
            yield ThroughStill(
                one.round, still.id, ref, sha256, file, camera, seen, landmarks, traces
            )  # fmt: skip


def _worth(
    inputs: Inputs, one: RoundAnswer, still: StillAnswer
) -> tuple[bool, bool, int, float, str]:
    """Least of the still to show first: its own expression, most marks kept, then most detail."""
    row = inputs.stills[still.id]
    picture = inputs.pictures.get(row.file or "")
    blur = None if picture is None else picture.blur_px
    detail = min(row.width_px or 0, row.height_px or 0) / blur if blur else 0.0
    kept = still.sightings - len(still.rejected)
    return row.expression != one.expression, not still.used, -kept, -detail, still.id


def _trace(line: OutlineAnswer) -> Trace:
    worst = line.worst if line.verdict is Verdict.FAILS else None
    wrong = tuple(
        worst is not None and worst.start_mm <= place.at_mm <= worst.end_mm for place in line.places
    )
    return Trace(
        tuple(place.drawn_px for place in line.places),
        tuple(place.sculpt_px for place in line.places),
        wrong,
        None if worst is None else float(worst.off_mm.value) * (1 if worst.out else -1),
        None if worst is None else worst.middle_px,
    )


def _placed(mark: LandmarkAnswer) -> Placed:
    asks = mark.verdict in TO_MOVE and not mark.blind
    return Placed(
        mark.place_mm or (0.0, 0.0, 0.0),
        mark.correction_mm if asks else None,
        mark.verdict is Verdict.FAILS,
    )


def camera_of(inputs: Inputs, still: StillAnswer) -> Camera | None:
    """A still's solved camera; None where it was not solved, or its size is not known.

    Parameters
    ----------
    inputs, still
        The nouns, and the answer of one still.

    Raises
    ------
    KeyError
        If the nouns have no such still.
    """
    row = inputs.stills[still.id]
    if (
        still.rotation is None
        or still.t_mm is None
        or still.f_px is None
        or still.c_px is None
        or not row.width_px
        or not row.height_px
    ):
        return None
    return Camera(
        still.rotation,
        still.t_mm,
        float(still.f_px.value),
        still.c_px,
        still.squeeze,
        still.mirrored,
        row.width_px,
        row.height_px,
    )


def _sightings(inputs: Inputs, still: StillAnswer) -> tuple[ShotSighting, ...]:
    wrong = set(still.rejected)
    return tuple(
        ShotSighting(row.place_px, (row.landmark, row.side) in wrong)
        for row in inputs.sightings
        if row.still == still.id and row.state == "seen" and row.place_px is not None
    )
