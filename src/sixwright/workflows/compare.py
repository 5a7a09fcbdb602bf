"""All open choices of a line side by side: each alternative alone, and all combinations.

A pure function of a review. Each combination is the whole line judged again with its changes; what
they do not touch is taken over.
"""

from collections.abc import Mapping
from fractions import Fraction
from itertools import combinations

from sixwright.kernel.errors import ChangeError, Problem
from sixwright.kernel.intervals import Interval
from sixwright.kernel.sentences import Sentence
from sixwright.kernel.topic import Tools
from sixwright.project.apply import apply
from sixwright.project.choices import Alternative, Choice, open_choices
from sixwright.topics.money.break_even import Side, lead
from sixwright.topics.money.line_sums import sheet
from sixwright.topics.money.model import Lead
from sixwright.topics.money.topic import MONEY
from sixwright.topics.voices.demand import demand_factor
from sixwright.topics.voices.topic import VOICES
from sixwright.workflows.choices_topic import CHOICES
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
from sixwright.workflows.choose_measures import MeasureKind, difference, kinds, measures
from sixwright.workflows.choose_model import (
    Chosen,
    Combination,
    Compared,
    Exclusion,
    Extent,
    Interaction,
    Weighed,
)
from sixwright.workflows.review import PLAIN, tried
from sixwright.workflows.reviewed import Review

_Key = frozenset[tuple[str, str]]
_Outcome = Review | tuple[Problem, ...]
_Pair = tuple[tuple[Choice, Alternative], tuple[Choice, Alternative]]


def compare(stands: Review, *, tools: Tools = PLAIN) -> Compared:
    """All open choices side by side.

    Parameters
    ----------
    stands
        The line as it stands.
    tools
        What answers may use beside their inputs.
    """
    project, open_ = stands.project, open_choices(stands.project.choices)
    how_far = extent(open_)
    found = _Outcomes(stands, open_, tools)
    exclusions = tuple(_exclusions(found, how_far))
    ways = [
        (chosen, found.measures(outcome))
        for chosen in selections(open_, how_far)
        if not any(_holds(chosen, each.choose) for each in exclusions)
        if isinstance(outcome := found.of(chosen), Review)
    ]
    return Compared(
        kinds=kinds(project),
        choices=open_,
        weighed={id_: _weighed(found, choice) for id_, choice in open_.items()},
        combinations=_ranked(kinds(project), ways) if open_ else (),
        extent=how_far,
        possible=possible(open_),
        interactions=() if how_far is Extent.ALONE else tuple(_interactions(found, exclusions)),
        exclusions=exclusions,
    )


def outcome_of(stands: Review, chosen: Chosen, *, tools: Tools = PLAIN) -> _Outcome:
    """The line with these alternatives (choices not named: first), or why it cannot be tried.

    Parameters
    ----------
    chosen
        Choice to alternative.
    """
    return _Outcomes(stands, open_choices(stands.project.choices), tools).of(chosen)


class _Outcomes:
    """The outcomes met so far in one comparison, so that none is computed twice."""

    def __init__(self, stands: Review, open_: Mapping[str, Choice], tools: Tools) -> None:
        self.stands, self.open, self._tools = stands, open_, tools
        self._met: dict[_Key, _Outcome] = {}

    def of(self, chosen: Chosen) -> _Outcome:
        """The line with these alternatives, or why there is none."""
        key = frozenset(
            (id_, alternative)
            for id_, alternative in chosen.items()
            if alternative != self.open[id_].first.id
        )
        if not key:
            return self.stands
        if key not in self._met:
            try:
                project = apply(self.stands.project, changes_of(self.open, dict(key)))
            except ChangeError as error:
                self._met[key] = error.problems
            else:
                # No measure is of the choices themselves.
                self._met[key] = tried(self.stands, project, tools=self._tools, but=(CHOICES.id,))
        return self._met[key]

    def measures(self, outcome: Review) -> dict[str, Fraction | None]:
        """What one outcome is measured by."""
        return measures(outcome.project, outcome.answered)

    def pairs(self) -> list[_Pair]:
        """Alternatives other than first of two different choices."""
        return [
            ((a, one), (b, other))
            for a, b in combinations(self.open.values(), 2)
            for one in a.alternatives[1:]
            for other in b.alternatives[1:]
        ]


