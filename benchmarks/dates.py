"""How long dates take at the sizes asked for, beside a general-purpose event simulation.

    python benchmarks/dates.py

Asked: 10,000 draws of 120 tasks without people in under 2 s, with twelve people and their calendars
in under 20 s; a plan of 120 tasks in under 30 s with its bound. SimPy runs the same tasks as
processes: each waits for what it must come after, asks for its person as a resource by its late
start, and goes on day by day. Without people it places the same draws on the same days, which is
checked; with people it never goes back to a gap, so that its days are other ones. It takes fewer
draws, and its time is that of 10,000 at the same pace.
"""

import datetime as dt
import random
import time
from collections.abc import Iterator

import numpy as np
import simpy

from sixwright.line.dates import Away, DateRules, Milestone, Person, Task
from sixwright.topics.dates import chances
from sixwright.topics.dates.compute import answer
from sixwright.topics.dates.gains import gains
from sixwright.topics.dates.jobs import jobs
from sixwright.topics.dates.load import load
from sixwright.topics.dates.model import DRAWS, Inputs
from sixwright.topics.dates.plan import plan
from sixwright.topics.dates.problem import ScheduleProblem, problem

SEED = 15
TASKS, PEOPLE = 120, 12
START = dt.date(2026, 9, 14)
SIMULATED = 200


def line(people: int) -> Inputs:
    """120 tasks, each after one to three of the fifteen before it; a tenth of them are loops."""
    rng = random.Random(SEED)  # noqa: S311  sizes, not secrets
    names = [f"p{i:02d}" for i in range(people)]
    countries = ["CN", "DE", "US", "GB"]
    staff = {
        name: Person(
            name, at_once=1 + (i % 4 == 0), days_a_week=3 + i % 4, country=countries[i % 4]
        )
        for i, name in enumerate(names)
    }
    tasks = {}
    for i in range(TASKS):
        before = rng.sample(range(max(0, i - 15), i), min(i, rng.choice([1, 1, 2, 3])))
        who = rng.choice(names) if names and rng.random() < 0.8 else None
        low = rng.randint(1, 10)
        loop = (0.15, 0.6, 6) if rng.random() < 0.1 else (None, None, None)
        tasks[f"t{i:03d}"] = Task(
            f"t{i:03d}", who=who, low_days=low, likely_days=1.5 * low, high_days=3.0 * low,
            days="working" if who else "calendar", after=tuple(f"t{j:03d}" for j in sorted(before)),
            approve_first=loop[0], approve_last=loop[1], rounds_most=loop[2],
        )  # fmt: skip
    closed = Away("new-year", None, dt.date(2027, 1, 28), dt.date(2027, 2, 20), 0.0)
    return Inputs(
        line="bench", seed=SEED, today=START, rules=DateRules(START), tasks=tasks, people=staff,
        away=(closed,), milestones={"end": Milestone("end", "", f"t{TASKS - 1:03d}", public=True)},
    )  # fmt: skip


def simulated(made: ScheduleProblem, drawn: chances.Draws, draw: int) -> dict[str, int]:
    """The finish of every task of one draw, by events."""
    world = simpy.Environment()
    staff = {who: simpy.PriorityResource(world, count) for who, count in made.capacities.items()}
    done = {id_: world.event() for id_ in made.jobs}
    finish: dict[str, int] = {}

    def work(id_: str) -> Iterator[simpy.Event]:
        activity = made.activities[id_]
        yield world.all_of([done[link.after] for link in activity.links])
        if activity.resource is None:
            yield from days(id_)
        else:
            late = made.timings[id_].late_start
            with staff[activity.resource].request(priority=late) as turn:
                yield turn
                yield from days(id_)
        done[id_].succeed()

    def days(id_: str) -> Iterator[simpy.Event]:
        activity, left = made.activities[id_], int(drawn.ticks[id_][draw])
        while left > 0:
            day = int(world.now) + activity.not_before
            left -= 1 if activity.calendar is None else int(np.diff(activity.calendar.before)[day])
            finish[id_] = day
            yield world.timeout(1)

    for id_ in made.jobs:
        world.process(work(id_))
    world.run()
    return finish


class Watch:
    """Time since it was made: by the clock, and of the processors."""

    def __init__(self) -> None:
        self.clock, self.worked = time.perf_counter(), time.process_time()

    def row(self, what: str, limit: str = "", *, times: float = 1) -> None:
        """Print a line of the table."""
        clock, worked = time.perf_counter() - self.clock, time.process_time() - self.worked
        print(f"| {what} | {times * clock:.2f} | {times * worked:.2f} | {limit} |", flush=True)


def run(people: int, limit: str) -> None:
    """Our steps one by one, and SimPy beside them."""
    inputs, watch = line(people), Watch()
    made = problem(inputs, jobs(inputs))
    drawn = chances.draw(made, SEED, DRAWS)
    told = f"{TASKS} tasks, {people} people, {DRAWS} draws"
    watch.row(f"{told}: drawn and placed", limit)
    critical = chances.critical_shares(made, drawn)
    watch.row(f"{told}: and each task a day longer, for what is critical", limit)
    watch = Watch()
    gains(made, drawn, critical, SEED)
    load(made)
    watch.row("what buys most time, and load")
    watch = Watch()
    found = plan(inputs, made)
    watch.row(f"plan of {TASKS} tasks, {people} people", "30")
    length = (found.finish - START).days + 1 if found.finish else 0
    print(f"  plan {length} days, bound {found.bound_days}, proven best: {found.proven}")
    watch = Watch()
    theirs = [simulated(made, drawn, draw) for draw in range(SIMULATED)]
    watch.row(f"SimPy at the pace of its first {SIMULATED} draws", times=DRAWS / SIMULATED)
    last = np.array([max(each.values()) for each in theirs])
    ours = drawn.last[:SIMULATED]
    print(f"  P80 of these draws: ours day {np.sort(ours)[int(0.8 * SIMULATED) - 1]}, "
          f"SimPy day {np.sort(last)[int(0.8 * SIMULATED) - 1]}")  # fmt: skip
    if not people:
        same = int((last == ours).sum())
        print(f"  the last finish is the same in {same} of {SIMULATED} draws")


def main() -> None:
    """The table."""
    print("| what | by the clock, s | of the processors, s | asked, s |")
    print("|---|---|---|---|")
    run(0, "2")
    run(PEOPLE, "20")
    watch = Watch()
    answer(line(PEOPLE))
    watch.row("the whole answer, twelve people")


if __name__ == "__main__":
    main()
