"""Small lines of tasks for the tests of dates."""

import datetime as dt

from sixwright.line.dates import DateRules, Milestone, Person, Promise, Task
from sixwright.topics.dates.model import Inputs

DAY = dt.date
MONDAY = dt.date(2026, 9, 14)


def task(id_, low=None, likely=None, high=None, *, who=None, after="", **more):
    more.setdefault("days", "working" if who else "calendar")
    return Task(
        id_, who=who, low_days=low, likely_days=likely, high_days=high,
        after=tuple(after.split()), **more,
    )  # fmt: skip


def fixed(id_, days, **more):
    return task(id_, None, days, None, **more)


def person(id_, at_once=1, days_a_week=5, **more):
    return Person(id_, at_once=at_once, days_a_week=days_a_week, **more)


def line(*tasks, people=(), today=MONDAY, start=MONDAY, promises=(), milestones=None, **more):
    names = [each.id for each in tasks]
    marks = milestones or {"end": Milestone("end", "The end", names[-1], public=True)}
    return Inputs(
        line="line",
        seed=7,
        today=today,
        rules=more.pop("rules", DateRules(start)),
        tasks={each.id: each for each in tasks},
        people={each.id: each for each in people},
        milestones=marks,
        promises={f"p{i}": Promise(f"p{i}", "end", day) for i, day in enumerate(promises)},
        **more,
    )
