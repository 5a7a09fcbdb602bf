"""The tasks that can be placed: their order, calendars, slots, and what has begun."""

import datetime as dt
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from math import ceil

import numpy as np

from sixwright.numerics.scheduling.calendars import MOST_DAYS, NEVER, every_day
from sixwright.numerics.scheduling.network import Timing, ordered, resting_on, timings
from sixwright.numerics.scheduling.serial import Activity, place
from sixwright.topics.dates.calendars import NOBODY, Calendars, calendars
from sixwright.topics.dates.jobs import Job
from sixwright.topics.dates.model import Inputs

_DAYS_FIRST = 1_500  # days that calendars are made for at first
_RANKED_TO = 9  # digits of a day in which late starts are compared, so that rounding ranks nothing
_ALMOST_ALL = 0.9999  # of a duration without a high point
_ROOM = 1.5  # how much longer a draw may take than all tasks at their high points


@dataclass(frozen=True, slots=True, eq=False)
class ScheduleProblem:
    """What is to be placed, and how.

    Attributes
    ----------
    jobs
        Tasks that can be placed, by id, in the order in which they are.
    timings
        By mean durations alone: no people, no calendars, nothing begun.
    calendars
        Days are numbered by them.
    activities
        The same tasks, ready to be placed.
    capacities
        Person to the tasks that they work on at a time.
    elapsed
        Days worked on what is being worked on, up to yesterday.
    rests
        Task that cannot be placed to the tasks without a duration that it rests on.
    """

    jobs: Mapping[str, Job]
    timings: Mapping[str, Timing]
    calendars: Calendars
    activities: Mapping[str, Activity]
    capacities: Mapping[str, int]
    elapsed: Mapping[str, float]
    rests: Mapping[str, tuple[str, ...]]

    def ticks(self, id_: str, days: np.ndarray) -> np.ndarray:
        """Days of work of a task in what its calendar counts."""
        calendar = self.activities[id_].calendar
        if calendar is not None:
            return calendar.ticks(days)
        return np.minimum(np.ceil(days - 1e-9), MOST_DAYS).astype(np.int32)

    @property
    def tick_a_day(self) -> Mapping[str, int]:
        """Task to the ticks of one full day of its calendar."""
        return {
            id_: 1 if activity.calendar is None else activity.calendar.per_day
            for id_, activity in self.activities.items()
        }


def problem(inputs: Inputs, jobs: Mapping[str, Job]) -> ScheduleProblem:
    """The tasks of a line that can be placed, in order, on calendars that are long enough.

    Parameters
    ----------
    inputs
        The line.
    jobs
        Every task, by id.

    Raises
    ------
    sixwright.kernel.errors.InputError
        If links go in a circle, which reading a folder refuses.

    Source
    ------
    docs/topics/dates.md: of the tasks whose predecessors are placed, the one with the least late
    start by mean durations comes next, ties by id. Late starts are the same for every draw, and
    so is the order.
    """
    rests = _rests(jobs)
    known = {id_: job for id_, job in jobs.items() if id_ not in rests}
    timed = _timings(jobs)
    order = ordered(
        {id_: () if _is_fact(job) else job.links for id_, job in known.items()},
        {
            id_: (not _is_fact(job), round(timed[id_].late_start, _RANKED_TO))
            for id_, job in known.items()
        },
    )
    placed = {id_: known[id_] for id_ in order}
    first = _first_day(inputs, placed.values())
    days, before = _DAYS_FIRST, None
    while True:
        made = _made(inputs, placed, timed, calendars(inputs, first, days), rests)
        last, never = _at_the_longest(made)
        needed = ceil(last * _ROOM) + 2
        if days == MOST_DAYS or (needed <= days and never in (frozenset(), before)):
            return made
        days, before = min(MOST_DAYS, max(needed, 2 * days)), never


def _rests(jobs: Mapping[str, Job]) -> dict[str, tuple[str, ...]]:
    """Tasks that cannot be placed, each with the tasks of unknown duration behind it."""
    links = {
        id_: () if _is_fact(job) and not job.missing else job.links for id_, job in jobs.items()
    }
    found: dict[str, list[str]] = {}
    for root in [id_ for id_, job in jobs.items() if job.missing]:
        for each in resting_on(links, {root}):
            found.setdefault(each, []).append(root)
    return {id_: tuple(roots) for id_, roots in found.items()}


