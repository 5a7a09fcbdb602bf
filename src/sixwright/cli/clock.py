"""The clock of the command: the only place that asks what time it is."""

from datetime import UTC, date, datetime, time

from sixwright.kernel.errors import CallError
from sixwright.kernel.protocols import Clock


def now() -> datetime:
    """The present moment, where the producer is."""
    return datetime.now(UTC).astimezone()  # noqa: TID251 - the shell owns the clock


def clock_at(day: str | None) -> Clock:
    """A clock that stands at the start of a given day; the real one where none is given.

    Raises
    ------
    CallError
        If the text is no date.
    """
    if day is None:
        return now
    try:
        stood = datetime.combine(date.fromisoformat(day), time(), tzinfo=UTC)
    except ValueError as error:
        raise CallError(
            f"--today must be a date as 2026-09-14 (ISO 8601); received “{day}”."
        ) from error
    return lambda: stood
