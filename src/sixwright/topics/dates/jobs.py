"""Tasks made ready to be placed: how long each takes, what is left of it, what it waits for."""

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

import numpy as np

from sixwright.line.dates import Task
from sixwright.line.likeness import Round
from sixwright.numerics.draws import uniforms
from sixwright.numerics.durations import (
    Duration,
    Fixed,
    stated_and_seen,
    three_points,
    what_is_left,
)
from sixwright.numerics.scheduling.network import Precedence
from sixwright.topics.dates.model import Inputs, Quote, TrackRecord

GAPS_LEAST = 3  # gaps of a maker from which they count
STATED_WEIGHT = 2  # the statement counts as so many gaps
ONE_DAY = 1.0  # what is left of a task that takes longer than it could


@dataclass(frozen=True, slots=True)
class Job:
    """One task, as far as its duration is known.

    Attributes
    ----------
    links
        What it waits for, by `after` and by links.
    duration
        Of the task, or of each round of a loop; None where it is not known.
    low, likely
        Points of the same, days.
    chances
        Of a loop: approval of each round that is left, the last one 1; else empty.
    all_chances
        The same, of all rounds.
    first_round
        Number of the first round that is left; 0 of a task that is no loop.
    began
        Day on which it began, or its first round came.
    current_since
        Day on which the round, or the task, that is being worked on began.
    left
        Days left on the morning of `current_since`, where that is stated.
    missing
        The inputs that its duration lacks.
    """

    task: Task
    links: tuple[Precedence, ...]
    duration: Duration | None
    low: float
    likely: float
    chances: tuple[float, ...] = ()
    all_chances: tuple[float, ...] = ()
    first_round: int = 0
    began: dt.date | None = None
    current_since: dt.date | None = None
    left: float | None = None
    missing: tuple[str, ...] = ()
    track_record: TrackRecord | None = None

    @property
    def calendar_days(self) -> bool:
        """Whether every day counts."""
        return self.task.days == "calendar"

    @property
    def is_order(self) -> bool:
        """Whether it is to begin and takes the lead time of a quote: it has no days of its own."""
        task = self.task
        own = (task.low_days, task.likely_days, task.high_days) != (None, None, None)
        return not own and self.began is None and task.finished is None

    @property
    def mean(self) -> float | None:
        """Mean days of the whole task, nothing begun; None where it is not known."""
        if self.duration is None:
            return None
        return self.duration.mean * (expected_rounds(self.all_chances) if self.all_chances else 1)

    @property
    def rounds_left(self) -> int:
        """Rounds that the plan counts on: the expected number of those left, rounded up."""
        return ceil(expected_rounds(self.chances) - 1e-9) if self.chances else 1


def expected_rounds(chances: tuple[float, ...]) -> float:
    """How many rounds a loop takes on average.

    Parameters
    ----------
    chances
        Approval of each round that may come, 0 to 1; the last one ends it in any case.

    Source
    ------
    Round r comes where all before it were not approved: the sum of these chances.
    """
    total, comes = 0.0, 1.0
    for chance in chances:
        total += comes
        comes *= 1 - chance
    return total


def jobs(inputs: Inputs) -> dict[str, Job]:
    """Every task of the line, made ready.

    Parameters
    ----------
    inputs
        Tasks, links, quotes and rounds.

    Raises
    ------
    sixwright.kernel.errors.InputError
        If points do not rise, which reading a folder refuses.

    Source
    ------
    docs/topics/dates.md.
    """
    links: dict[str, list[Precedence]] = defaultdict(list)
    for task in inputs.tasks.values():
        links[task.id] += [Precedence(after) for after in task.after]
    for each in inputs.links:
        links[each.task].append(Precedence(each.after, each.lag_days, each.kind == "start-start"))
    gaps = _gaps(inputs)
    return {id_: _job(inputs, task, tuple(links[id_]), gaps) for id_, task in inputs.tasks.items()}


