"""The tables of “What date can we promise?”: promises, tasks, what buys time, who is waited for."""

import datetime as dt
from collections import defaultdict

from sixwright.kernel.findings import Finding
from sixwright.kernel.sentences import Count, Day, Measure, Sentence, Share, Value
from sixwright.line.dates import Task
from sixwright.reports.document import Cell, CellAddress, Column, Deed, Row, Table
from sixwright.topics.dates.model import Answer, Inputs, Slip
from sixwright.topics.dates.words import milestone_name, person_name, task_name

WAITS_LEAST = 0.5  # days, on average, from which waiting is told


def promises_table(inputs: Inputs, found: Answer, findings: tuple[Finding, ...]) -> Table:
    """Every promise: whether it is still true, and its chance."""
    verdicts = {f.subject.id: f.verdict for f in findings if f.judged_by.id == "promise"}
    rows = []
    for id_, promise in inputs.promises.items():
        told = found.promises[id_]
        chance = None if told.chance is None else Share(told.chance.value, 0)
        interval = None
        if told.chance is not None and told.chance.low != told.chance.high:
            ends: dict[str, Value] = {
                "low": Share(told.chance.low, 1), "high": Share(told.chance.high, 1),
            }  # fmt: skip
            interval = Sentence("{low} to {high}", ends)
        standing = str(verdicts[id_]) if id_ in verdicts else "replaced"
        rows.append(
            Row(
                (
                    Cell(milestone_name(inputs.milestones[promise.milestone])),
                    Cell(Day(promise.date), place=CellAddress("promises", id_, "date")),
                    Cell(promise.words, detail=promise.where or None) if promise.words
                    else Cell(nothing=True),
                    Cell(Day(promise.said_on)) if promise.said_on else Cell(nothing=True),
                    Cell(chance, detail=interval),
                    Cell(standing, verdict=verdicts.get(id_)),
                ),
                verdict=verdicts.get(id_),
                anchor=f"promise-{id_}",
            )
        )  # fmt: skip
    columns = (
        Column("Milestone"), Column("Promised for"), Column("Said", wide=True), Column("On"),
        Column("Chance", numeric=True), Column("Still true"),
    )  # fmt: skip
    return Table("What was promised", columns, tuple(rows))


def tasks_table(inputs: Inputs, found: Answer) -> Table:
    """Every task: who, the plan, when it is sure enough, what happened, and what can be said."""
    rows = tuple(_task(inputs, found, task) for task in inputs.tasks.values())
    columns = (
        Column("Task"), Column("Who"), Column("Likely", numeric=True, unit="days"),
        Column("Planned"), Column("4 chances in 5 by"), Column("Critical", numeric=True),
        Column("Began"),
    )  # fmt: skip
    caption = (
        Sentence("Critical: the share of draws in which a day more would delay the end."),
        Sentence("What has begun or is done counts from its dates; the rest is drawn."),
    )
    return Table("Task by task", columns, rows, caption, frozen=True)


def _task(inputs: Inputs, found: Answer, task: Task) -> Row:
    told, planned = found.tasks[task.id], found.plan.tasks[task.id]
    plan = Cell(Day(planned.finish)) if planned is not None else Cell()
    if planned is not None and planned.start <= planned.finish:
        plan = Cell(
            Day(planned.finish),
            detail=Sentence("from\N{NO-BREAK SPACE}{day}", {"day": Day(planned.start)}),
        )
    return Row(
        (
            Cell(task_name(inputs, task.id), place=CellAddress("tasks", task.id, "name")),
            Cell(person_name(inputs, task.who), place=CellAddress("tasks", task.id, "who"))
            if task.who else Cell(nothing=True, place=CellAddress("tasks", task.id, "who")),
            Cell(_days(task.likely_days), place=CellAddress("tasks", task.id, "likely_days")),
            plan,
            Cell(_day(told.finish.p80) if told is not None else None),
            Cell(Share(told.critical, 0) if told is not None else None),
            _happened(task),
        ),
        deeds=_deeds(inputs, task),
        anchor=f"task-{task.id}",
    )  # fmt: skip


def _happened(task: Task) -> Cell:
    """When it began, and when it was done."""
    done = task.finished
    return Cell(
        None if task.started is None else Day(task.started),
        nothing=task.started is None,
        place=CellAddress("tasks", task.id, "started"),
        detail=None
        if done is None
        else Sentence("done\N{NO-BREAK SPACE}{day}", {"day": Day(done)}),
        detail_place=None if done is None else CellAddress("tasks", task.id, "finished"),
    )


def _day(day: dt.date | None) -> Day | None:
    return None if day is None else Day(day)


def _whole_days(days: float) -> Measure:
    return Measure(days, "day" if round(days) == 1 else "days", 0)


def _days(days: float | None) -> Measure | None:
    if days is None:
        return None
    return Measure(days, "", 0 if days == int(days) else 1)


