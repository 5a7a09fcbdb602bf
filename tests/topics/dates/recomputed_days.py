"""What days yield and how long tasks take, from the shared definitions alone.

One day and one draw at a time, in fractions; of sixwright only the nouns of a line are used.
"""

import datetime as dt
from fractions import Fraction
from functools import cache
from itertools import pairwise
from statistics import mean, variance

import holidays
from scipy import stats

from numerics.philox import two_uniforms

ONE = dt.timedelta(days=1)
TINY = 1e-9


@cache
def public(country):
    return holidays.country_holidays(country, observed=True, categories=(holidays.PUBLIC,))


def yields(inputs, who, day):
    """What a day of somebody yields; of nobody: Monday to Friday."""
    person = inputs.people.get(who)
    days_a_week = person.days_a_week if person else 5
    made = Fraction(int(day.isoweekday() <= days_a_week))
    if person and person.country and inputs.rules.holidays == "public":
        made *= day not in public(person.country)
    if person and person.from_day and day < person.from_day:
        made *= 0
    if person and person.until and day > person.until:
        made *= 0
    for away in inputs.away:
        if away.who in {None, who} and away.from_day <= day <= away.until:
            made *= Fraction(away.share).limit_denominator(1000)
    return made


class Length:
    """How long one task, or one round of it, takes."""

    def __init__(self, inputs, task):
        self.inputs, self.task = inputs, task
        self.quoted = False
        self.low, self.likely, self.dist = self._points()
        self.known = self.likely is not None
        self.came = sorted(
            (each for each in inputs.rounds
             if task.rounds_most and each.sculpt == task.sculpt and each.date <= inputs.today),
            key=lambda each: each.date,
        )  # fmt: skip
        self.mean, self.variance = self._moments()
        if self.known:
            self._own_past()

    def _points(self):
        low, likely, high = self.task.low_days, self.task.likely_days, self.task.high_days
        quote = self.inputs.quotes.get(self.task.id)
        if (low, likely, high) == (None, None, None):
            self.quoted = quote is not None
            lead = quote.lead_days if quote else None
            return lead, lead, None
        if low is None and high is None:
            return likely, likely, None
        if None in {low, likely, high}:
            return None, None, None
        if low == high:
            return low, low, None
        alpha = 1 + 4 * (likely - low) / (high - low)
        beta = 1 + 4 * (high - likely) / (high - low)
        return low, likely, stats.beta(alpha, beta, loc=low, scale=high - low)

    def _moments(self):
        """Mean and variance that were stated."""
        if not self.known:
            return None, None
        if self.dist is None:
            return self.likely, 0.0
        a, m, b = self.task.low_days, self.task.likely_days, self.task.high_days
        middle = (a + 4 * m + b) / 6
        return middle, (middle - a) * (b - middle) / 7

    def _own_past(self):
        gaps = self._gaps(self.came[-1].maker) if self.came else []
        if len(gaps) < 3:
            return
        n = len(gaps)
        seen, spread = mean(gaps), variance(gaps)
        self.mean = (n * seen + 2 * self.mean) / (n + 2)
        self.variance = (n * spread + 2 * self.variance) / (n + 2)
        if self.variance > 0:
            scale = self.variance / self.mean
            self.dist = stats.gamma(self.mean / scale, scale=scale)
        else:
            self.dist = None

    def _gaps(self, maker):
        """Days of work between rounds of one sculpt that follow each other, both this maker's."""
        person = self.inputs.people.get(self.task.who)
        share = 1 if self.calendar else Fraction(person.days_a_week if person else 5, 7)
        found = []
        for sculpt in {each.sculpt for each in self.inputs.rounds}:
            of = sorted((each for each in self.inputs.rounds
                         if each.sculpt == sculpt and each.date <= self.inputs.today),
                        key=lambda each: each.date)  # fmt: skip
            found += [(b.date - a.date).days for a, b in pairwise(of)
                      if a.maker == b.maker == maker and b.date > a.date]  # fmt: skip
        return [float(each * share) for each in found]

    @property
    def calendar(self):
        return self.task.days == "calendar" or self.quoted

    def a_day(self, day):
        return Fraction(1) if self.calendar else yields(self.inputs, self.task.who, day)

    def approvals(self):
        """Chance that each round is the last, of all rounds."""
        n, first, last = self.task.rounds_most, self.task.approve_first, self.task.approve_last
        if not n:
            return [1.0]
        return [first + (last - first) * (r - 1) / (n - 1) for r in range(1, n)] + [1.0]

    def to_come(self):
        """Number and chance of each round that is left; where all came, one more."""
        every = self.approvals()
        done = len(self.came)
        chances = every[done:] or [1.0]
        first = done + 1 if self.task.rounds_most else 0
        return [(first + i, chance) for i, chance in enumerate(chances)]

    @property
    def expected(self):
        return _expected(self.approvals())

    @property
    def expected_left(self):
        return _expected([chance for _, chance in self.to_come()])

    @property
    def began(self):
        """The day on which it became a fact that it is under way, or None."""
        if self.task.started:
            return self.task.started
        return self.came[0].date if self.came else None

    @property
    def stated(self):
        """Whether what is left is stated, of something that has begun."""
        return self.began is not None and None not in {self.task.left_days, self.task.left_on}

    @property
    def since(self):
        """First day of what is being worked on."""
        if self.stated:
            return self.task.left_on
        return self.came[-1].date + ONE if self.came else self.began

    @property
    def elapsed(self):
        """Yields up to yesterday."""
        done, day = Fraction(0), self.since
        while day is not None and day < self.inputs.today:
            done, day = done + self.a_day(day), day + ONE
        return float(done)

    def left(self, of_round, approved):
        """Days of work from today, or from its start; of_round(number, elapsed): of one."""
        if self.stated:
            return max(self.task.left_days - self.elapsed, 1.0)
        total, elapsed = 0.0, self.elapsed if self.began else 0.0
        for number, chance in self.to_come():
            total += of_round(number, elapsed)
            if approved(number, chance):
                break
            elapsed = 0.0
        return total

    def drawn(self, seed, draw):
        return self.left(
            lambda number, elapsed: self._one(two_uniforms(seed, self.task.id, number, draw)[0],
                                              elapsed),
            lambda number, chance: two_uniforms(seed, self.task.id, number, draw)[1] < chance,
        )  # fmt: skip

    def _one(self, share, elapsed):
        if self.dist is None:
            return rest(self.mean, elapsed)
        gone = float(self.dist.cdf(elapsed)) if elapsed else 0.0
        if gone >= 1 - 1e-12:
            return 1.0
        return max(float(self.dist.ppf(gone + share * (1 - gone))) - elapsed, 0.0)

    def at_low(self, seed, draw):
        return self.left(
            lambda _, elapsed: rest(self.low, elapsed),
            lambda number, chance: two_uniforms(seed, self.task.id, number, draw)[1] < chance,
        )

    def planned(self):
        """Likely days, a loop at its expected rounds rounded up."""
        if self.stated:
            return self.left(None, None)
        rounds = -int(-(self.expected_left - TINY) // 1)
        first = rest(self.likely, self.elapsed if self.began else 0.0)
        return first + (rounds - 1) * self.likely


def _expected(chances):
    total, comes = 0.0, 1.0
    for chance in chances:
        total, comes = total + comes, comes * (1 - chance)
    return total


def rest(days, elapsed):
    """What is left of known days: one where more have passed."""
    return days - elapsed if elapsed < days or not elapsed else 1.0
