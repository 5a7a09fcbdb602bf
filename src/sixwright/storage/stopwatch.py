"""How long something has taken, by a clock that nobody sets."""

from time import monotonic


class Stopwatch:
    """Runs from when it is made."""

    def __init__(self) -> None:
        self._began = monotonic()

    def seconds(self) -> float:
        """For how long it has run, s."""
        return monotonic() - self._began
