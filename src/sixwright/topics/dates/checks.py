"""Whether what was promised can be kept, each with its evidence and what to do."""

from collections.abc import Iterator
from itertools import groupby

from sixwright.kernel.findings import Evidence, Finding, Subject
from sixwright.kernel.intervals import Interval, Limit, Verdict, exact
from sixwright.kernel.sentences import Count, Measure, Name, Sentence, Value
from sixwright.line.dates import Promise, Slot
from sixwright.numerics.shares import wilson_interval
from sixwright.topics.dates import rules
from sixwright.topics.dates.model import Answer, Inputs, PromiseAnswer, Reached, Week
from sixwright.topics.dates.words import milestone_name, odds, person_name, task_name, worded


def findings(inputs: Inputs, answer: Answer) -> tuple[Finding, ...]:
    """Every rule of dates on everything it applies to, what holds included.

    Parameters
    ----------
    inputs, answer
        The line and what was computed of it.

    Raises
    ------
    KeyError
        If `answer` is not the answer to `inputs`.

    Source
    ------
    docs/topics/dates.md lists the rules.
    """
    found: list[Finding] = []
    for promise in inputs.promises.values():
        told = answer.promises[promise.id]
        if told.judged:
            found.append(_promise(inputs, answer, promise, told))
    found += [_slot(inputs, answer, slot) for slot in inputs.slots if _is_open(inputs, slot)]
    found += _load(inputs, answer)
    found += _never(inputs, answer)
    found += _durations(inputs, answer)
    found += _quotes(inputs, answer)
    return tuple(found)


def _confidence(inputs: Inputs) -> Limit:
    return Limit(">=", inputs.rules.confidence)


def _promise(inputs: Inputs, answer: Answer, promise: Promise, told: PromiseAnswer) -> Finding:
    milestone = inputs.milestones[promise.milestone]
    task = inputs.tasks[milestone.task]
    values: dict[str, Value] = {"name": Name(milestone_name(milestone)), "date": promise.date}
    remedy = None
    seen = Evidence(told.chance, _confidence(inputs), told.missing)
    reached = answer.milestones[milestone.id]
    if told.chance is None:
        message = Sentence("{name} was promised for {date}; its chance is not known yet.", values)
        remedy = Sentence("Fill in how long the tasks take that it rests on.")
    elif task.finished is not None:
        values["day"] = task.finished
        words = "kept" if task.finished <= promise.date else "not kept"
        message = Sentence(
            f"{{name}} was reached on {{day}}: the promise of {{date}} was {words}.", values
        )
    elif promise.date < inputs.today:
        message = Sentence("{name} was promised for {date}, and is not reached yet.", values)
        remedy = _new_date(inputs, reached)
    else:
        sure, more = worded(float(told.chance.value))
        message = Sentence(f"{{name}} has {sure} of being reached by {{date}}.", values | more)
        if seen.verdict is not Verdict.HOLDS:
            remedy = _new_date(inputs, reached)
    chance = 1.0 if told.chance is None else float(told.chance.value)
    return rules.PROMISE.finding(
        Subject("promise", promise.id), seen, message, remedy=remedy, weight=100 * (1 - chance)
    )


def _new_date(inputs: Inputs, reached: Reached | None) -> Sentence:
    """The first day that is sure enough to be said."""
    day = None if reached is None else reached.day_at(inputs.rules.confidence)
    if day is None:
        return Sentence("No date is sure enough to be said: see what is never reached.")
    values: dict[str, Value] = {"day": day, "odds": odds(inputs.rules.confidence)}
    return Sentence("Say {day}, which has {odds}, or see what buys most time.", values)


def _is_open(inputs: Inputs, slot: Slot) -> bool:
    """Whether a slot is still to be judged: one of a finished task without a start is not."""
    task = inputs.tasks[slot.task]
    return task.finished is None or task.started is not None


def _slot(inputs: Inputs, answer: Answer, slot: Slot) -> Finding:
    task = inputs.tasks[slot.task]
    chance = answer.slots[slot.id]
    values: dict[str, Value] = {"task": Name(task_name(inputs, slot.task)), "day": slot.closes}
    missing: tuple[str, ...] = ()
    if task.started is not None:
        kept = 1.0 if task.started <= slot.closes else 0.0
        chance = Interval(kept, kept, kept)
        values["started"] = task.started
        message = Sentence("{task} began on {started}; the slot closes on {day}.", values)
    elif chance is None:
        missing = _roots(answer, slot.task)
        message = Sentence("Whether {task} meets its slot, until {day}, is not known yet.", values)
    else:
        sure, more = worded(float(chance.value))
        values |= more
        text = f"{{task}} has {sure} of starting before its slot closes on {{day}}."
        if slot.holding is not None:
            values["holding"] = slot.holding
            text += " Holding it costs {holding}"
            if slot.pay_by is not None:
                values["pay_by"] = slot.pay_by
                text += ", due by {pay_by}"
            text += "."
        message = Sentence(text, values)
    seen = Evidence(chance, _confidence(inputs), missing)
    remedy = None
    if seen.verdict in {Verdict.FAILS, Verdict.DOUBTFUL}:
        remedy = Sentence(
            "Ask for a later slot before this one is paid, or bring its tasks forward."
        )
    return rules.SLOT.finding(
        Subject("slot", slot.id), seen, message, remedy=remedy,
        weight=0.0 if chance is None else 100 * (1 - float(chance.value)),
    )  # fmt: skip


