"""What can be said in public of a date: the month that is sure enough, and how sure it is."""

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from sixwright.kernel.sentences import Name, Sentence, Value
from sixwright.line.dates import Milestone
from sixwright.topics.dates.model import Answer, Inputs, Reached
from sixwright.topics.dates.words import milestone_name, odds, worded


@dataclass(frozen=True, slots=True)
class Month:
    """A calendar month and the chance that something is reached by its last day."""

    last: dt.date
    chance: float

    @property
    def name(self) -> str:
        """As it is written: ``October 2027``."""
        return f"{self.last:%B %Y}"


def month_to_say(found: Reached, confidence: float, draws: int) -> Month | None:
    """The first month by whose end something is reached with this chance; None where with none.

    Parameters
    ----------
    found
        When it is reached, over the draws.
    confidence
        Above 0 and below 1.
    draws
        How many.

    Source
    ------
    docs/topics/dates.md: months are said in public, days are not.
    """
    day = found.day_at(confidence)
    if day is None:
        return None
    last = _last_of_month(day)
    return Month(last, found.by(last) / draws)


def _last_of_month(day: dt.date) -> dt.date:
    return (day.replace(day=1) + dt.timedelta(days=32)).replace(day=1) - dt.timedelta(days=1)


def last_public(inputs: Inputs, answer: Answer) -> Milestone | None:
    """The public milestone that is reached last; any other where none is public; or None."""
    known = [each for each in inputs.milestones.values()
             if (found := answer.milestones[each.id]) is not None and found.days]  # fmt: skip
    public = [each for each in known if each.public] or known

    def when(milestone: Milestone) -> dt.date:
        found = answer.milestones[milestone.id]
        return found.days[-1] if found is not None else dt.date.min

    return max(public, key=when, default=None)


def chance_sentence(inputs: Inputs, answer: Answer, milestone: str, day: dt.date) -> Sentence:
    """How sure a date is.

    Parameters
    ----------
    milestone
        Its id.
    day
        The date asked for.

    Raises
    ------
    KeyError
        If there is no such milestone.
    """
    found = answer.milestones[milestone]
    values: dict[str, Value] = {
        "name": Name(milestone_name(inputs.milestones[milestone])), "day": day,
    }  # fmt: skip
    if found is None:
        return Sentence("{name} by {day}: not known, because a duration is missing.", values)
    share = found.by(day) / answer.draws
    sure, told = worded(share, 1)
    return Sentence(f"{{name}} by {{day}}: {sure}.", values | told)


def to_say(inputs: Inputs, answer: Answer) -> tuple[Sentence, ...]:
    """The sentences for the next update: each public milestone, at the confidence stated.

    Parameters
    ----------
    inputs, answer
        The line and what was computed of it.

    Source
    ------
    docs/topics/dates.md, “What to say”.
    """
    return tuple(_updates(inputs, answer))


def _updates(inputs: Inputs, answer: Answer) -> Iterator[Sentence]:
    for milestone in inputs.milestones.values():
        found = answer.milestones[milestone.id]
        if not milestone.public:
            continue
        values: dict[str, Value] = {"name": Name(milestone_name(milestone))}
        task = inputs.tasks[milestone.task]
        month = found and month_to_say(found, inputs.rules.confidence, answer.draws)
        if task.finished is not None:
            values["day"] = task.finished
            yield Sentence("{name}: reached on {day}.", values)
        elif month:
            values |= {"month": month.name, "odds": odds(month.chance)}
            moved = _moved(inputs, milestone, month.last)
            if moved is not None:
                values["before"] = moved
                text = "{name}: we said {before}; we now plan for {month}, and give it {odds}."
                yield Sentence(text, values)
            else:
                yield Sentence("{name}: we plan for {month}, and give it {odds}.", values)
        else:
            yield Sentence("{name}: no date yet.", values)


def _moved(inputs: Inputs, milestone: Milestone, last: dt.date) -> dt.date | None:
    """The date that was promised last, where what is planned now is later."""
    replaced = {each.replaces for each in inputs.promises.values()}
    said = [each.date for each in inputs.promises.values()
            if each.milestone == milestone.id and each.id not in replaced]  # fmt: skip
    earlier = [day for day in said if day < last.replace(day=1)]
    return max(earlier, default=None)
