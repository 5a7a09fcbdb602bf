"""How much work is asked of whom in each week, and how much is there."""

import datetime as dt
from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

from sixwright.numerics.scheduling.calendars import NEVER
from sixwright.numerics.scheduling.serial import place
from sixwright.topics.dates.jobs import likely_days
from sixwright.topics.dates.model import Week
from sixwright.topics.dates.problem import ScheduleProblem, plan_ticks

WEEK = 7


def iso_week(day: dt.date) -> str:
    """The week of ISO 8601 that a day lies in: ``2027-W05``."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def load(made: ScheduleProblem) -> tuple[Week, ...]:
    """Days asked of each person in each week in which something is, by person and week.

    The tasks lie at the early dates of a schedule in which nobody is ever busy with another one,
    at the durations of the plan.

    Parameters
    ----------
    made
        The tasks.

    Source
    ------
    docs/topics/dates.md, “Load”.
    """
    alone = {id_: replace(each, resource=None) for id_, each in made.activities.items()}
    placed = place(alone, plan_ticks(made, likely_days), {})
    asked: dict[tuple[str, dt.date], Fraction] = defaultdict(Fraction)
    on = made.calendars
    for id_, activity in made.activities.items():
        who = activity.resource
        start = max(int(placed.start[id_][0]), activity.not_before)
        finish = int(placed.finish[id_][0])
        if who is None or finish >= NEVER or activity.finished is not None:
            continue
        for day in range(start, min(finish + 1, on.days)):
            if on.yields[who][day]:
                asked[who, _monday(on.day(day))] += on.yields[who][day]
    return tuple(
        Week(who, iso_week(monday), monday, float(days), _there(made, who, monday))
        for (who, monday), days in sorted(asked.items())
    )


def _monday(day: dt.date) -> dt.date:
    return day - dt.timedelta(days=day.weekday())


def _there(made: ScheduleProblem, who: str, monday: dt.date) -> float:
    first = made.calendars.number(monday)
    days = made.calendars.yields[who][max(first, 0) : first + WEEK]
    return float(sum(days) * made.capacities[who])
