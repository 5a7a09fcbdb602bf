"""What the draws say: when each task is finished, what is critical, and what a promise is worth."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil

import numpy as np

from sixwright.kernel.intervals import Interval
from sixwright.numerics.scheduling.calendars import NEVER
from sixwright.numerics.scheduling.serial import ScheduledActivities, place
from sixwright.numerics.shares import wilson_interval
from sixwright.topics.dates.jobs import drawn_days
from sixwright.topics.dates.model import Reached, TaskAnswer
from sixwright.topics.dates.problem import ScheduleProblem

WEEK = 7


@dataclass(frozen=True, slots=True, eq=False)
class Draws:
    """The schedules of all draws.

    Attributes
    ----------
    ticks
        Task to its work in each draw, shape (draws,).
    placed
        Where each task lies in each draw.
    counted
        Tasks that are reached in some draw: the last finish is that of these.
    """

    ticks: Mapping[str, np.ndarray]
    placed: ScheduledActivities
    counted: frozenset[str]

    @property
    def last(self) -> np.ndarray:
        """The last finish of each draw, shape (draws,)."""
        found: np.ndarray = self.placed.last[0]
        return found


def draw(made: ScheduleProblem, seed: int, draws: int) -> Draws:
    """Durations drawn, and every draw placed.

    Parameters
    ----------
    made
        The tasks.
    seed
        The line's.
    draws
        How many, 1 or more.

    Raises
    ------
    sixwright.kernel.errors.InputError
        If there are no draws.

    Source
    ------
    docs/topics/dates.md.
    """
    ticks = {
        id_: made.ticks(id_, drawn_days(job, seed, draws, made.elapsed[id_]))
        for id_, job in made.jobs.items()
    }
    placed = place(made.activities, ticks, made.capacities)
    counted = frozenset(id_ for id_, days in placed.finish.items() if (days < NEVER).any())
    if counted == frozenset(ticks):
        return Draws(ticks, placed, counted)
    return Draws(ticks, place(made.activities, ticks, made.capacities, counted=counted), counted)


def critical_shares(made: ScheduleProblem, drawn: Draws) -> dict[str, float]:
    """Share of draws in which a task taking one day longer would delay the last finish.

    Each task is in turn given one day more in every draw, and all is placed anew.

    Parameters
    ----------
    made, drawn
        The tasks and their draws.

    Source
    ------
    docs/topics/dates.md. With people this is more than having no slack: what is one day longer
    may no longer fit into a gap.
    """
    open_ = [id_ for id_, job in made.jobs.items() if job.task.finished is None]
    if not open_:
        return dict.fromkeys(made.jobs, 0.0)
    a_day = made.tick_a_day
    variants = [(id_, drawn.ticks[id_] + np.int32(a_day[id_])) for id_ in open_]
    found = place(
        made.activities, drawn.ticks, made.capacities, variants=variants, counted=drawn.counted
    )
    later = (found.last[1:] > found.last[0]).mean(axis=1)
    return dict.fromkeys(made.jobs, 0.0) | dict(zip(open_, map(float, later), strict=True))


def quantile(days: np.ndarray, share: float) -> int:
    """The ⌈p N⌉-th smallest of N days."""
    place_ = max(ceil(share * len(days) - 1e-9), 1) - 1
    return int(np.partition(days, place_)[place_])


def reached(made: ScheduleProblem, days: np.ndarray) -> Reached:
    """When something is finished, over the draws.

    Parameters
    ----------
    made
        Numbers the days.
    days
        Finish in each draw, shape (draws,).

    Source
    ------
    Own choice: docs/topics/dates.md, “Chances”.
    """
    there = days[days < NEVER]
    on, counts = np.unique(there, return_counts=True)
    told = {p: quantile(days, p) for p in (0.5, 0.8, 0.95)}
    first, second, third = (
        made.calendars.day(day) if day < NEVER else None for day in told.values()
    )
    return Reached(
        p50=first,
        p80=second,
        p95=third,
        days=tuple(made.calendars.day(int(day)) for day in on),
        counts=tuple(int(count) for count in counts),
        never=len(days) - len(there),
    )


def task_answers(
    made: ScheduleProblem, drawn: Draws, critical: Mapping[str, float], monday: dt.date
) -> dict[str, TaskAnswer]:
    """What the draws say of every task that can be placed.

    Parameters
    ----------
    critical
        Share of draws of each.
    monday
        First week that is told of.
    """
    last = max((int(days[days < NEVER].max()) for days in drawn.placed.finish.values()
                if (days < NEVER).any()), default=0)  # fmt: skip
    weeks = (made.calendars.day(last) - monday).days // WEEK + 1
    first = made.calendars.number(monday)
    return {
        id_: TaskAnswer(
            reached(made, drawn.placed.finish[id_]),
            critical[id_],
            _running(drawn.placed.start[id_], drawn.placed.finish[id_], first, weeks),
            _waits(made, drawn, id_),
        )
        for id_ in made.jobs
    }


def _running(start: np.ndarray, finish: np.ndarray, first: int, weeks: int) -> tuple[float, ...]:
    """Share of draws that are under way in each week; a task of no days in that of its start."""
    ends = np.maximum(start, finish)
    mondays = first + WEEK * np.arange(weeks)
    begun = np.searchsorted(np.sort(start), mondays + WEEK - 1, side="right")
    over = np.searchsorted(np.sort(ends), mondays, side="left")
    return tuple(round(float(share), 4) for share in (begun - over) / len(start))


def _waits(made: ScheduleProblem, drawn: Draws, id_: str) -> float:
    """Mean days between the first day that links, calendar and slots allow, and the start."""
    activity = made.activities[id_]
    if activity.resource is None or activity.begun is not None or activity.finished is not None:
        return 0.0
    start = drawn.placed.start[id_].astype(int)
    free = np.full(start.shape, activity.not_before)
    for link in activity.links:
        days = drawn.placed.start if link.from_start else drawn.placed.finish
        free = np.maximum(free, days[link.after] + (0 if link.from_start else 1) + link.lag)
    table = activity.start
    if table is None and activity.calendar is not None:
        table = activity.calendar.start
    if table is not None:
        free = np.take(table, free, mode="clip").astype(int)
    there = (start < NEVER) & (free < NEVER)
    return float((start - free)[there].mean()) if there.any() else 0.0


def chance(days: np.ndarray, day: int) -> Interval:
    """Share of draws that are finished by a day, with Wilson's 95 % interval."""
    return wilson_interval(int((days <= day).sum()), len(days))
