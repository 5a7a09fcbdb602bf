"""The whole answer of dates worked out again from the shared definitions alone.

One draw, one task and one day at a time, in fractions; of sixwright only the nouns of a line are
used. For lines of a few tasks: the plan is found by trying every plan.
"""

import datetime as dt
from collections import defaultdict
from dataclasses import replace
from math import ceil, inf, sqrt

from topics.dates.recomputed_days import ONE, TINY, Length, yields

FAR = dt.timedelta(days=400)  # beyond this a task of a small line is never reached
NEVER = dt.date.max
DRAWS_FOR_GAINS = 1000


class Schedule:
    """A line, its tasks made ready, and what each of them waits for."""

    def __init__(self, inputs, draws):
        self.inputs, self.draws = inputs, draws
        self.tasks = inputs.tasks
        self.lengths = {id_: Length(inputs, task) for id_, task in self.tasks.items()}
        self.links = {id_: [(after, 0, False) for after in task.after]
                      for id_, task in self.tasks.items()}  # fmt: skip
        for link in inputs.links:
            self.links[link.task].append((link.after, link.lag_days, link.kind == "start-start"))
        self.begin = max(inputs.start, inputs.today)
        self.known = [id_ for id_ in self.tasks if not self._unknown(id_)]
        self.network = self._network()

    def is_fact(self, id_):
        return self.tasks[id_].finished is not None or self.lengths[id_].began is not None

    def _unknown(self, id_):
        task, length = self.tasks[id_], self.lengths[id_]
        if task.finished or length.stated:
            return False
        if not length.known or (task.left_days is not None and task.left_on is None):
            return True
        return not self.is_fact(id_) and any(self._unknown(a) for a, *_ in self.links[id_])

    def _network(self):
        """Early and late dates by mean durations, each by its longest path."""
        mean = {id_: (length.mean or 0) * length.expected if length.known else 0
                for id_, length in self.lengths.items()}  # fmt: skip

        def early(id_):
            return max([0.0, *(early(a) + lag + (0 if start else mean[a])
                               for a, lag, start in self.links[id_])])  # fmt: skip

        end = max(early(id_) + mean[id_] for id_ in self.tasks)

        def late(id_):
            found = end - mean[id_]
            for other, links in self.links.items():
                for after, lag, start in links:
                    if after == id_:
                        found = min(found, late(other) - lag - (0 if start else mean[id_]))
            return found

        return {id_: (early(id_), late(id_), mean[id_]) for id_ in self.tasks}

    def work(self, of):
        """Days of each task that can be placed."""
        return {id_: of(self.lengths[id_]) for id_ in self.known if not self.tasks[id_].finished}

    def finish(self, id_, start, work):
        """Last day of work from a day on; None beyond what is looked at."""
        if work <= TINY:
            return start - ONE
        done, day = 0, start
        while day <= self.begin + FAR:
            done += self.lengths[id_].a_day(day)
            if float(done) >= work - TINY:
                return day
            day += ONE
        return None

    def facts(self, work):
        """Start and finish of what is done and of what has begun."""
        found = {}
        for id_ in self.known:
            task, length = self.tasks[id_], self.lengths[id_]
            if task.finished:
                found[id_] = (task.started or task.finished, task.finished)
            elif length.began:
                resumes = max(self.inputs.today, length.since)
                found[id_] = (length.began, self.finish(id_, resumes, work[id_]) or NEVER)
        return found

    def may_start(self, id_, day, placed):
        """Whether its day, its slots and its links allow a start."""
        slots = [slot for slot in self.inputs.slots if slot.task == id_]
        if self.lengths[id_].a_day(day) <= 0 or day < self.begin:
            return False
        if slots and not any(slot.opens <= day <= slot.closes for slot in slots):
            return False
        return all(
            placed[after][0 if start else 1] != NEVER
            and day >= placed[after][0 if start else 1] + dt.timedelta(lag + (0 if start else 1))
            for after, lag, start in self.links[id_]
        )

    def is_busy(self, id_, span, placed, capacities):
        """Whether its `who` has no room on a day of the span."""
        who = self.tasks[id_].who
        if who is None or span[1] < span[0]:
            return False
        others = [days for other, days in placed.items() if self.tasks[other].who == who
                  and not self.tasks[other].finished and days[0] != NEVER]  # fmt: skip
        day = span[0]
        while day <= span[1]:
            if sum(start <= day <= end for start, end in others) >= capacities.get(who, inf):
                return True
            day += ONE
        return False

    def serial(self, work, capacities):
        """Serial schedule generation: task to its start and finish, NEVER where not reached."""
        placed = self.facts(work)
        while len(placed) < len(self.known):
            free = [id_ for id_ in self.known if id_ not in placed
                    and all(after in placed for after, *_ in self.links[id_])]  # fmt: skip
            id_ = min(free, key=lambda each: (round(self.network[each][1], 9), each))
            placed[id_] = self._earliest(id_, work[id_], placed, capacities)
        return placed

    def _earliest(self, id_, work, placed, capacities):
        day = self.begin
        while day <= self.begin + FAR:
            if self.may_start(id_, day, placed):
                end = self.finish(id_, day, work)
                if end is None:
                    return NEVER, NEVER
                if not self.is_busy(id_, (day, end), placed, capacities):
                    return day, end
            day += ONE
        return NEVER, NEVER

    @property
    def capacities(self):
        return {who: person.at_once for who, person in self.inputs.people.items()}


