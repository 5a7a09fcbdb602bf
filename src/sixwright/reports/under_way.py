"""The block that says how far an answer is that takes seconds, and stops it or goes on with it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class UnderWay:
    """An answer on its way, or one that was stopped.

    Attributes
    ----------
    topic
        Of the question.
    stopped
        Whether it was stopped, and waits for being asked for.
    """

    topic: str
    stopped: bool