def _roots(answer: Answer, task: str) -> tuple[str, ...]:
    return tuple(name for root in answer.rests.get(task, ()) for name in answer.missing[root])


def _load(inputs: Inputs, answer: Answer) -> Iterator[Finding]:
    for who, weeks in groupby(answer.load, key=lambda week: week.who):
        yield _loaded(inputs, who, list(weeks))


def _loaded(inputs: Inputs, who: str, weeks: list[Week]) -> Finding:
    fullest = max(weeks, key=lambda week: (week.asked - week.there, week.asked))
    over = [week for week in weeks if week.asked > week.there]
    values: dict[str, Value] = {
        "who": Name(person_name(inputs, who)),
        "asked": _days(fullest.asked),
        "there": _days(fullest.there),
        "week": fullest.week,
    }
    remedy = None
    if over:
        values["weeks"] = Count(len(over), "week", "weeks")
        text = ("{who} is asked for {asked} of work in week {week} and has {there}. More is asked "
                "than there is in {weeks}, so tasks wait.")  # fmt: skip
        message = Sentence(text, values)
        remedy = Sentence("Move a task to somebody else, or start another one earlier.")
    else:
        message = Sentence(
            "{who} has time: {asked} of {there} in the fullest week, {week}.", values
        )
    return rules.LOAD.finding(
        Subject("person", who),
        Evidence(exact(_exact(fullest.asked)), Limit("<=", _exact(fullest.there))),
        message,
        remedy=remedy,
        weight=sum(week.asked - week.there for week in over),
    )


def _exact(days: float) -> int | float:
    return int(days) if days == int(days) else days


def _days(days: float) -> Measure:
    return Measure(days, "day" if days == 1 else "days", 0 if days == int(days) else 1)


def _never(inputs: Inputs, answer: Answer) -> Iterator[Finding]:
    limit = Limit("<=", 0)
    for id_, draws in answer.never.items():
        measured = wilson_interval(draws, answer.draws)
        values: dict[str, Value] = {
            "task": Name(task_name(inputs, id_)),
            "odds": odds(float(measured.value)),
        }
        closes = [slot.closes for slot in inputs.slots if slot.task == id_]
        person = inputs.people.get(inputs.tasks[id_].who or "")
        if closes:
            values["day"] = max(closes)
            said = "its last slot closes on {day}"
            remedy = Sentence("Ask for a slot that is later.")
        elif person is not None and person.until is not None:
            values |= {"who": Name(person_name(inputs, person.id)), "day": person.until}
            said = "{who} is there until {day}"
            remedy = Sentence("Find somebody who goes on with it.")
        else:
            said = "nobody works on it on any day"
            remedy = Sentence("Say on which days it is worked on.")
        text = (f"{{task}} is never done: {said}." if draws == answer.draws
                else f"{{task}} has {{odds}} of never being done: {said}.")  # fmt: skip
        if draws == answer.draws:
            del values["odds"]
        yield rules.NEVER.finding(
            Subject("task", id_), Evidence(measured, limit), Sentence(text, values),
            remedy=remedy, weight=100 * float(measured.value),
        )  # fmt: skip
    if not answer.never and answer.finish is not None:
        yield rules.NEVER.finding(
            Subject("line", inputs.line),
            Evidence(exact(0), limit),
            Sentence("Every task that is known is reached."),
        )


def _durations(inputs: Inputs, answer: Answer) -> Iterator[Finding]:
    for id_, missing in answer.missing.items():
        rests = sum(1 for roots in answer.rests.values() if id_ in roots) - 1
        values: dict[str, Value] = {"task": Name(task_name(inputs, id_))}
        text = "How long {task} takes is not known."
        if rests:
            values["rests"] = Count(rests, "task rests", "tasks rest")
            text = "How long {task} takes is not known, and {rests} on it."
        yield rules.DURATION.finding(
            Subject("task", id_),
            Evidence(None, Limit("==", 0), missing),
            Sentence(text, values),
            remedy=Sentence("Fill in its days: low, likely and high."),
            weight=float(rests + 1),
        )
    if inputs.tasks and not answer.missing:
        count = Count(len(inputs.tasks), "task", "tasks")
        yield rules.DURATION.finding(
            Subject("line", inputs.line),
            Evidence(exact(0), Limit("==", 0)),
            Sentence("The days of {count} are known.", {"count": count}),
        )


def _quotes(inputs: Inputs, answer: Answer) -> Iterator[Finding]:
    for id_, chance in answer.orders.items():
        quote = inputs.quotes[id_]
        if quote.valid_until is None or quote.valid_until < inputs.today:
            continue  # of a quote that is past its date, money tells
        values: dict[str, Value] = {
            "task": Name(task_name(inputs, id_)),
            "maker": quote.maker or quote.way,
            "day": quote.valid_until,
        }
        missing = _roots(answer, id_) if chance is None else ()
        seen = Evidence(chance, _confidence(inputs), missing)
        if chance is None:
            text = "Whether {task} is ordered while the quote of {maker} is good, until {day}, "
            message = Sentence(text + "is not known yet.", values)
        else:
            sure, more = worded(float(chance.value))
            text = f"{{task}} has {sure} of being ordered by {{day}}, while the quote of "
            message = Sentence(text + "{maker} is good.", values | more)
        remedy = None
        if seen.verdict in {Verdict.FAILS, Verdict.DOUBTFUL}:
            remedy = Sentence("Ask for a quote that is good for longer.")
        yield rules.QUOTE.finding(Subject("task", id_), seen, message, remedy=remedy)