class Chances:
    """The draws of a line, each scheduled."""

    def __init__(self, line):
        self.line = line
        seed = line.inputs.seed
        self.work = [line.work(lambda length, draw=draw: length.drawn(seed, draw))
                     for draw in range(line.draws)]  # fmt: skip
        self.placed = [line.serial(work, line.capacities) for work in self.work]
        self.counted = [id_ for id_ in line.known
                        if any(each[id_][1] != NEVER for each in self.placed)]  # fmt: skip

    def last(self, placed):
        return max((placed[id_][1] for id_ in self.counted), default=NEVER)

    def finishes(self, id_):
        return [each[id_][1] for each in self.placed]

    def critical(self, id_):
        if self.line.tasks[id_].finished:
            return 0.0
        later = 0
        for work, placed in zip(self.work, self.placed, strict=True):
            longer = self.line.serial(work | {id_: work[id_] + 1}, self.line.capacities)
            later += self.last(longer) > self.last(placed)
        return later / self.line.draws

    def gains(self):
        line, few = self.line, min(DRAWS_FOR_GAINS, self.line.draws)
        now = quantile([self.last(each) for each in self.placed[:few]], 0.8)
        found = []
        for id_ in line.known:
            if not line.tasks[id_].finished and self.critical(id_) >= 0.05:
                ends = [
                    self.last(line.serial(
                        self.work[draw] | {id_: line.lengths[id_].at_low(line.inputs.seed, draw)},
                        line.capacities))
                    for draw in range(few)
                ]  # fmt: skip
                found.append(("task", id_, (now - quantile(ends, 0.8)).days))
        for who, at_once in line.capacities.items():
            more = line.capacities | {who: at_once + 1}
            ends = [self.last(line.serial(work, more)) for work in self.work[:few]]
            found.append(("person", who, (now - quantile(ends, 0.8)).days))
        return sorted(found, key=lambda gain: (-gain[2], gain[0], gain[1]))[:5]


def quantile(days, share):
    """The ⌈pN⌉-th smallest."""
    return sorted(days)[ceil(share * len(days) - TINY) - 1]


def wilson(hits, draws, z=1.959963984540054):
    """Wilson 1927: the shares p with |hits/draws - p| ≤ z √(p (1 - p)/draws)."""
    share = hits / draws
    middle = (share + z * z / (2 * draws)) / (1 + z * z / draws)
    half = z / (1 + z * z / draws) * sqrt(share * (1 - share) / draws + (z / (2 * draws)) ** 2)
    return {"value": share, "low": max(0.0, middle - half), "high": min(1.0, middle + half)}


def best_plan(line):
    """Every plan tried: least last finish, then least sum of finishes, then starts by id."""
    work = line.work(Length.planned)
    first = line.serial(work, line.capacities)
    never = {id_: days for id_, days in first.items() if days[1] == NEVER}
    horizon = max(end for _, end in first.values() if end != NEVER)
    order = [id_ for id_ in first if not line.is_fact(id_) and id_ not in never]
    facts = line.facts(work) | never
    best = [(_rank(first), first)]

    def extend(i, placed):
        if i == len(order):
            best[0] = min(best[0], (_rank(placed), placed), key=lambda pair: pair[0])
            return
        id_, day = order[i], line.begin
        while day <= horizon + ONE:
            if line.may_start(id_, day, placed):
                end = line.finish(id_, day, work[id_])
                fits = end is not None and end <= best[0][0][0]
                if fits and not line.is_busy(id_, (day, end), placed, line.capacities):
                    extend(i + 1, {**placed, id_: (day, end)})
            day += ONE

    extend(0, facts)
    return best[0][1]


