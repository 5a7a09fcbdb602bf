"""Days between which a task must lie for all to be finished by a day, nobody being busy."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from sixwright.numerics.scheduling.serial import Activity


@dataclass(frozen=True, slots=True)
class Window:
    """Days on which a task may start, and the finish that follows from each.

    Attributes
    ----------
    starts, finishes
        Rising; at least one day.
    """

    starts: tuple[int, ...]
    finishes: tuple[int, ...]

    @property
    def early_start(self) -> int:
        """The first of the starts."""
        return self.starts[0]

    @property
    def early_finish(self) -> int:
        """The finish that follows from it."""
        return self.finishes[0]


def windows(
    activities: Mapping[str, Activity], work: Mapping[str, int], last: int
) -> dict[str, Window]:
    """The window of each activity, where all are to be finished by a day.

    Parameters
    ----------
    activities
        In order, each after what it waits for; all can be finished by `last`.
    work
        Ticks of each.
    last
        The day.

    Raises
    ------
    IndexError
        If one cannot be finished by that day.

    Source
    ------
    The critical path method on the days of each activity's calendar: first forward, then back.
    """
    open_: dict[str, Window] = {}
    for id_, activity in activities.items():
        open_[id_] = _from(activity, work[id_], _ready(activity, open_), last)
    latest = dict.fromkeys(activities, last)
    latest_start = dict.fromkeys(activities, last + 1)
    for id_ in reversed(tuple(activities)):
        window = open_[id_]
        finishes, starts = np.array(window.finishes), np.array(window.starts)
        keeps = (finishes <= latest[id_]) & (starts <= latest_start[id_])
        if activities[id_].finished is None and activities[id_].begun is None:
            open_[id_] = Window(tuple(map(int, starts[keeps])), tuple(map(int, finishes[keeps])))
        for link in activities[id_].links:
            end = open_[id_].starts[-1] - link.lag
            if link.from_start:
                latest_start[link.after] = min(latest_start[link.after], end)
            else:
                latest[link.after] = min(latest[link.after], end - 1)
    return open_


def _ready(activity: Activity, open_: Mapping[str, Window]) -> int:
    waits = [
        open_[link.after].early_start + link.lag
        if link.from_start
        else open_[link.after].early_finish + 1 + link.lag
        for link in activity.links
    ]
    return max([activity.not_before, *waits])


def _from(activity: Activity, work: int, ready: int, last: int) -> Window:
    """Every start from a day on that lets it finish by the last."""
    if activity.finished is not None:
        begun = activity.finished if activity.begun is None else activity.begun
        return Window((begun,), (activity.finished,))
    days = np.array([ready]) if activity.begun is not None else np.arange(ready, last + 2)
    if activity.calendar is None:
        finishes = days + work - 1
    else:
        ticks = np.full(days.shape, work, dtype=np.int32)
        finishes = activity.calendar.finish(days.astype(np.int16), ticks).astype(int)
        table = activity.calendar.start if activity.start is None else activity.start
        if activity.begun is None:
            usable = np.take(table, days, mode="clip") == days
            days, finishes = days[usable], finishes[usable]
    if activity.begun is not None:
        return Window((activity.begun,), (int(finishes[0]),))
    within = finishes <= last
    return Window(tuple(map(int, days[within])), tuple(map(int, finishes[within])))
