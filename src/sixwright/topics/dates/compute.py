"""What date can be promised: the network, the plan, the draws, and what they say of promises."""

import datetime as dt
from collections.abc import Mapping

import numpy as np

from sixwright.kernel.intervals import Interval
from sixwright.numerics.scheduling.calendars import NEVER
from sixwright.topics.dates import chances
from sixwright.topics.dates.chances import Draws
from sixwright.topics.dates.gains import gains
from sixwright.topics.dates.jobs import Job, jobs
from sixwright.topics.dates.load import load
from sixwright.topics.dates.model import (
    DRAWS,
    Answer,
    Inputs,
    NetworkDates,
    PromiseAnswer,
    Reached,
)
from sixwright.topics.dates.plan import plan
from sixwright.topics.dates.problem import ScheduleProblem, problem
from sixwright.topics.dates.slips import slips


def answer(inputs: Inputs, *, draws: int = DRAWS) -> Answer:
    """When everything is reached, how surely, and what would bring it forward.

    Parameters
    ----------
    inputs
        The line.
    draws
        How many, 1 or more.

    Raises
    ------
    sixwright.kernel.errors.InputError
        If the inputs hold what reading a folder refuses: links in a circle, points that fall.

    Source
    ------
    docs/topics/dates.md.
    """
    every = jobs(inputs)
    made = problem(inputs, every)
    drawn = chances.draw(made, inputs.seed, draws)
    critical = chances.critical_shares(made, drawn)
    monday = _monday(max(inputs.start, inputs.today))
    told = chances.task_answers(made, drawn, critical, monday)
    finish = drawn.placed.finish
    planned = plan(inputs, made)
    return Answer(
        start=inputs.start,
        draws=draws,
        network={id_: _network(made, job) for id_, job in every.items()},
        plan=planned,
        tasks={id_: told.get(id_) for id_ in inputs.tasks},
        milestones={
            id_: chances.reached(made, finish[each.task]) if each.task in finish else None
            for id_, each in inputs.milestones.items()
        },
        promises=_promises(inputs, made, finish),
        gains=gains(made, drawn, critical, inputs.seed),
        load=load(made),
        slots={
            slot.id: _by(made, drawn.placed.start.get(slot.task), slot.closes)
            for slot in inputs.slots
        },
        orders={
            id_: _by(made, drawn.placed.start.get(id_), quote.valid_until)
            for id_, quote in inputs.quotes.items()
            if every[id_].is_order and quote.valid_until is not None
        },
        finish=_last(made, drawn),
        monday=monday,
        missing={id_: job.missing for id_, job in every.items() if job.missing},
        rests=made.rests,
        never=_never(made, drawn),
        track_records={
            id_: job.track_record for id_, job in every.items() if job.track_record is not None
        },
        planned={
            id_: None if (day := planned.tasks[each.task]) is None else day.finish
            for id_, each in inputs.milestones.items()
        },
        slips=slips(inputs, made),
    )


def _monday(day: dt.date) -> dt.date:
    return day - dt.timedelta(days=day.weekday())


def _network(made: ScheduleProblem, job: Job) -> NetworkDates | None:
    """Early and late dates; None where a duration is missing that they rest on."""
    if job.mean is None or job.task.id in made.rests:
        return None
    found = made.timings[job.task.id]
    return NetworkDates(
        found.early_start,
        found.early_finish,
        found.late_start,
        found.late_finish,
        found.slack,
        job.mean,
        found.critical,
    )


def _by(made: ScheduleProblem, days: np.ndarray | None, day: dt.date) -> Interval | None:
    return None if days is None else chances.chance(days, made.calendars.number(day))


def _last(made: ScheduleProblem, drawn: Draws) -> Reached | None:
    return chances.reached(made, drawn.last) if drawn.counted else None


def _promises(
    inputs: Inputs, made: ScheduleProblem, finish: Mapping[str, np.ndarray]
) -> dict[str, PromiseAnswer]:
    """Each promise: its chance; a fact where its task is finished, or its date has passed."""
    replaced = {each.replaces for each in inputs.promises.values()}
    told = {}
    for id_, promise in inputs.promises.items():
        task = inputs.tasks[inputs.milestones[promise.milestone].task]
        judged = id_ not in replaced
        if task.finished is not None:
            kept = 1.0 if task.finished <= promise.date else 0.0
            told[id_] = PromiseAnswer(promise.date, Interval(kept, kept, kept), judged)
        elif promise.date < inputs.today:
            told[id_] = PromiseAnswer(promise.date, Interval(0.0, 0.0, 0.0), judged)
        elif task.id in finish:
            chance = _by(made, finish[task.id], promise.date)
            told[id_] = PromiseAnswer(promise.date, chance, judged)
        else:
            roots = made.rests.get(task.id, ())
            lacking = tuple(name for root in roots for name in _missing(inputs, root))
            told[id_] = PromiseAnswer(promise.date, None, judged, lacking)
    return told


def _missing(inputs: Inputs, task: str) -> tuple[str, ...]:
    return jobs(inputs)[task].missing


def _never(made: ScheduleProblem, drawn: Draws) -> dict[str, int]:
    """Tasks that are not reached in some draws, in so many, though all that they wait for is."""
    found = {}
    for id_, activity in made.activities.items():
        lost = drawn.placed.finish[id_] >= NEVER
        for link in activity.links:
            days = drawn.placed.start if link.from_start else drawn.placed.finish
            lost &= days[link.after] < NEVER
        if lost.any():
            found[id_] = int(lost.sum())
    return found