def _job(
    inputs: Inputs, task: Task, links: tuple[Precedence, ...], gaps: Mapping[str, tuple[int, ...]]
) -> Job:
    points, missing = _points(task, inputs.quotes.get(task.id))
    duration = None if points is None else three_points(*points)
    low, likely, _ = points or (0.0, 0.0, 0.0)
    if task.rounds_most is None:
        left = task.left_days if task.left_on else None
        if task.left_days is not None and task.left_on is None:
            missing = (f"tasks/{task.id}/left_on",)
        since = task.left_on if left is not None else task.started
        return Job(task, links, duration, low, likely, began=task.started, current_since=since,
                   left=left, missing=_still(task, missing, left))  # fmt: skip
    return _loop(inputs, Job(task, links, duration, low, likely, missing=missing), gaps)


def _still(task: Task, missing: tuple[str, ...], left: float | None) -> tuple[str, ...]:
    """What is missing: nothing of a task that is done, or whose rest is stated."""
    known = task.finished is not None or (task.started is not None and left is not None)
    return () if known else missing


def _points(
    task: Task, quote: Quote | None
) -> tuple[tuple[float, float, float] | None, tuple[str, ...]]:
    """Low, likely and high days, or what is missing of them."""
    stated = (task.low_days, task.likely_days, task.high_days)
    low, likely, high = stated
    if low is not None and likely is not None and high is not None:
        return (low, likely, high), ()
    if likely is not None and low is None and high is None:
        return (likely, likely, likely), ()
    if low is not None and low == high:
        return (low, low, low), ()
    if stated == (None, None, None) and quote is not None:
        if quote.lead_days is None:
            return None, (f"ways/{quote.way}/lead_days",)
        days = float(quote.lead_days)
        return (days, days, days), ()
    names = ("low_days", "likely_days", "high_days")
    lacking = [name for name, days in zip(names, stated, strict=True) if days is None]
    if len(lacking) == len(names):
        lacking = ["likely_days"]
    return None, tuple(f"tasks/{task.id}/{name}" for name in lacking)


def _loop(inputs: Inputs, job: Job, gaps: Mapping[str, tuple[int, ...]]) -> Job:
    """A task that is repeated until it is approved."""
    task, most = job.task, job.task.rounds_most or 1
    first, last = task.approve_first, task.approve_last
    lacking = [
        f"tasks/{task.id}/{name}"
        for name, value in (("approve_first", first), ("approve_last", last))
        if value is None and most > 1
    ]
    chances = (*(_approved(first or 0.0, last or 0.0, r, most) for r in range(1, most)), 1.0)
    delivered = _delivered(inputs, task.sculpt)
    dated = [each.date for each in delivered if each.date is not None]
    done = len(delivered)
    since = max(dated) + dt.timedelta(days=1) if dated else task.started
    if since is None and delivered:
        since = inputs.today
    began = task.started or (min(dated) if dated else since)
    left = task.left_days if task.left_on else None
    missing = (*job.missing, *lacking)
    if task.left_days is not None and task.left_on is None:
        missing = (*missing, f"tasks/{task.id}/left_on")
    duration, track_record = _with_track_record(inputs, job, delivered, gaps)
    stated = began is not None and left is not None
    return Job(
        task, job.links, duration, job.low, job.likely,
        chances=chances[min(done, most - 1):], all_chances=chances,
        first_round=done + 1, began=began, current_since=task.left_on if stated else since,
        left=left, missing=() if stated or task.finished is not None else missing,
        track_record=track_record,
    )  # fmt: skip


def _approved(first: float, last: float, number: int, most: int) -> float:
    """Chance that a round is approved: from the first round's to the last one's in equal steps."""
    return first + (last - first) * (number - 1) / (most - 1)


def _delivered(inputs: Inputs, sculpt: str | None) -> list[Round]:
    """Rounds of a sculpt that have come by today."""
    return [
        each
        for each in inputs.rounds
        if sculpt is not None
        and each.sculpt == sculpt
        and (each.date is None or each.date <= inputs.today)
    ]


