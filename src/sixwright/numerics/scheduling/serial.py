"""Serial schedule generation: activities placed one by one, for thousands of draws at a time.

All draws place the activities in one order, so that one step handles all of them. Beside the draws
as they are, each *variant* takes other ticks for one activity: rows of one array, which are alike
up to the place of that activity.

Array shapes: ``d`` draws, ``r`` rows (the draws as they are, then the variants).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from sixwright.kernel.errors import InputError
from sixwright.numerics.scheduling.calendars import NEVER, Calendar
from sixwright.numerics.scheduling.network import Precedence

_NONE = -1  # a day on which nothing blocks
_CHUNK = 60_000  # rows times draws worked at once: what the processor's cache holds


@dataclass(frozen=True, slots=True, eq=False)
class Activity:
    """One activity to be placed.

    Attributes
    ----------
    links
        What it waits for; each of these is placed before it.
    calendar
        What its days yield; None where every day yields one tick.
    resource
        What it occupies from start to finish, or None.
    start
        First day from each on which it may start, as `Calendar.start`; None: the calendar's.
    not_before
        First day on which it may start.
    begun
        Day on which it began, where it has: it then waits for nothing, and works on from
        `not_before`.
    finished
        Day on which it was done, where it is; it then occupies nothing. Without `begun` it is
        taken to have begun on that day.
    """

    links: tuple[Precedence, ...] = ()
    calendar: Calendar | None = None
    resource: str | None = None
    start: np.ndarray | None = None
    not_before: int = 0
    begun: int | None = None
    finished: int | None = None


@dataclass(frozen=True, slots=True, eq=False)
class ScheduledActivities:
    """Where activities were placed.

    Attributes
    ----------
    start, finish
        Days of each activity, shape (d,); `NEVER` where it is not reached.
    last
        Last finish of the activities that count, shape (r, d).
    """

    start: Mapping[str, np.ndarray]
    finish: Mapping[str, np.ndarray]
    last: np.ndarray


class _Board:
    """What is placed so far, one entry an activity in order: arrays of shape (activities, r, d)."""

    def __init__(self, shape: tuple[int, int, int]) -> None:
        self.start, self.finish = np.zeros(shape, np.int16), np.zeros(shape, np.int16)
        self.until = np.zeros(shape, np.int16)  # the finish where it occupies its resource, else -1
        self.depth = np.zeros(shape, np.int16)  # how many occupy the resource on that day
        self.at: dict[str, int] = {}


def place(
    activities: Mapping[str, Activity],
    ticks: Mapping[str, np.ndarray],
    capacities: Mapping[str, int],
    *,
    variants: Sequence[tuple[str, np.ndarray]] = (),
    counted: frozenset[str] | None = None,
) -> ScheduledActivities:
    """Place every activity at its earliest feasible day, in the order given.

    Parameters
    ----------
    activities
        In the order in which they are placed; each after all that it waits for.
    ticks
        Work of each activity, shape (d,), in the ticks of its calendar.
    capacities
        How many activities each resource works on at a time, 1 or more.
    variants
        Activity and its other ticks, shape (d,); in any order.
    counted
        Activities whose finish counts for the last one; None: all.

    Raises
    ------
    InputError
        If an activity waits for one that is not placed before it.

    Source
    ------
    kolisch-1996, serial schedule generation: gaps before what is placed already are used.
    """
    _check(activities)
    order = tuple(activities)
    at = {each: position for position, each in enumerate(order)}
    by_place = sorted(range(len(variants)), key=lambda v: (at[variants[v][0]], v))
    rows = [variants[v] for v in by_place]
    draws = len(ticks[order[0]]) if order else 0
    counts = order if counted is None else [each for each in order if each in counted]
    step = max(1, _CHUNK // (len(rows) + 1))
    spans = [slice(low, min(low + step, draws)) for low in range(0, draws, step)]
    parts = [_place_draws(activities, ticks, capacities, rows, span, counts) for span in spans]
    last = np.concatenate([part[2] for part in parts], axis=1) if parts else np.zeros((1, 0))
    back = np.zeros(len(rows) + 1, dtype=int)
    back[[0, *(v + 1 for v in by_place)]] = range(len(rows) + 1)
    return ScheduledActivities(
        {e: np.concatenate([part[0][p] for part in parts]) for p, e in enumerate(order)},
        {e: np.concatenate([part[1][p] for part in parts]) for p, e in enumerate(order)},
        last[back],
    )


def _check(activities: Mapping[str, Activity]) -> None:
    seen: set[str] = set()
    for each, activity in activities.items():
        early = [link.after for link in activity.links if link.after not in seen]
        if early:
            raise InputError(f"activities must stand after what they wait for; received {each!r} "
                             f"before {early[0]!r}.")  # fmt: skip
        seen.add(each)


def _place_draws(  # noqa: PLR0913, PLR0917  the same as `place`, for some of the draws
    activities: Mapping[str, Activity],
    ticks: Mapping[str, np.ndarray],
    capacities: Mapping[str, int],
    rows: Sequence[tuple[str, np.ndarray]],
    part: slice,
    counts: Sequence[str],
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    shape = (len(activities), len(rows) + 1, part.stop - part.start)
    board = _Board(shape)
    sharing: dict[str, list[int]] = {name: [] for name in capacities}
    used = 1
    for position, (each, activity) in enumerate(activities.items()):
        own = [other for name, other in rows[used - 1 :] if name == each]
        fresh = slice(used, used + len(own))
        for array in (board.start, board.finish, board.until, board.depth):
            array[:position, fresh] = array[:position, :1]
        used = fresh.stop
        work = np.tile(ticks[each][part], (used, 1))
        for row, other in zip(range(fresh.start, fresh.stop), own, strict=True):
            work[row] = other[part]
        board.at[each] = position
        resource = activity.resource
        _put(activity, work, board, position, sharing.get(resource or "", []),
             capacities.get(resource or "", 0))  # fmt: skip
        if resource is not None and activity.finished is None:
            sharing[resource].append(position)
    positions = [board.at[each] for each in counts]
    last = board.finish[positions].max(axis=0) if positions else np.zeros(shape[1:], np.int16)
    return board.start[:, 0], board.finish[:, 0], last


def _put(  # noqa: PLR0913, PLR0917  one activity, and all that says where it may lie
    activity: Activity,
    work: np.ndarray,
    board: _Board,
    position: int,
    sharing: Sequence[int],
    capacity: int,
) -> None:
    """Find one activity its days, in every row."""
    rows = slice(0, len(work))
    if activity.finished is not None:
        board.finish[position] = activity.finished
        board.start[position] = activity.finished if activity.begun is None else activity.begun
        board.until[position] = _NONE
        return
    if activity.begun is not None:
        first = np.full(work.shape, activity.not_before, dtype=np.int16)
        start = np.full(work.shape, activity.begun, dtype=np.int16)
        finish = _finish(activity, first, work)
    else:
        start = _starts(activity, _ready(activity, board, rows))
        finish = _finish(activity, start, work)
        if sharing:
            _wait_for_room(activity, work, start, finish, board, sharing, capacity)
    board.start[position, rows], board.finish[position, rows] = start, finish
    if not capacity:
        return
    occupied = np.where((finish < NEVER) & (work > 0), finish, _NONE).astype(np.int16)
    depth = np.ones(work.shape, dtype=np.int16)
    for other in sharing:
        s, u, n = board.start[other, rows], board.until[other, rows], board.depth[other, rows]
        depth += (s <= occupied) & (u >= occupied)
        n += (start <= u) & (occupied >= u)
    board.until[position, rows], board.depth[position, rows] = occupied, depth


def _ready(activity: Activity, board: _Board, rows: slice) -> np.ndarray:
    """First day that links and date allow."""
    ready = np.full(board.start[0, rows].shape, activity.not_before, dtype=np.int16)
    for link in activity.links:
        waits = board.start if link.from_start else board.finish
        lag = np.int16(link.lag if link.from_start else link.lag + 1)
        np.maximum(ready, waits[board.at[link.after], rows] + lag, out=ready)
    return ready


def _starts(activity: Activity, ready: np.ndarray) -> np.ndarray:
    table = activity.start
    if table is None:
        if activity.calendar is None:
            return np.where(ready >= _LATE, NEVER, ready).astype(np.int16)
        table = activity.calendar.start
    return np.take(table, ready, mode="clip")


# Lags are far below this distance, so that a day near NEVER is never.
_LATE = NEVER - 3_999


def _finish(activity: Activity, start: np.ndarray, work: np.ndarray) -> np.ndarray:
    if activity.calendar is None:
        return np.where(start < NEVER, np.minimum(start + work - 1, NEVER), NEVER).astype(np.int16)
    return activity.calendar.finish(start, work)


def _wait_for_room(  # noqa: PLR0913, PLR0917  as `_put`
    activity: Activity,
    work: np.ndarray,
    start: np.ndarray,
    finish: np.ndarray,
    board: _Board,
    sharing: Sequence[int],
    capacity: int,
) -> None:
    """Move starts and finishes, in place, until the resource has room on all of their days."""
    rows = slice(0, len(work))
    others = [(board.start[o, rows].ravel(), board.until[o, rows].ravel(),
               board.depth[o, rows].ravel()) for o in sharing]  # fmt: skip
    flat_start, flat_finish, flat_work = start.reshape(-1), finish.reshape(-1), work.reshape(-1)
    where = np.flatnonzero((flat_finish < NEVER) & (flat_work > 0))
    everywhere = len(where) == len(flat_start)
    while len(where):
        begins, ends = flat_start[where], flat_finish[where]
        held = others if everywhere else [tuple(a[where] for a in each) for each in others]
        everywhere = False
        blocked = _last_blocked(begins, ends, held, capacity)
        stuck = blocked > _NONE
        where = where[stuck]
        moved = _starts(activity, blocked[stuck] + np.int16(1))
        flat_start[where] = moved
        flat_finish[where] = _finish(activity, moved, flat_work[where])
        where = where[flat_finish[where] < NEVER]


def _last_blocked(
    start: np.ndarray, finish: np.ndarray, held: Sequence[tuple[np.ndarray, ...]], capacity: int
) -> np.ndarray:
    """A day before which no start can do, where a day from start to finish has no room; else -1.

    A start up to a blocked day that lies before its finish stays blocked by it: a later start never
    finishes earlier. The last blocked day is the finish itself or the end of something placed.
    """
    blocked = np.full(start.shape, _NONE, dtype=np.int16)
    if capacity == 1:
        for s, u, _ in held:
            overlap = (s <= finish) & (u >= start)
            np.maximum(blocked, np.where(overlap, u, np.int16(_NONE)), out=blocked)
        return blocked
    crowd = np.zeros(start.shape, dtype=np.int16)
    clears = np.full(start.shape, NEVER, dtype=np.int16)
    for s, u, depth in held:
        across = (s <= finish) & (u >= finish)
        crowd += across
        np.minimum(clears, np.where(across, u, np.int16(NEVER)), out=clears)
        full = (u >= start) & (u <= finish) & (depth >= capacity)
        np.maximum(blocked, np.where(full, u, np.int16(_NONE)), out=blocked)
    return np.where(crowd >= capacity, clears, blocked)
