"""“Which way should we go?”: every open choice tried on the whole line, and laid side by side.

What a morning needs (does each alternative still fit, and what does it do to the profit) is
worked out at once; all combinations with all measures only when somebody asks for `compared`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cached_property
from itertools import combinations

from sixwright.kernel.errors import ChangeError, Problem
from sixwright.kernel.sentences import Sentence
from sixwright.project.apply import apply
from sixwright.project.choices import Alternative, Choice, open_choices
from sixwright.project.model import Project
from sixwright.topics.money.break_even import Side, lead
from sixwright.workflows.choose_cause import cause
from sixwright.workflows.choose_combine import (
    beats,
    changes_of,
    clash,
    counted,
    extent,
    interaction,
    possible,
    selections,
)
from sixwright.workflows.choose_measures import Kind, Measures, difference, kinds, measures
from sixwright.workflows.choose_model import (
    Chosen,
    Combination,
    Compared,
    Exclusion,
    Extent,
    Interaction,
    Weighed,
)
from sixwright.workflows.outcome import Judge, Outcome, money_side, tried

_Key = frozenset[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Effect:
    """What one alternative alone does to the profit; or why it cannot be tried.

    Attributes
    ----------
    profit
        Of the line with it, less that of the line as it stands; None where it is not known.
    missing
        The inputs that are missing for that, each as ``table/id/column``.
    problems
        Why it cannot be tried.
    """

    choice: str
    alternative: str
    profit: Fraction | None = None
    missing: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()


class Choosing:
    """The choices of a line that stands as it does.

    Parameters
    ----------
    stands
        The line with all its topics answered.
    today
        The day on which quotes are read.
    judges
        Topic id to what judges it, each after what it rests on.
    """

    def __init__(self, stands: Outcome, today: date, judges: Mapping[str, Judge]) -> None:
        self.stands = stands
        self.today = today
        self.open = open_choices(stands.project.choices)
        self._judges = judges
        self._side = money_side(stands.project, stands.answers, today) if self.open else None
        self._tried: dict[_Key, Outcome | tuple[Problem, ...]] = {}
        self._applied: dict[_Key, Project | tuple[Problem, ...]] = {}

    @property
    def project(self) -> Project:
        """The line as it stands."""
        return self.stands.project

    @cached_property
    def measures(self) -> Measures:
        """What the line as it stands is measured by."""
        return measures(self.stands)

    @cached_property
    def kinds(self) -> tuple[Kind, ...]:
        """The measures, in the order in which they are shown."""
        return kinds(self.project)

    @cached_property
    def effects(self) -> tuple[Effect, ...]:
        """What each alternative of an open choice, other than the first, does to the profit."""
        return tuple(
            self._effect(choice, alternative)
            for choice in self.open.values()
            for alternative in choice.alternatives[1:]
        )

    def _effect(self, choice: Choice, alternative: Alternative) -> Effect:
        project = self._apply(frozenset({(choice.id, alternative.id)}))
        if not isinstance(project, Project):
            return Effect(choice.id, alternative.id, problems=project)
        boxes = tried(self.stands, project, today=self.today, judges=_lineup_only(self._judges))
        side = money_side(project, boxes.answers, self.today)
        was = self._side.sheet if self._side else side.sheet
        missing = tuple(dict.fromkeys((*was.missing, *side.sheet.missing)))
        if was.profit is None or side.sheet.profit is None:
            return Effect(choice.id, alternative.id, missing=missing)
        return Effect(choice.id, alternative.id, side.sheet.profit - was.profit)

    @cached_property
    def compared(self) -> Compared:
        """All open choices side by side: each alternative alone, and all combinations."""
        how_far = extent(self.open)
        exclusions = tuple(self._exclusions(how_far))
        ways = [
            (chosen, measures(outcome))
            for chosen in selections(self.open, how_far)
            if not any(_holds(chosen, each.choose) for each in exclusions)
            if isinstance(outcome := self.outcome(chosen), Outcome)
        ]
        return Compared(
            kinds=self.kinds,
            choices=self.open,
            weighed={id_: self._weighed(choice) for id_, choice in self.open.items()},
            combinations=_ranked(self.kinds, ways) if self.open else (),
            extent=how_far,
            possible=possible(self.open),
            interactions=() if how_far is Extent.ALONE else tuple(self._interactions(exclusions)),
            exclusions=exclusions,
        )

    def outcome(self, chosen: Chosen) -> Outcome | tuple[Problem, ...]:
        """The line with these alternatives (choices not named: first), or why it cannot be tried.

        Parameters
        ----------
        chosen
            Choice to alternative.
        """
        key = frozenset(
            (id_, alternative)
            for id_, alternative in chosen.items()
            if alternative != self.open[id_].first.id
        )
        if key not in self._tried:
            self._tried[key] = self._outcome(key) if key else self.stands
        return self._tried[key]

    def _outcome(self, key: _Key) -> Outcome | tuple[Problem, ...]:
        project = self._apply(key)
        if not isinstance(project, Project):
            return project
        return tried(self.stands, project, today=self.today, judges=self._judges)

    def _apply(self, key: _Key) -> Project | tuple[Problem, ...]:
        """The line with these alternatives, or why there is none."""
        if key not in self._applied:
            try:
                made = apply(self.project, changes_of(self.open, dict(key)))
            except ChangeError as error:
                self._applied[key] = error.problems
            else:
                self._applied[key] = made
        return self._applied[key]

    def _weighed(self, choice: Choice) -> tuple[Weighed, ...]:
        return tuple(self._weigh(choice, alternative) for alternative in choice.alternatives)

    def _weigh(self, choice: Choice, alternative: Alternative) -> Weighed:
        outcome = self.outcome({choice.id: alternative.id})
        if not isinstance(outcome, Outcome):
            return Weighed(alternative.id, alternative.name, None, None, problems=outcome)
        found = measures(outcome)
        return Weighed(
            alternative.id,
            alternative.name,
            found,
            difference(found, self.measures),
            None if alternative == choice.first else lead(self._first_side(), self._of(outcome)),
        )

    def _first_side(self) -> Side:
        return self._side or self._of(self.stands)

    def _of(self, outcome: Outcome) -> Side:
        return money_side(outcome.project, outcome.answers, self.today)

    def _pairs(self) -> list[tuple[tuple[Choice, Alternative], tuple[Choice, Alternative]]]:
        """Alternatives other than first of two different choices."""
        return [
            ((a, one), (b, other))
            for a, b in combinations(self.open.values(), 2)
            for one in a.alternatives[1:]
            for other in b.alternatives[1:]
        ]

    def _exclusions(self, how_far: Extent) -> list[Exclusion]:
        found = []
        for (a, one), (b, other) in self._pairs():
            why = clash(one, other, self.project.records)
            if why is None and how_far is not Extent.ALONE:
                why = self._unfit(a.id, one.id, b.id, other.id)
            if why is not None:
                found.append(Exclusion({a.id: one.id, b.id: other.id}, why))
        return found

    def _unfit(self, a: str, one: str, b: str, other: str) -> Sentence | None:
        """Why two alternatives that can each be tried cannot be tried together."""
        if not all(isinstance(self.outcome(way), Outcome) for way in ({a: one}, {b: other})):
            return None
        both = self.outcome({a: one, b: other})
        if isinstance(both, Outcome):
            return None
        return Sentence("{problem}", {"problem": str(both[0])})

    def _interactions(self, exclusions: tuple[Exclusion, ...]) -> list[Interaction]:
        """Where what both do is not the sum of what each does; nobody asks beyond pairs."""
        barred = [each.choose for each in exclusions]
        found = []
        for (a, one), (b, other) in self._pairs():
            chosen = {a.id: one.id, b.id: other.id}
            if chosen in barred:
                continue
            four: tuple[Chosen, ...] = (chosen, {a.id: one.id}, {b.id: other.id}, {})
            outcomes = [way for each in four if isinstance(way := self.outcome(each), Outcome)]
            if len(outcomes) == 4:
                both, first, second, none = (measures(each) for each in outcomes)
                apart = interaction(both, first, second, none)
                if apart:
                    found.append(Interaction(chosen, apart, cause(outcomes)))
        return found


def _lineup_only(judges: Mapping[str, Judge]) -> dict[str, Judge]:
    return {topic: judge for topic, judge in judges.items() if topic == "lineup"}


def _holds(chosen: Chosen, part: Chosen) -> bool:
    return all(chosen.get(id_) == alternative for id_, alternative in part.items())


def _ranked(
    kinds: tuple[Kind, ...], ways: list[tuple[Chosen, dict[str, Fraction | None]]]
) -> tuple[Combination, ...]:
    """The combinations, the best profit first, each with those that beat it."""
    counts = counted(kinds, [found for _, found in ways])
    order = sorted(ways, key=lambda way: (way[1]["profit"] is None, -(way[1]["profit"] or 0)))
    return tuple(
        Combination(
            chosen,
            found,
            tuple(other for other, theirs in order if beats(theirs, found, counts)),
        )
        for chosen, found in order
    )