def _weighed(found: _Outcomes, choice: Choice) -> tuple[Weighed, ...]:
    return tuple(_weigh(found, choice, alternative) for alternative in choice.alternatives)


def _weigh(found: _Outcomes, choice: Choice, alternative: Alternative) -> Weighed:
    outcome = found.of({choice.id: alternative.id})
    if not isinstance(outcome, Review):
        return Weighed(alternative.id, alternative.name, None, None, problems=outcome)
    here, first = found.measures(outcome), found.measures(found.stands)
    ahead = None if alternative == choice.first else _lead(found.stands, outcome)
    return Weighed(
        alternative.id,
        alternative.name,
        here,
        difference(here, first),
        ahead,
        demand=_demand(found.stands, outcome),
    )


def _demand(first: Review, other: Review) -> dict[str, dict[str, Interval]]:
    """What the votes multiply each box's demand by where a way changes whom it reaches."""
    was, now = first.get(VOICES), other.get(VOICES)
    if was is None or now is None:
        return {}
    found: dict[str, dict[str, Interval]] = {}
    for poll, appeals in was.appeals.items():
        for box, before in appeals.items():
            after = now.appeals.get(poll, {}).get(box)
            factor = None if after in {None, before} else demand_factor(before, after)
            if factor is not None:
                found.setdefault(poll, {})[box] = factor
    return found


def _lead(first: Review, other: Review) -> Lead | None:
    """Between which numbers of boxes one line earns more than another."""
    if first.get(MONEY) is None or other.get(MONEY) is None:
        return None
    one, two = (Side(each.inputs_of(MONEY), sheet(each.inputs_of(MONEY)))
                for each in (first, other))  # fmt: skip
    return lead(one, two)


def _exclusions(found: _Outcomes, how_far: Extent) -> list[Exclusion]:
    excluded = []
    for (a, one), (b, other) in found.pairs():
        why = clash(one, other, found.stands.project.records)
        if why is None and how_far is not Extent.ALONE:
            why = _unfit(found, {a.id: one.id}, {b.id: other.id})
        if why is not None:
            excluded.append(Exclusion({a.id: one.id, b.id: other.id}, why))
    return excluded


def _unfit(found: _Outcomes, one: Chosen, other: Chosen) -> Sentence | None:
    """Why two alternatives that can each be tried cannot be tried together."""
    if not all(isinstance(found.of(way), Review) for way in (one, other)):
        return None
    both = found.of({**one, **other})
    if isinstance(both, Review):
        return None
    return Sentence("{problem}", {"problem": str(both[0])})


def _interactions(found: _Outcomes, exclusions: tuple[Exclusion, ...]) -> list[Interaction]:
    """Where what both do is not the sum of what each does; nobody asks beyond pairs."""
    barred = [each.choose for each in exclusions]
    apart_ = []
    for (a, one), (b, other) in found.pairs():
        chosen = {a.id: one.id, b.id: other.id}
        if chosen in barred:
            continue
        four: tuple[Chosen, ...] = (chosen, {a.id: one.id}, {b.id: other.id}, {})
        outcomes = [way for each in four if isinstance(way := found.of(each), Review)]
        if len(outcomes) == 4:
            both, first, second, none = (found.measures(each) for each in outcomes)
            apart = interaction(both, first, second, none)
            if apart:
                apart_.append(Interaction(chosen, apart, cause(outcomes)))
    return apart_


def _holds(chosen: Chosen, part: Chosen) -> bool:
    return all(chosen.get(id_) == alternative for id_, alternative in part.items())


def _ranked(
    kinds: tuple[MeasureKind, ...], ways: list[tuple[Chosen, dict[str, Fraction | None]]]
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