def _deeds(inputs: Inputs, task: Task) -> tuple[Deed, ...]:
    """What happened today, one click each."""
    name, today = task_name(inputs, task.id), inputs.today.isoformat()
    if task.finished is not None:
        return ()
    deeds = []
    if task.started is None:
        deeds.append(Deed("Began", f"{name} began today", "edit",
                          _edit(task.id, "started", today)))  # fmt: skip
    if task.rounds_most and task.sculpt:
        came = [each for each in inputs.rounds if each.sculpt == task.sculpt]
        number = max((each.number or 0 for each in came), default=0) + 1
        cells = {"id": f"{task.sculpt}-{number}", "sculpt": task.sculpt, "number": str(number),
                 "date": today}  # fmt: skip
        makers = [each.maker for each in came if each.maker]
        if makers:
            cells["maker"] = makers[-1]
        deeds.append(Deed(f"Round {number} came", f"Round {number} of {name} came today",
                          "add", (("table", "rounds"), ("cells", cells))))  # fmt: skip
    deeds.append(Deed("Done", f"{name} is done today", "edit",
                      _edit(task.id, "finished", today)))  # fmt: skip
    return tuple(deeds)


def _edit(id_: str, column: str, value: str) -> tuple[tuple[str, str], ...]:
    return (("table", "tasks"), ("id", id_), ("column", column), ("was", ""), ("value", value))


def gains_table(inputs: Inputs, found: Answer) -> Table:
    """What would bring the end forward most."""
    rows = []
    for gain in found.gains:
        if gain.days <= 0:
            continue
        if gain.kind == "task":
            task = task_name(inputs, gain.id)
            what = Sentence("{task}, in its low days", {"task": task})
        else:
            at_once = Count(inputs.people[gain.id].at_once + 1, "task", "tasks")
            who: dict[str, Value] = {"who": person_name(inputs, gain.id), "tasks": at_once}
            what = Sentence("{who} works on {tasks} at a time", who)
        rows.append(Row((Cell(what), Cell(Count(gain.days, "day", "days")))))
    caption = (Sentence("Days by which the end comes earlier, at 4 chances in 5."),)
    columns = (Column("If"), Column("Earlier by", numeric=True))
    return Table("What buys most time", columns, tuple(rows), caption)


def slips_table(inputs: Inputs, found: Answer) -> Table | None:
    """What takes longer than the plan had before it began, and why; None where nothing does."""
    if not found.slips:
        return None
    rows = tuple(
        Row(
            (
                Cell(task_name(inputs, slip.task)),
                Cell(Measure(slip.stated, "", 0)),
                Cell(Measure(slip.now, "", 0)),
                Cell(_why(slip)),
            )
        )
        for slip in found.slips
    )
    columns = (
        Column("Task"), Column("Planned", numeric=True, unit="days"),
        Column("Takes", numeric=True, unit="days"), Column("Why", wide=True),
    )  # fmt: skip
    caption = (
        Sentence("Days worked so far and the plan’s rest, against the plan before it began."),
    )
    return Table("What slipped, and why", columns, rows, caption)


def _why(slip: Slip) -> Sentence:
    more = slip.rounds_now - slip.rounds_stated
    if more > 0:
        rounds: dict[str, Value] = {
            "now": Count(slip.rounds_now, "round", "rounds"), "stated": Count(slip.rounds_stated),
        }  # fmt: skip
        also = slip.now > slip.stated / slip.rounds_stated * slip.rounds_now
        words = "{now} instead of {stated}"
        return Sentence(f"{words}, and each takes longer" if also else words, rounds)
    if slip.rounds_now > 1:
        return Sentence("each round takes longer than its likely days")
    return Sentence("it takes longer than its likely days")


def waits_table(inputs: Inputs, found: Answer) -> Table | None:
    """Where the chain waits for whom: days that tasks wait until somebody is free; or None."""
    waits: dict[str, list[tuple[float, str]]] = defaultdict(list)
    for id_, told in found.tasks.items():
        who = inputs.tasks[id_].who
        if told is not None and who is not None and told.waits >= WAITS_LEAST:
            waits[who].append((told.waits, task_name(inputs, id_)))
    if not waits:
        return None
    rows = []
    for who, tasks in sorted(waits.items(), key=lambda pair: -sum(days for days, _ in pair[1])):
        longest, name = max(tasks)
        total = sum(days for days, _ in tasks)
        rows.append(
            Row(
                (
                    Cell(person_name(inputs, who), link=None),
                    Cell(Count(len(tasks), "task", "tasks")),
                    Cell(_whole_days(total)),
                    Cell(name, detail=Sentence("{days}", {"days": _whole_days(longest)})),
                ),
            )
        )
    columns = (
        Column("Who"), Column("Tasks that wait", numeric=True),
        Column("Days waited, all told", numeric=True), Column("Longest", wide=True),
    )  # fmt: skip
    caption = (Sentence("Mean calendar days over the draws, after all else is ready."),)
    return Table("Where the chain waits for whom", columns, tuple(rows), caption)