def _rank(placed):
    ends = [end for _, end in placed.values() if end != NEVER]
    return (max(ends), sum(end.toordinal() for end in ends),
            tuple(placed[id_][0] for id_ in sorted(placed)))  # fmt: skip


def load(line):
    """Days asked in each week if nobody were ever busy with another task, and days there."""
    inputs = line.inputs
    placed = line.serial(line.work(Length.planned), {})
    asked = defaultdict(int)
    for id_, (start, end) in placed.items():
        who = line.tasks[id_].who
        if who is None or NEVER in {start, end} or line.tasks[id_].finished:
            continue
        day = max(start, inputs.today) if line.is_fact(id_) else start
        if line.is_fact(id_):
            day = max(day, line.lengths[id_].since)
        while day <= end:
            asked[who, tuple(day.isocalendar())[:2]] += yields(inputs, who, day)
            day += ONE
    told = []
    for (who, (year, week)), days in sorted(asked.items()):
        if days:
            monday = dt.date.fromisocalendar(year, week, 1)
            there = sum(yields(inputs, who, monday + i * ONE) for i in range(7))
            told.append({"who": who, "week": f"{year}-W{week:02d}", "asked": float(days),
                         "there": float(there * line.capacities[who])})  # fmt: skip
    return told


def recomputed(inputs, draws):
    """`answers.dates`, as the definitions have it."""
    line = Schedule(inputs, draws)
    chances = Chances(line)
    known = set(line.known)
    plan = best_plan(line)
    last = max(end for _, end in plan.values() if end != NEVER)
    return {
        "start": inputs.start.isoformat(),
        "draws": draws,
        "network": {id_: _network(line, id_) for id_ in inputs.tasks},
        "plan": {
            "tasks": {id_: _planned(plan.get(id_)) for id_ in inputs.tasks},
            "finish": iso(last),
            "bound_days": (last - inputs.start).days + 1,
        },
        "tasks": {
            id_: {
                **_quantiles(chances.finishes(id_) if id_ in known else None),
                "critical": chances.critical(id_) if id_ in known else None,
            }
            for id_ in inputs.tasks
        },
        "milestones": {
            id_: {
                "plan": _planned(plan.get(each.task))["finish"],
                **_quantiles(chances.finishes(each.task) if each.task in known else None),
            }
            for id_, each in inputs.milestones.items()
        },
        "promises": {id_: _promise(line, chances, each) for id_, each in inputs.promises.items()},
        "gains": [
            {"kind": kind, "id": id_, "days": days} for kind, id_, days in chances.gains()
        ],
        "load": load(line),
    }  # fmt: skip


def _network(line, id_):
    if not line.lengths[id_].known or id_ not in line.known:
        return None
    early, late, mean = line.network[id_]
    return {"early_start": early, "early_finish": early + mean, "late_start": late,
            "late_finish": late + mean, "slack": late - early, "mean": mean,
            "critical": late - early < 1e-9}  # fmt: skip


def iso(day):
    return None if day in {None, NEVER} else day.isoformat()


def _planned(days):
    if days is None or NEVER in days:
        return {"start": None, "finish": None}
    return {"start": iso(days[0]), "finish": iso(days[1])}


def _quantiles(days):
    if days is None:
        return dict.fromkeys(("p50", "p80", "p95"))
    return {name: iso(quantile(days, share))
            for name, share in (("p50", 0.5), ("p80", 0.8), ("p95", 0.95))}  # fmt: skip


def _promise(line, chances, promise):
    task = line.tasks[line.inputs.milestones[promise.milestone].task]
    told = {"date": promise.date.isoformat()}
    if task.finished or promise.date < line.inputs.today:
        kept = float(task.finished is not None and task.finished <= promise.date)
        return told | {"chance": {"value": kept, "low": kept, "high": kept}}
    if task.id not in line.known:
        return told | {"chance": None}
    hits = sum(day <= promise.date for day in chances.finishes(task.id))
    return told | {"chance": wilson(hits, line.draws)}


def with_(inputs, **more):
    return replace(inputs, **more)
