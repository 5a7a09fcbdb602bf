"""What is said of an error that was planted on purpose."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Planted:
    """Whether an error of the tolerance's size would have been noticed.

    Attributes
    ----------
    moved_mm
        How far the landmark was moved, out of the face.
    noticed
        Whether the interval of its depth then lay off zero.
    chance
        How often it would be noticed.
    """

    landmark: str
    side: str
    name: str
    moved_mm: float
    noticed: bool
    chance: float
