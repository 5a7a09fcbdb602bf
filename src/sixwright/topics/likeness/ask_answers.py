"""What became of what a sculptor was asked."""

from dataclasses import dataclass

from sixwright.kernel.intervals import Interval


@dataclass(frozen=True, slots=True)
class AskAnswer:
    """What became of an ask in the next round.

    Attributes
    ----------
    ask, round
        Ids: of the ask, and of the next round of its sculpt that has its landmarks; empty while
        there is none.
    name
        What it is about, in plain words.
    asked_mm
        How far it was to go, mm; of a size, how far on each side.
    moved_mm
        How far it went that way, with its 95 % interval.
    off_mm
        How far that is from what was asked, with the ends of the same interval.
    aside_mm
        How far it went otherwise.
    tolerance_mm
        What is allowed of its landmarks; the least of them.
    reason
        Why it is not judged: ``next`` (no later round), ``words`` (its direction cannot be read),
        ``landmarks`` (the later round lacks them); empty where it is.
    """

    ask: str
    round: str = ""
    name: str = ""
    asked_mm: float = 0.0
    moved_mm: Interval | None = None
    off_mm: Interval | None = None
    aside_mm: float = 0.0
    tolerance_mm: float = 0.0
    reason: str = ""
