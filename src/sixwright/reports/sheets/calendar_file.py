"""The dates of a line for anybody's calendar program: RFC 5545, made by the icalendar package."""

import datetime as dt
from collections.abc import Iterator
from typing import Any

from sixwright.topics.dates.model import Answer, Inputs
from sixwright.topics.dates.topic import DATES
from sixwright.topics.dates.words import milestone_name, odds, person_name, task_name
from sixwright.workflows.reviewed import Review

NAME = "dates.ics"
_ONE_DAY = dt.timedelta(days=1)


def calendar_file(review: Review) -> bytes | None:
    """Milestones, promises, planned tasks, slots and absences as all-day events.

    Parameters
    ----------
    review
        What was judged; the same review makes the same bytes.

    Returns
    -------
    bytes or None
        None where nothing is known of dates.

    Source
    ------
    RFC 5545: an all-day event ends on the day after its last one.
    """
    answer = review.get(DATES)
    if answer is None:
        return None
    from icalendar import Calendar

    inputs = review.inputs_of(DATES)
    made = Calendar()
    made.add("prodid", "-//sixwright//dates//EN")
    made.add("version", "2.0")
    made.add("x-wr-calname", review.project.name)
    for id_, first, last, words, more in _events(inputs, answer):
        made.add_component(_event(f"{id_}@{inputs.line}", (first, last), words, more, inputs.today))
    content: bytes = made.to_ical()
    return content


_Told = tuple[str, dt.date, dt.date, str, str]


def _events(inputs: Inputs, answer: Answer) -> Iterator[_Told]:
    """Id, first and last day, words, and what stands under them."""
    sure = odds(inputs.rules.confidence)
    for id_, milestone in inputs.milestones.items():
        found = answer.milestones[id_]
        day = None if found is None else found.day_at(inputs.rules.confidence)
        if day is not None:
            yield f"milestone-{id_}", day, day, milestone_name(milestone), f"{sure} by this day"
    for id_, promise in inputs.promises.items():
        told = answer.promises[id_]
        if told.judged:
            name = milestone_name(inputs.milestones[promise.milestone])
            chance = "" if told.chance is None else odds(float(told.chance.value))
            yield f"promise-{id_}", promise.date, promise.date, f"Promised: {name}", chance
    for id_, planned in answer.plan.tasks.items():
        if planned is not None and planned.start <= planned.finish:
            who = inputs.tasks[id_].who
            by = person_name(inputs, who) if who else ""
            yield f"task-{id_}", planned.start, planned.finish, task_name(inputs, id_), by
    for slot in inputs.slots:
        name = f"Slot: {task_name(inputs, slot.task)}"
        yield f"slot-{slot.id}", slot.opens, slot.closes, name, ""
    for away in inputs.away:
        who_is = person_name(inputs, away.who) if away.who else "Everybody"
        words = "away" if away.share == 0 else f"{away.share:.0%} of normal work"
        yield f"away-{away.id}", away.from_day, away.until, f"{who_is}: {words}", away.why


def _event(uid: str, days: tuple[dt.date, dt.date], words: str, more: str, today: dt.date) -> Any:
    from icalendar import Event

    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", dt.datetime(today.year, today.month, today.day, tzinfo=dt.UTC))
    event.add("dtstart", days[0])
    event.add("dtend", days[1] + _ONE_DAY)
    event.add("summary", words)
    event.add("transp", "TRANSPARENT")
    if more:
        event.add("description", more)
    return event