def _gaps(inputs: Inputs) -> dict[str, tuple[int, ...]]:
    """Maker to the calendar days between rounds of one sculpt that they delivered in a row."""
    found: dict[str, list[int]] = defaultdict(list)
    of_sculpt: dict[str, list[tuple[dt.date, int, str | None]]] = defaultdict(list)
    for each in inputs.rounds:
        if each.date is not None and each.date <= inputs.today:
            of_sculpt[each.sculpt].append((each.date, each.number or 0, each.maker))
    for rounds in of_sculpt.values():
        for (before, _, one), (after, _, other) in pairwise(sorted(rounds, key=lambda r: r[:2])):
            if one is not None and one == other and after > before:
                found[one].append((after - before).days)
    return {maker: tuple(days) for maker, days in found.items()}


def _with_track_record(
    inputs: Inputs, job: Job, delivered: list[Round], gaps: Mapping[str, tuple[int, ...]]
) -> tuple[Duration | None, TrackRecord | None]:
    """The duration of a round, with what its maker has delivered so far counted in."""
    makers = [each.maker for each in delivered if each.maker is not None]
    days = gaps.get(makers[-1], ()) if makers else ()
    if job.duration is None or len(days) < GAPS_LEAST:
        return job.duration, None
    person = inputs.people.get(job.task.who or "")
    share = 1.0 if job.calendar_days else (person.days_a_week if person else 5) / 7
    seen = [each * share for each in days]
    return stated_and_seen(job.duration, seen, STATED_WEIGHT), TrackRecord(makers[-1], tuple(seen))


def drawn_days(job: Job, seed: int, draws: int, elapsed: float) -> np.ndarray:
    """Days of work from now on, in every draw.

    Parameters
    ----------
    job
        With its duration known.
    seed
        The line's.
    draws
        How many.
    elapsed
        Days worked on what is being worked on, up to yesterday.

    Raises
    ------
    sixwright.kernel.errors.InputError
        If there are no draws.

    Source
    ------
    docs/topics/dates.md. Round r of a task is drawn from its own block, so that rounds that were
    delivered leave those to come as they were.
    """
    if job.left is not None and job.began is not None:
        return np.full(draws, max(job.left - elapsed, ONE_DAY))
    duration = job.duration or Fixed(0.0)
    total, going = np.zeros(draws), np.ones(draws, dtype=bool)
    for number, chance in _rounds(job):
        lasts, approves = uniforms(seed, job.task.id, number, draws)
        begun = elapsed if number == job.first_round and job.began is not None else 0.0
        total += np.where(going, what_is_left(duration, begun, lasts, least=ONE_DAY), 0.0)
        going &= approves >= chance
    return total


def low_days(job: Job, seed: int, draws: int, elapsed: float) -> np.ndarray:
    """The same, where the task, or each round of it, takes its low point."""
    if job.left is not None and job.began is not None:
        return np.full(draws, max(job.left - elapsed, ONE_DAY))
    total, going = np.zeros(draws), np.ones(draws, dtype=bool)
    for number, chance in _rounds(job):
        begun = elapsed if number == job.first_round and job.began is not None else 0.0
        total += np.where(going, _less(job.low, begun), 0.0)
        going &= uniforms(seed, job.task.id, number, draws)[1] >= chance
    return total


def likely_days(job: Job, elapsed: float) -> float:
    """The same in the plan: likely days, a loop at its expected rounds rounded up."""
    if job.left is not None and job.began is not None:
        return max(job.left - elapsed, ONE_DAY)
    now = _less(job.likely, elapsed) if job.began is not None else job.likely
    return now + (job.rounds_left - 1) * job.likely


def _less(days: float, elapsed: float) -> float:
    return days - elapsed if elapsed < days or elapsed == 0 else ONE_DAY


def _rounds(job: Job) -> Iterator[tuple[int, float]]:
    """Numbers of the rounds that are left, and the chance of each to be the last."""
    chances = job.chances or (1.0,)
    return ((job.first_round + i, chance) for i, chance in enumerate(chances))