def _is_fact(job: Job) -> bool:
    """Whether it is done or has begun: it is then placed where it is, and waits for nothing."""
    return job.task.finished is not None or job.began is not None


def _timings(jobs: Mapping[str, Job]) -> Mapping[str, Timing]:
    """Early and late dates; a task of unknown duration takes none, and is not shown."""
    return timings(
        {id_: job.links for id_, job in jobs.items()},
        {id_: job.mean or 0.0 for id_, job in jobs.items()},
    )


def _first_day(inputs: Inputs, jobs: object) -> dt.date:
    days = [inputs.today, inputs.start]
    for job in jobs:  # type: ignore[attr-defined]
        days += [day for day in (job.began, job.current_since) if day is not None]
    first = min(days)
    return first - dt.timedelta(days=first.weekday())  # whole weeks, for the load


def _made(
    inputs: Inputs,
    jobs: Mapping[str, Job],
    timed: Mapping[str, Timing],
    on: Calendars,
    rests: Mapping[str, tuple[str, ...]],
) -> ScheduleProblem:
    spans: dict[str, list[tuple[int, int]]] = {}
    for slot in inputs.slots:
        spans.setdefault(slot.task, []).append((on.number(slot.opens), on.number(slot.closes)))
    begin = on.number(max(inputs.start, inputs.today))
    activities = {
        id_: _activity(job, inputs, on, begin, spans.get(id_, [])) for id_, job in jobs.items()
    }
    return ScheduleProblem(
        jobs=jobs,
        timings=timed,
        calendars=on,
        activities=activities,
        capacities={who: person.at_once for who, person in inputs.people.items()},
        elapsed={id_: _elapsed(job, inputs, on) for id_, job in jobs.items()},
        rests=rests,
    )


def _activity(
    job: Job, inputs: Inputs, on: Calendars, begin: int, spans: list[tuple[int, int]]
) -> Activity:
    task = job.task
    calendar = None if job.calendar_days else on.of[task.who or NOBODY]
    if spans and calendar is None:
        calendar = every_day(on.days)
    made = Activity(
        links=job.links,
        calendar=calendar,
        resource=task.who,
        start=calendar.starts_within(spans) if spans and calendar else None,
        not_before=begin,
    )
    if task.finished is not None:
        begun = None if task.started is None else on.number(task.started)
        return replace(made, links=(), begun=begun, finished=on.number(task.finished))
    if job.began is not None:
        since = job.current_since or job.began
        resumes = on.number(max(inputs.today, since))
        return replace(made, links=(), not_before=resumes, begun=on.number(job.began))
    return made


def _elapsed(job: Job, inputs: Inputs, on: Calendars) -> float:
    """Days worked on what is being worked on: the yields from its first day up to yesterday."""
    since = job.current_since
    if job.began is None or since is None or since >= inputs.today:
        return 0.0
    if job.calendar_days:
        return float((inputs.today - since).days)
    yields = on.yields[job.task.who or NOBODY]
    return float(sum(yields[on.number(since) : on.number(inputs.today)]))


def _at_the_longest(made: ScheduleProblem) -> tuple[int, frozenset[str]]:
    """With every task at its high point: the last finish, and the tasks that are not reached.

    Those that stay unreached on calendars of twice as many days are taken not to be reached ever.
    """
    if not made.activities:
        return 0, frozenset()
    ticks = {id_: made.ticks(id_, np.array([_high_days(job)])) for id_, job in made.jobs.items()}
    days = place(made.activities, ticks, made.capacities).finish
    finish = {id_: int(each[0]) for id_, each in days.items()}
    never = frozenset(id_ for id_, day in finish.items() if day >= NEVER)
    return max((day for day in finish.values() if day < NEVER), default=0), never


def _high_days(job: Job) -> float:
    if job.left is not None:
        return job.left
    high = 0.0 if job.duration is None else float(job.duration.quantile(np.array([_ALMOST_ALL]))[0])
    return high * max(len(job.chances), 1)


Days = Callable[[Job, float], float]


def plan_ticks(made: ScheduleProblem, days: Days) -> dict[str, np.ndarray]:
    """Ticks of every task at one duration each, shape (1,)."""
    return {
        id_: made.ticks(id_, np.array([days(job, made.elapsed[id_])]))
        for id_, job in made.jobs.items()
    }
