"""What a date rests on: tasks and what they wait for, people and when they work, what was promised.

Days of work are floats; an empty cell is None here, but for the few defaults that a docstring
states.
"""

import datetime as dt
from dataclasses import dataclass

from sixwright.kernel.currency import Money

DAYS = ("working", "calendar")  # tasks.csv, `days`
LINK_KINDS = ("finish-start", "start-start")  # links.csv, `kind`
HOLIDAYS = ("public", "none")  # line.toml, [dates] holidays
LAG_MOST = 3_650  # days of calendar: no lag is longer


@dataclass(frozen=True, slots=True)
class DateRules:
    """The `[dates]` keys of line.toml.

    Attributes
    ----------
    start
        First day of the line; None: the day on which it is looked at.
    confidence
        Chance from which a promise is thought kept, above 0 and below 1.
    holidays
        Whether public holidays of a person's country are free: one of `HOLIDAYS`.
    """

    start: dt.date | None = None
    confidence: float = 0.8
    holidays: str = "public"


@dataclass(frozen=True, slots=True)
class Task:
    """One piece of work (tasks.csv: the columns by name).

    Attributes
    ----------
    who
        Id of the person, crew or machine that it occupies, or None.
    low_days, likely_days, high_days
        Three points, or the likely one alone; days of `days`, 0 or more.
    days
        One of `DAYS`; an empty cell is ``working`` with a `who` and ``calendar`` without.
    after
        Tasks that must be finished before it starts.
    approve_first, approve_last, rounds_most
        Of a task that is repeated until it is approved: chances of the first and the last round,
        and the most rounds.
    started, finished
        Facts.
    left_days, left_on
        What was left on the morning of a day.
    """

    id: str
    name: str = ""
    part: str | None = None
    sculpt: str | None = None
    who: str | None = None
    low_days: float | None = None
    likely_days: float | None = None
    high_days: float | None = None
    days: str = "calendar"
    after: tuple[str, ...] = ()
    approve_first: float | None = None
    approve_last: float | None = None
    rounds_most: int | None = None
    started: dt.date | None = None
    finished: dt.date | None = None
    left_days: float | None = None
    left_on: dt.date | None = None


@dataclass(frozen=True, slots=True)
class TaskLink:
    """What a plain `after` cannot say (links.csv).

    Attributes
    ----------
    kind
        One of `LINK_KINDS`; an empty cell is ``finish-start``.
    lag_days
        Calendar days between; below 0 they may overlap; an empty cell is 0.
    """

    task: str
    after: str
    kind: str = "finish-start"
    lag_days: int = 0


@dataclass(frozen=True, slots=True)
class Person:
    """Someone, a crew or a machine that works on tasks (people.csv).

    Attributes
    ----------
    at_once
        Tasks at a time, 1 or more; an empty cell is 1.
    days_a_week
        1 to 7: the first days of the ISO week; an empty cell is 5.
    country
        ISO 3166-1 alpha-2 code, or None: no public holidays.
    from_day, until
        First and last day on which they can be had.
    """

    id: str
    name: str = ""
    role: str = ""
    at_once: int = 1
    days_a_week: int = 5
    country: str | None = None
    from_day: dt.date | None = None
    until: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Away:
    """Days on which less is done than normally (away.csv).

    Attributes
    ----------
    who
        Id of a person; None: everybody.
    from_day, until
        First and last day.
    share
        Of normal work: 0 is closed, 0.5 is half speed.
    """

    id: str
    who: str | None
    from_day: dt.date
    until: dt.date
    share: float
    why: str = ""


@dataclass(frozen=True, slots=True)
class Milestone:
    """A day that matters, reached when its task finishes; `public` ones are told to buyers."""

    id: str
    name: str
    task: str
    public: bool = False


@dataclass(frozen=True, slots=True)
class Promise:
    """A date that was said of a milestone (promises.csv).

    Attributes
    ----------
    replaces
        Id of the promise that it takes the place of.
    """

    id: str
    milestone: str
    date: dt.date
    said_on: dt.date | None = None
    where: str = ""
    words: str = ""
    replaces: str | None = None


@dataclass(frozen=True, slots=True)
class Slot:
    """Days within which a task may start (slots.csv).

    Attributes
    ----------
    opens, closes
        First and last day.
    holding
        What holds it, to be paid by `pay_by`.
    """

    id: str
    task: str
    opens: dt.date
    closes: dt.date
    holding: Money | None = None
    pay_by: dt.date | None = None
