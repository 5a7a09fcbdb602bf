"""The plan at likely durations: least last finish, then least sum of finishes, by constraints."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from sixwright.numerics.scheduling.calendars import NEVER
from sixwright.numerics.scheduling.serial import Activity, place
from sixwright.topics.dates.jobs import likely_days
from sixwright.topics.dates.model import Inputs, Plan, PlannedTask
from sixwright.topics.dates.problem import ScheduleProblem, plan_ticks
from sixwright.topics.dates.windows import Window, windows

# How long is searched at most, in the solver's own units of work, which are the same on every
# machine: for the last finish, for the sum of finishes, and for all that is told of ties.
_WORK = (12.0, 8.0, 5.0)
_WORK_A_TIE = 0.3


@dataclass(slots=True)
class _Found:
    """The best starts and finishes so far, and what is known of how good they are."""

    start: dict[str, int]
    finish: dict[str, int]
    bound: int
    proven: bool


def plan(inputs: Inputs, made: ScheduleProblem) -> Plan:
    """The best plan that is found, and a bound on every plan.

    Parameters
    ----------
    inputs
        The line.
    made
        Its tasks.

    Source
    ------
    docs/topics/dates.md, “Plan”. The solver is OR-Tools' CP-SAT, with one fixed seed.
    """
    ticks = plan_ticks(made, likely_days)
    found = _search(made, {id_: int(work[0]) for id_, work in ticks.items()}, ticks)
    on = made.calendars
    tasks: dict[str, PlannedTask | None] = dict.fromkeys(inputs.tasks)
    for id_, finish in found.finish.items():
        if finish < NEVER:
            tasks[id_] = PlannedTask(on.day(min(found.start[id_], finish + 1)), on.day(finish))
    last = [each.finish for each in tasks.values() if each is not None]
    return Plan(
        tasks=tasks,
        finish=max(last, default=None),
        bound_days=(on.day(found.bound) - inputs.start).days + 1 if last else None,
        proven=found.proven,
    )


def _search(
    made: ScheduleProblem, work: Mapping[str, int], ticks: Mapping[str, np.ndarray]
) -> _Found:
    """Serial generation gives a first plan; the solver looks for a better one where one may be."""
    first = place(made.activities, ticks, made.capacities)
    start = {id_: int(days[0]) for id_, days in first.start.items()}
    finish = {id_: int(days[0]) for id_, days in first.finish.items()}
    there = _there(made, start, finish)
    last = max((finish[id_] for id_ in there), default=0)
    alone = windows(there, work, last)
    lowest = max((window.early_finish for window in alone.values()), default=0)
    found = _Found(start, finish, lowest, proven=True)
    if all(start[id_] == window.early_start for id_, window in alone.items()):
        return found  # nobody waits for anybody: no plan is better in any way
    return _solved(made, there, alone, work, found)


def _there(
    made: ScheduleProblem, start: Mapping[str, int], finish: Mapping[str, int]
) -> dict[str, Activity]:
    """Tasks that are reached; a link to the start of one that is never done becomes a date."""
    there = {}
    for id_, activity in made.activities.items():
        if finish[id_] < NEVER:
            inside = tuple(link for link in activity.links if finish[link.after] < NEVER)
            dates = [start[link.after] + link.lag for link in activity.links if link not in inside]
            begins = max([activity.not_before, *dates])
            there[id_] = replace(activity, links=inside, not_before=begins)
    return there


def _solved(
    made: ScheduleProblem,
    there: Mapping[str, Activity],
    alone: Mapping[str, Window],
    work: Mapping[str, int],
    found: _Found,
) -> _Found:
    """Least last finish, then least sum of finishes, then earliest starts in order of id."""
    last = max(found.finish[id_] for id_ in there)
    if found.bound < last:
        model = _Model(there, alone, made.capacities, work)
        model.hint(found)
        latest = model.latest()
        model.model.minimize(latest)
        status, bound = model.solve(found, _WORK[0])
        found.bound = max(found.bound, bound)
        found.proven &= status
        last = max(found.finish[id_] for id_ in there)
    model = _Model(there, windows(there, work, last), made.capacities, work)
    model.hint(found)
    total = sum(model.finish.values())
    model.model.minimize(total)
    status, _ = model.solve(found, _WORK[1])
    found.proven &= status
    if found.proven:
        model.model.clear_objective()
        model.model.add(total <= sum(found.finish[id_] for id_ in model.finish))
        _earliest(model, found)
    return found


def _earliest(model: "_Model", found: _Found) -> None:
    """Settle starts one after the other, in order of id, each as early as can be."""
    spent = 0.0
    for id_ in sorted(model.start):
        if found.start[id_] > model.windows[id_].early_start and spent < _WORK[2]:
            model.hint(found)
            model.model.minimize(model.start[id_])
            status, _ = model.solve(found, _WORK_A_TIE)
            spent += model.spent
            found.proven &= status
            model.model.clear_objective()
        elif found.start[id_] > model.windows[id_].early_start:
            found.proven = False
            return
        model.model.add(model.start[id_] <= found.start[id_])


class _Model:
    """The constraints: one start and one finish a task, links, slots, and room with people."""

    def __init__(
        self,
        activities: Mapping[str, Activity],
        within: Mapping[str, Window],
        capacities: Mapping[str, int],
        work: Mapping[str, int],
    ) -> None:
        from ortools.sat.python import cp_model

        self.cp = cp_model
        self.model: Any = cp_model.CpModel()
        self.windows = within
        self.start: dict[str, Any] = {}
        self.finish: dict[str, Any] = {}
        self.spent = 0.0
        self.ends: dict[str, Any] = {}  # finishes that are variables of their own
        self.lengths: dict[str, Any] = {}
        self.last: Any = None
        for id_ in activities:
            self._days(id_, within[id_])
        for id_, activity in activities.items():
            self._links(id_, activity)
        for who, capacity in capacities.items():
            on = [id_ for id_, each in activities.items() if each.resource == who and work[id_]]
            self._room(
                [id_ for id_ in on if activities[id_].finished is None], activities, capacity
            )

    def _days(self, id_: str, window: Window) -> None:
        """A start on a day that allows it, and the finish that follows from it."""
        days = self.cp.Domain.FromValues(window.starts)
        start = self.model.new_int_var_from_domain(days, f"{id_} starts")
        self.start[id_] = start
        lengths = {finish - day for day, finish in zip(window.starts, window.finishes, strict=True)}
        if len(lengths) == 1:
            self.finish[id_] = start + lengths.pop()
            return
        low, high = window.finishes[0], window.finishes[-1]
        finish = self.model.new_int_var(low, high, f"{id_} is done")
        table = np.full(window.starts[-1] - window.starts[0] + 1, low)
        table[np.array(window.starts) - window.starts[0]] = window.finishes
        self.model.add_element(start - window.starts[0], table.tolist(), finish)
        self.finish[id_] = self.ends[id_] = finish

    def _links(self, id_: str, activity: Activity) -> None:
        for link in activity.links:
            if link.from_start:
                self.model.add(self.start[id_] >= self.start[link.after] + link.lag)
            else:
                self.model.add(self.start[id_] >= self.finish[link.after] + 1 + link.lag)

    def _room(self, on: Sequence[str], activities: Mapping[str, Activity], capacity: int) -> None:
        """No more tasks at a time than somebody works on; what has begun is there as it is."""
        spans, demands = [], []
        begun: dict[int, int] = {}
        for id_ in on:
            window = self.windows[id_]
            if activities[id_].begun is not None:
                for day in range(activities[id_].not_before, window.early_finish + 1):
                    begun[day] = begun.get(day, 0) + 1
                continue
            ends = self.finish[id_] + 1
            length = self.lengths[id_] = self._sized(ends - self.start[id_], window)
            spans.append(self.model.new_interval_var(self.start[id_], length, ends, f"{id_} takes"))
            demands.append(1)
        for first, last, count in _runs(begun):
            spans.append(self.model.new_fixed_size_interval_var(first, last + 1 - first, "begun"))
            demands.append(min(count, capacity))
        if len(spans) > capacity or begun:
            if capacity == 1:
                self.model.add_no_overlap(spans)
            else:
                self.model.add_cumulative(spans, demands, capacity)

    def _sized(self, size: Any, window: Window) -> Any:
        lengths = [f - s + 1 for s, f in zip(window.starts, window.finishes, strict=True)]
        made = self.model.new_int_var(min(lengths), max(lengths), "")
        self.model.add(made == size)
        return made

    def latest(self) -> Any:
        """The last finish of all."""
        low = max(window.early_finish for window in self.windows.values())
        high = max(window.finishes[-1] for window in self.windows.values())
        self.last = self.model.new_int_var(low, high, "last")
        for finish in self.finish.values():
            self.model.add(self.last >= finish)
        return self.last

    def hint(self, found: _Found) -> None:
        """Start the search at what is known."""
        self.model.clear_hints()
        for id_, start in self.start.items():
            self.model.add_hint(start, found.start[id_])
            if id_ in self.ends:
                self.model.add_hint(self.ends[id_], found.finish[id_])
            if id_ in self.lengths:
                self.model.add_hint(self.lengths[id_], found.finish[id_] + 1 - found.start[id_])
        if self.last is not None:
            self.model.add_hint(self.last, max(found.finish[id_] for id_ in self.start))

    def solve(self, found: _Found, work: float) -> tuple[bool, int]:
        """Search; whether what was found is the best, and a bound on the objective."""
        solver = self.cp.CpSolver()
        solver.parameters.num_workers = 1  # several agree no sooner, and not on every machine
        solver.parameters.random_seed = 1
        solver.parameters.max_deterministic_time = work
        status = solver.solve(self.model)
        self.spent = solver.response_proto.deterministic_time
        if status in {self.cp.OPTIMAL, self.cp.FEASIBLE}:
            for id_ in self.start:
                found.start[id_] = solver.value(self.start[id_])
                found.finish[id_] = solver.value(self.finish[id_])
        return status == self.cp.OPTIMAL, int(np.ceil(solver.best_objective_bound - 1e-6))


def _runs(counts: Mapping[int, int]) -> list[tuple[int, int, int]]:
    """Days in a row on which as many tasks that have begun go on: first, last, how many."""
    runs: list[tuple[int, int, int]] = []
    for day in sorted(counts):
        if runs and runs[-1][1] == day - 1 and runs[-1][2] == counts[day]:
            runs[-1] = (runs[-1][0], day, counts[day])
        else:
            runs.append((day, day, counts[day]))
    return runs
