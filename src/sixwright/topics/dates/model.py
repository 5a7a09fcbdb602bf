"""What dates needs and what it answers: when each task and milestone is reached, and how surely."""

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import accumulate
from math import ceil

from sixwright.kernel.intervals import Interval
from sixwright.line.dates import (
    Away,
    DateRules,
    Milestone,
    Person,
    Promise,
    Slot,
    Task,
    TaskLink,
)
from sixwright.line.likeness import Round

DRAWS = 10_000
GAIN_DRAWS = 1_000
GAINS_TOLD = 5
CRITICAL_LEAST = 0.05  # share of draws from which shortening a task is tried


@dataclass(frozen=True, slots=True)
class Quote:
    """The quote of a part that a task makes or orders.

    Attributes
    ----------
    lead_days
        Days from order to delivery.
    valid_until
        Last day of the quote.
    """

    way: str
    part: str
    maker: str
    lead_days: int | None = None
    valid_until: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Inputs:
    """The tasks of a line, the people who do them, and what was promised.

    Attributes
    ----------
    today
        Nothing that has not begun starts before it.
    quotes
        Task to the quote of its part's chosen way.
    rounds
        All rounds delivered, of every sculpt.
    """

    line: str
    seed: int
    today: dt.date
    rules: DateRules
    tasks: Mapping[str, Task]
    links: tuple[TaskLink, ...] = ()
    people: Mapping[str, Person] = field(default_factory=dict)
    away: tuple[Away, ...] = ()
    milestones: Mapping[str, Milestone] = field(default_factory=dict)
    promises: Mapping[str, Promise] = field(default_factory=dict)
    slots: tuple[Slot, ...] = ()
    quotes: Mapping[str, Quote] = field(default_factory=dict)
    rounds: tuple[Round, ...] = ()

    @property
    def start(self) -> dt.date:
        """First day of the line."""
        return self.rules.start or self.today


@dataclass(frozen=True, slots=True)
class NetworkDates:
    """Days from the start, by mean durations alone: no people, calendars or slots."""

    early_start: float
    early_finish: float
    late_start: float
    late_finish: float
    slack: float
    mean: float
    critical: bool


@dataclass(frozen=True, slots=True)
class PlannedTask:
    """First and last day of a task in the plan."""

    start: dt.date
    finish: dt.date


@dataclass(frozen=True, slots=True)
class Plan:
    """The plan at likely durations.

    Attributes
    ----------
    tasks
        Task to its days; None where it is not reached or not known.
    finish
        Last finish.
    bound_days
        No plan at these durations takes fewer days from the start, which is day 1; None where
        nothing is planned.
    proven
        Whether the plan was shown to be the best, and not only the best found.
    """

    tasks: Mapping[str, PlannedTask | None]
    finish: dt.date | None
    bound_days: int | None
    proven: bool


@dataclass(frozen=True, slots=True)
class Reached:
    """When something is finished, over the draws.

    Attributes
    ----------
    p50, p80, p95
        Days by which it is finished in that share of draws; None where it is not in that many.
    days, counts
        Days on which it is finished in some draw, rising, and in how many.
    never
        Draws in which it is not reached.
    """

    p50: dt.date | None
    p80: dt.date | None
    p95: dt.date | None
    days: tuple[dt.date, ...]
    counts: tuple[int, ...]
    never: int

    def by(self, day: dt.date) -> int:
        """Draws in which it is finished by the end of a day."""
        return sum(count for each, count in zip(self.days, self.counts, strict=True) if each <= day)

    def day_at(self, share: float) -> dt.date | None:
        """First day by which it is finished in this share of the draws; None where in fewer."""
        wanted = ceil(share * (sum(self.counts) + self.never) - 1e-9)
        for day, done in zip(self.days, accumulate(self.counts), strict=True):
            if done >= wanted:
                return day
        return None


@dataclass(frozen=True, slots=True)
class TaskAnswer:
    """What the draws say of one task.

    Attributes
    ----------
    critical
        Share of draws in which it taking one day longer would delay the last finish.
    running
        Share of draws in which it is under way in each week, from the first week of the answer.
    waits
        Mean days that it waits for its `who` after all that it waits for is done.
    """

    finish: Reached
    critical: float
    running: tuple[float, ...]
    waits: float


@dataclass(frozen=True, slots=True)
class PromiseAnswer:
    """How sure a promise is; `chance` is None where it cannot be known, and `missing` says why."""

    date: dt.date
    chance: Interval | None
    judged: bool
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Gain:
    """Days that the 80 % day of the last finish comes earlier.

    Attributes
    ----------
    kind
        ``task``: it takes its low point; ``person``: they work on one task more at a time.
    """

    kind: str
    id: str
    days: int


@dataclass(frozen=True, slots=True)
class Slip:
    """A task that takes longer than the plan had for it before it began.

    Attributes
    ----------
    stated, now
        Days that the plan had, and has now with those that were worked.
    rounds_stated, rounds_now
        The same in rounds; 1 of a task that is no loop.
    """

    task: str
    stated: float
    now: float
    rounds_stated: int
    rounds_now: int


@dataclass(frozen=True, slots=True)
class Week:
    """Days of work asked of somebody in an ISO week, and days that are there."""

    who: str
    week: str
    monday: dt.date
    asked: float
    there: float


@dataclass(frozen=True, slots=True)
class TrackRecord:
    """Gaps between rounds that a maker delivered, counted into a task's duration."""

    maker: str
    gaps: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Answer:
    """When everything is reached.

    Attributes
    ----------
    network, tasks
        Task to what is known of it; None where a duration is missing that it rests on.
    milestones
        Milestone to the days on which it is reached, over the draws.
    slots
        Slot to the chance that its task starts by its last day; None as above.
    orders
        Task to the chance that it starts while the quote of its part is good.
    finish
        The last finish; None of a line without a known task.
    monday
        First week of `TaskAnswer.running`.
    missing
        Task to the inputs that its duration lacks.
    rests
        Task to the tasks of `missing` that it rests on.
    never
        Tasks that are not reached in some draw, though all that they wait for is; with the draws.
    track_records
        Task to the gaps of its maker that count.
    planned
        Milestone to the day of the plan.
    slips
        What takes longer than was planned before it began, the longest first.
    """

    start: dt.date
    draws: int
    network: Mapping[str, NetworkDates | None]
    plan: Plan
    tasks: Mapping[str, TaskAnswer | None]
    milestones: Mapping[str, Reached | None]
    promises: Mapping[str, PromiseAnswer]
    gains: tuple[Gain, ...]
    load: tuple[Week, ...]
    slots: Mapping[str, Interval | None]
    orders: Mapping[str, Interval | None]
    finish: Reached | None
    monday: dt.date
    missing: Mapping[str, tuple[str, ...]]
    rests: Mapping[str, tuple[str, ...]]
    never: Mapping[str, int]
    track_records: Mapping[str, TrackRecord]
    planned: Mapping[str, dt.date | None] = field(default_factory=dict)
    slips: tuple[Slip, ...] = ()
