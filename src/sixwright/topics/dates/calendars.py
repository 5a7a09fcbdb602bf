"""When people work: what each day yields of whom, in days numbered from a first one."""

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from sixwright.line.dates import Away, Person
from sixwright.numerics.scheduling.calendars import Calendar, calendar
from sixwright.topics.dates.model import Inputs

WEEK = 7
NOBODY = ""  # working days of a task without a `who`: Monday to Friday, no public holidays
FINEST = 1_000_000  # a share is taken to the nearest millionth


@dataclass(frozen=True, slots=True, eq=False)
class Calendars:
    """What each day yields, of everybody.

    Attributes
    ----------
    first
        The day numbered 0.
    days
        How many are numbered.
    of
        Person's id to the calendar; `NOBODY` to that of working days as such.
    yields
        Person's id to what each day yields.
    """

    first: dt.date
    days: int
    of: Mapping[str, Calendar]
    yields: Mapping[str, tuple[Fraction, ...]]

    def number(self, day: dt.date) -> int:
        """The number of a day; below 0 before the first."""
        return (day - self.first).days

    def day(self, number: int) -> dt.date:
        """The day of a number."""
        return self.first + dt.timedelta(days=number)


def calendars(inputs: Inputs, first: dt.date, days: int) -> Calendars:
    """The calendars of everybody over so many days.

    Parameters
    ----------
    inputs
        People, when they are away, and whether public holidays are free.
    first
        The day numbered 0.
    days
        How many days, 1 or more.

    Raises
    ------
    sixwright.kernel.errors.InputError
        If there are none or too many days.

    Source
    ------
    docs/topics/dates.md. The days of a week are counted as in ISO 8601: Monday is the first.
    """
    people = {NOBODY: Person(NOBODY), **inputs.people}
    yields = {
        who: _yields(person, _absences(inputs.away, who), inputs.rules.holidays, first, days)
        for who, person in people.items()
    }
    return Calendars(first, days, {who: calendar(each) for who, each in yields.items()}, yields)


def _absences(away: Iterable[Away], who: str) -> list[Away]:
    return [each for each in away if each.who is None or each.who == who]


def _yields(
    person: Person, absences: Iterable[Away], holidays: str, first: dt.date, days: int
) -> tuple[Fraction, ...]:
    week = [Fraction(1 if day < person.days_a_week else 0) for day in range(WEEK)]
    monday = first.weekday()
    made = [week[(monday + day) % WEEK] for day in range(days)]
    if holidays == "public" and person.country:
        for day in public_holidays(person.country, first.year, _last_year(first, days)):
            _times(made, (day - first).days, (day - first).days, Fraction(0))
    for each in absences:
        share = Fraction(each.share).limit_denominator(FINEST)
        _times(made, (each.from_day - first).days, (each.until - first).days, share)
    if person.from_day is not None:
        _times(made, 0, (person.from_day - first).days - 1, Fraction(0))
    if person.until is not None:
        _times(made, (person.until - first).days + 1, days, Fraction(0))
    return tuple(made)


def _last_year(first: dt.date, days: int) -> int:
    return (first + dt.timedelta(days=days)).year


def _times(yields: list[Fraction], low: int, high: int, share: Fraction) -> None:
    for day in range(max(low, 0), min(high + 1, len(yields))):
        yields[day] *= share


@lru_cache(maxsize=64)
def public_holidays(country: str, first_year: int, last_year: int) -> frozenset[dt.date]:
    """Public holidays of a country on the days on which they are observed.

    Parameters
    ----------
    country
        ISO 3166-1 alpha-2 code.
    first_year, last_year
        Years asked for.

    Raises
    ------
    NotImplementedError
        If the package has no such country; reading a folder refuses those.

    Source
    ------
    The `holidays` package, public category; days of years to come are as far as it knows them.
    """
    from holidays import country_holidays

    return frozenset(country_holidays(country, years=range(first_year, last_year + 1)))


def countries() -> frozenset[str]:
    """Codes of the countries whose public holidays are known."""
    from holidays import list_supported_countries

    return frozenset(list_supported_countries())
