"""A network of activities: what must come after what, early and late dates, and slack."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from typing import Any

from sixwright.kernel.errors import InputError

SLACK_NONE = 1e-9  # days; below it an activity is critical


@dataclass(frozen=True, slots=True)
class Precedence:
    """One activity waits for another.

    Attributes
    ----------
    after
        Whom it waits for.
    lag
        Days between them; below 0 they may overlap.
    from_start
        Whether it waits for the other's start instead of its finish.
    """

    after: str
    lag: int = 0
    from_start: bool = False


Links = Mapping[str, Sequence[Precedence]]


@dataclass(frozen=True, slots=True)
class Timing:
    """Early and late dates of one activity, in days from the start of the network."""

    early_start: float
    early_finish: float
    late_start: float
    late_finish: float

    @property
    def slack(self) -> float:
        """Days that it may start later without delaying the last finish."""
        return self.late_start - self.early_start

    @property
    def critical(self) -> bool:
        """Whether it has no slack."""
        return self.slack < SLACK_NONE


def ordered(links: Links, rank: Mapping[str, Any] | None = None) -> tuple[str, ...]:
    """Activities, each after all that it waits for; of those that may come, the least rank first.

    Parameters
    ----------
    links
        Activity to its links; every activity is a key.
    rank
        What is compared between activities; None: the activities themselves.

    Raises
    ------
    InputError
        If links go in a circle, which the error names.
    """
    key = {each: (rank[each], each) if rank else (each,) for each in links}
    waiting = {each: len({link.after for link in of}) for each, of in links.items()}
    following: dict[str, list[str]] = {each: [] for each in links}
    for each, of in links.items():
        for after in {link.after for link in of}:
            following[after].append(each)
    free = [(key[each], each) for each, count in waiting.items() if count == 0]
    heapify(free)
    placed: list[str] = []
    while free:
        _, each = heappop(free)
        placed.append(each)
        for next_ in following[each]:
            waiting[next_] -= 1
            if waiting[next_] == 0:
                heappush(free, (key[next_], next_))
    if len(placed) < len(links):
        raise InputError(f"links must not go in a circle; received {' → '.join(circle(links))}.")
    return tuple(placed)


def circle(links: Links) -> tuple[str, ...]:
    """Activities that wait for each other in a circle, the first one again at the end; or none."""
    state: dict[str, int] = {}
    for root in links:
        path = [root] if root not in state else []
        trail = [iter([link.after for link in links[root]])] if path else []
        state.setdefault(root, 1)
        while trail:
            each = next(trail[-1], None)
            if each is None:
                state[path.pop()] = 2
                trail.pop()
            elif state.get(each) == 1:
                return (*reversed(path[path.index(each) :]), path[-1])
            elif each not in state:
                state[each] = 1
                path.append(each)
                trail.append(iter([link.after for link in links[each]]))
    return ()


def timings(links: Links, durations: Mapping[str, float]) -> dict[str, Timing]:
    """Early and late dates of every activity; the last finish is where late dates start from.

    Parameters
    ----------
    links
        Activity to its links.
    durations
        Days, 0 or more.

    Raises
    ------
    InputError
        If links go in a circle.

    Source
    ------
    The critical path method (kelley-1959), with lags and links from start to start.
    """
    order = ordered(links)
    starts: dict[str, float] = {}
    for each in order:
        waits = [_ready(link, starts, durations) for link in links[each]]
        starts[each] = max([0.0, *waits])
    end = max((starts[each] + durations[each] for each in order), default=0.0)
    late = {each: end - durations[each] for each in order}
    for each in reversed(order):
        for link in links[each]:
            latest = late[each] - link.lag
            if not link.from_start:
                latest -= durations[link.after]
            late[link.after] = min(late[link.after], latest)
    return {
        each: Timing(
            starts[each], starts[each] + durations[each], late[each], late[each] + durations[each]
        )
        for each in links
    }


def _ready(link: Precedence, starts: Mapping[str, float], durations: Mapping[str, float]) -> float:
    """When a link lets an activity start."""
    begins = starts[link.after] + link.lag
    return begins if link.from_start else begins + durations[link.after]


def resting_on(links: Links, these: set[str]) -> set[str]:
    """These activities and all that wait for one of them, at whatever remove.

    Raises
    ------
    InputError
        If links go in a circle.
    """
    found = set(these)
    for each in ordered(links):
        if any(link.after in found for link in links[each]):
            found.add(each)
    return found
