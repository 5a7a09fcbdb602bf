"""What buys most time: one task at its low point, or one person working on one task more."""

from collections.abc import Mapping

from sixwright.numerics.scheduling.serial import place
from sixwright.topics.dates.chances import Draws, quantile
from sixwright.topics.dates.jobs import low_days
from sixwright.topics.dates.model import CRITICAL_LEAST, GAIN_DRAWS, GAINS_TOLD, Gain
from sixwright.topics.dates.problem import ScheduleProblem

SHARE = 0.8


def gains(
    made: ScheduleProblem, drawn: Draws, critical: Mapping[str, float], seed: int
) -> tuple[Gain, ...]:
    """The five largest falls of the 80 % day of the last finish, largest first.

    Parameters
    ----------
    made, drawn
        The tasks and their draws, of which the first 1,000 are taken.
    critical
        Share of draws in which each task is critical.
    seed
        The line's.

    Source
    ------
    docs/topics/dates.md, “What buys most time”. Ties go by kind and id.
    """
    if not made.jobs:
        return ()
    few = min(GAIN_DRAWS, len(drawn.last))
    ticks = {id_: work[:few] for id_, work in drawn.ticks.items()}
    tried = [
        id_
        for id_, job in made.jobs.items()
        if critical[id_] >= CRITICAL_LEAST and job.task.finished is None
    ]
    variants = [
        (id_, made.ticks(id_, low_days(made.jobs[id_], seed, few, made.elapsed[id_])))
        for id_ in tried
    ]
    found = place(
        made.activities, ticks, made.capacities, variants=variants, counted=drawn.counted
    ).last
    now = quantile(found[0], SHARE)
    told = [
        Gain("task", id_, now - quantile(row, SHARE))
        for id_, row in zip(tried, found[1:], strict=True)
    ]
    for who, at_once in made.capacities.items():
        more = place(
            made.activities, ticks, {**made.capacities, who: at_once + 1}, counted=drawn.counted
        )
        told.append(Gain("person", who, now - quantile(more.last[0], SHARE)))
    return tuple(sorted(told, key=lambda gain: (-gain.days, gain.kind, gain.id))[:GAINS_TOLD])
