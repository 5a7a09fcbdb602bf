"""Corrections in a sculptor's words: too far out, too low, too near the middle."""

from math import sqrt

from sixwright.kernel.sentences import Measure, Value
from sixwright.topics.likeness.model import LandmarkAnswer, Vector

# A direction is spoken of where it is this share of the largest one, and worth a tool's mark.
SPOKEN_SHARE, SPOKEN_MM = 0.4, 0.05


def off_in_seen(mark: LandmarkAnswer) -> Vector:
    """What to add to the sculpt: as is asked, else as the stills decide it, less what is meant.

    Parameters
    ----------
    mark
        A landmark with its correction.

    Raises
    ------
    ValueError
        If no still sees the landmark.

    Source
    ------
    The test is on the correction minus what is meant to remain.
    """
    return off_by_stills(mark) if mark.ask_mm is None else mark.ask_mm


def off_by_stills(mark: LandmarkAnswer) -> Vector:
    """The same by the stills alone, in the directions that they decide."""
    if mark.correction_mm is None:
        raise ValueError(f"mark must be seen by a still; received {mark.key!r}.")
    off = [c - m for c, m in zip(mark.correction_mm, mark.meant_mm, strict=True)]
    for blind in mark.blind:
        share = sum(o * b for o, b in zip(off, blind, strict=True))
        off = [o - share * b for o, b in zip(off, blind, strict=True)]
    x, y, z = off
    return x, y, z


def wrong_way(mark: LandmarkAnswer) -> tuple[str, dict[str, Value]]:
    """How the sculpt is off: a template (“{a} too far out and {b} too low”) and its values.

    Parameters
    ----------
    mark
        A landmark with its correction.

    Raises
    ------
    ValueError
        If no still sees the landmark.

    Source
    ------
    Sculpt frame: x to the figure's left, y up, z out of the face.
    """
    return _worded(mark, _SCULPT_IS)


def right_way(mark: LandmarkAnswer) -> tuple[str, dict[str, Value]]:
    """What to do about it: a template (“{a} in and {b} up”) and its values."""
    return _worded(mark, _MOVE_IT)


# By axis: words for a correction below zero and above it, of a paired landmark's x outwards.
_SCULPT_IS = (
    ("too far from the middle", "too near the middle"),
    ("too high", "too low"),
    ("too far out", "too far in"),
)
_MOVE_IT = (("towards the middle", "away from the middle"), ("down", "up"), ("in", "out"))
_SCULPT_IS_MID = ("too far to the figure's left", "too far to the figure's right")
_MOVE_IT_MID = ("to the figure's right", "to the figure's left")


def _worded(
    mark: LandmarkAnswer, words: tuple[tuple[str, str], ...]
) -> tuple[str, dict[str, Value]]:
    across = _SCULPT_IS_MID if words is _SCULPT_IS else _MOVE_IT_MID
    rows = (across if mark.side == "mid" else words[0], words[1], words[2])
    return worded(off_in_seen(mark), mark.side, rows, "abc")


def feature_way(move: Vector, name: str, letters: str = "abc") -> tuple[str, dict[str, Value]]:
    """How to move a feature as a whole: a template (“{a} down and {b} forward”) and its values.

    Parameters
    ----------
    move
        What to add, mm.
    name
        Of the feature: that of a left or right one begins with its side.
    letters
        Names of the values, one each.

    Raises
    ------
    ValueError
        If there are fewer than three letters.

    Source
    ------
    Sculpt frame; an ear moves forward and back, what lies in front in and out.
    """
    if len(letters) < 3:
        raise ValueError(f"letters must be three or more; received {letters!r}.")
    side = name.split(maxsplit=1)[0] if name.split(maxsplit=1)[0] in {"left", "right"} else "mid"
    across = _MOVE_IT_MID if side == "mid" else _MOVE_IT[0]
    deep = ("back", "forward") if name.endswith("ear") else _MOVE_IT[2]
    return worded(move, side, (across, _MOVE_IT[1], deep), letters)


def landmark_way(move: Vector, side: str, letters: str = "abc") -> tuple[str, dict[str, Value]]:
    """How to move one landmark: as `feature_way`."""
    across = _MOVE_IT_MID if side == "mid" else _MOVE_IT[0]
    return worded(move, side, (across, _MOVE_IT[1], _MOVE_IT[2]), letters)


def worded(
    off: Vector, side: str, rows: tuple[tuple[str, str], ...], letters: str
) -> tuple[str, dict[str, Value]]:
    """A move in words by axis: below zero and above it, of a paired one's x outwards.

    Parameters
    ----------
    off
        mm, sculpt frame.
    side
        ``left``, ``right`` or ``mid``.
    rows
        Words for x, y and z.
    letters
        Names of the values, one an axis.

    Raises
    ------
    IndexError
        If there are fewer than three rows.

    Source
    ------
    Own choice: a direction is spoken of where it is two fifths of the largest or more.
    """
    sign = -1.0 if side == "right" else 1.0
    along = (sign * off[0], off[1], off[2])
    largest = max(abs(value) for value in along)
    spoken = [
        (abs(value), row[value > 0])
        for value, row in zip(along, rows, strict=True)
        if abs(value) >= max(SPOKEN_SHARE * largest, min(SPOKEN_MM, largest))
    ]
    spoken.sort(key=lambda entry: -entry[0])
    if len(spoken) == 1:  # one direction tells it all: its length is the whole
        spoken = [(sqrt(sum(value * value for value in off)), spoken[0][1])]
    names = letters[: len(spoken)]
    values: dict[str, Value] = {
        name: Measure(amount, "mm", 1 if amount >= 0.1 else 2)
        for name, (amount, _) in zip(names, spoken, strict=True)
    }
    texts = [f"{{{name}}} {way}" for name, (_, way) in zip(names, spoken, strict=True)]
    return " and ".join([", ".join(texts[:-1]), texts[-1]] if texts[1:] else texts), values
