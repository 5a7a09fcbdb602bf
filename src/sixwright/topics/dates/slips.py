"""What takes longer than was stated, among what has begun or is done, and why."""

import datetime as dt
from collections.abc import Iterator, Mapping
from math import ceil

from sixwright.topics.dates.calendars import NOBODY
from sixwright.topics.dates.jobs import Job, expected_rounds, likely_days
from sixwright.topics.dates.model import Inputs, Slip
from sixwright.topics.dates.problem import ScheduleProblem

LEAST = 0.5  # days from which it is told


def slips(inputs: Inputs, made: ScheduleProblem) -> tuple[Slip, ...]:
    """Tasks that take longer than the plan had before they began, the longest first.

    What a task takes is the days worked on it from `started` on, and the plan's rest of it.

    Parameters
    ----------
    inputs, made
        The line and its tasks.

    Source
    ------
    docs/topics/dates.md, “What slipped”.
    """
    return tuple(sorted(_slips(inputs, made), key=lambda slip: (slip.stated - slip.now, slip.task)))


def _slips(inputs: Inputs, made: ScheduleProblem) -> Iterator[Slip]:
    for id_, job in made.jobs.items():
        if job.task.started is None or job.duration is None:
            continue
        rounds = ceil(expected_rounds(job.all_chances) - 1e-9) if job.all_chances else 1
        stated = job.likely * rounds
        now = _worked(inputs, made, job) + _left(made.elapsed, job)
        if now > stated + LEAST:
            came = job.first_round - 1 if job.all_chances else 0
            open_ = 0 if job.task.finished is not None else job.rounds_left
            yield Slip(id_, stated, now, rounds, came + open_ if job.all_chances else 1)


def _worked(inputs: Inputs, made: ScheduleProblem, job: Job) -> float:
    """Days worked on a task up to yesterday, or to its end."""
    yesterday = inputs.today - dt.timedelta(days=1)
    last = yesterday if job.task.finished is None else min(job.task.finished, yesterday)
    started = job.task.started or last
    if job.calendar_days:
        return float(max((last - started).days + 1, 0))
    on = made.calendars
    yields = on.yields[job.task.who or NOBODY]
    return float(sum(yields[on.number(started) : max(on.number(last) + 1, 0)]))


def _left(elapsed: Mapping[str, float], job: Job) -> float:
    """Days of it that the plan has still to come."""
    return 0.0 if job.task.finished is not None else likely_days(job, elapsed[job.task.id])
