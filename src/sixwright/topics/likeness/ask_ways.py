"""Where to an ask goes, read from its words: “0.4 mm in and 0.2 mm up”."""

import re
from dataclasses import dataclass
from math import hypot

from sixwright.topics.likeness.model import Vector

# Words to axis and sign in the sculpt frame; `OUTWARDS` is x away from the middle, of a paired one.
OUTWARDS = -1
WAYS = {
    "in": (2, -1.0),
    "back": (2, -1.0),
    "out": (2, 1.0),
    "forward": (2, 1.0),
    "down": (1, -1.0),
    "up": (1, 1.0),
    "to the figure's right": (0, -1.0),
    "to the figure's left": (0, 1.0),
    "towards the middle": (OUTWARDS, -1.0),
    "away from the middle": (OUTWARDS, 1.0),
}
SIZES = {
    "larger a side": 1.0,
    "wider a side": 1.0,
    "smaller a side": -1.0,
    "narrower a side": -1.0,
}
_PART = re.compile(r"(?:(\d+(?:[.,]\d+)?)\s*(?:mm)?\s+)?(.+)")


@dataclass(frozen=True, slots=True)
class AskedMove:
    """Where to an ask goes: a move in the sculpt frame, or a growth on each side; mm."""

    move_mm: Vector | None = None
    grow_mm: float | None = None

    @property
    def length_mm(self) -> float:
        """How far."""
        return hypot(*self.move_mm) if self.move_mm is not None else abs(self.grow_mm or 0.0)


def way_of(direction: str, mm: float | None, side: str) -> AskedMove | None:
    """What the words say; None where they cannot be read, or do not say how far.

    Parameters
    ----------
    direction
        Parts joined by “and” or commas, each a way of `WAYS` with its millimetres before it; one
        way alone, or a size of `SIZES`, may leave them to `mm`.
    mm
        How far, at 1:6; None where it is not known.
    side
        ``left``, ``right`` or ``mid``, of what moves.
    """
    plain = " ".join(direction.lower().replace("’", "'").split())
    parts = [part for part in re.split(r",\s+|\s+and\s+", plain) if part]
    found = [_part(part, mm if len(parts) == 1 else None) for part in parts]
    if not found or None in found:
        return None
    read = [each for each in found if each is not None]
    if len(read) == 1 and read[0][1] in SIZES:
        return AskedMove(grow_mm=read[0][0] * SIZES[read[0][1]])
    move = [0.0, 0.0, 0.0]
    for amount, words in read:
        if words not in WAYS or (WAYS[words][0] == OUTWARDS and side == "mid"):
            return None
        axis, sign = WAYS[words]
        if axis == OUTWARDS:
            axis, sign = 0, -sign if side == "right" else sign
        move[axis] += sign * amount
    return AskedMove(move_mm=(move[0], move[1], move[2])) if any(move) else None


def _part(text: str, mm: float | None) -> tuple[float, str] | None:
    """How far and which way, of one part; None where it does not say how far."""
    found = _PART.fullmatch(text)
    if found is None:
        return None
    amount = float(found[1].replace(",", ".")) if found[1] else mm
    return None if amount is None or amount <= 0 else (amount, found[2].strip())


def side_of(name: str) -> str:
    """The side that a feature is on, as its name says: “left ear”."""
    first = name.split(maxsplit=1)[0] if name.strip() else ""
    return first if first in {"left", "right"} else "mid"
