"""What the comparison of ways answers: each alternative alone, all combinations, interactions."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction

from sixwright.kernel.errors import Problem
from sixwright.kernel.intervals import Interval
from sixwright.kernel.sentences import Sentence
from sixwright.project.choices import Choice
from sixwright.topics.money.model import Lead
from sixwright.workflows.choose_measures import MeasureKind, Measures

Chosen = Mapping[str, str]


class Extent(StrEnum):
    """How far ways were combined: all with all, two choices at a time, or each alone."""

    ALL = "all"
    PAIRS = "pairs"
    ALONE = "alone"


@dataclass(frozen=True, slots=True)
class Weighed:
    """One alternative tried alone, all other choices left as the folder stands.

    Attributes
    ----------
    measures, difference
        By measure, and against the first alternative; None where it cannot be tried.
    demand
        Poll, then box: what its votes multiply the box's demand by, against the first alternative,
        between two suppositions (docs/topics/voices.md, “A divided option”). It is stated beside
        the measures and moves none of them.
    lead
        Between which numbers of boxes it earns more than the first; None for the first itself.
    problems
        Why it cannot be tried.
    """

    id: str
    name: str
    measures: Measures | None
    difference: Measures | None
    lead: Lead | None = None
    problems: tuple[Problem, ...] = ()
    demand: Mapping[str, Mapping[str, Interval]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Combination:
    """One alternative of every open choice, together.

    Attributes
    ----------
    choose
        Choice to alternative.
    beaten_by
        The combinations that are no worse on any count and better on one.
    """

    choose: Chosen
    measures: Measures
    beaten_by: tuple[Chosen, ...] = ()


@dataclass(frozen=True, slots=True)
class Interaction:
    """Two alternatives whose effects together are not the sum of their effects apart.

    Attributes
    ----------
    choose
        The two, by choice.
    difference
        By measure: what both do together, less what each does alone; exact.
    cause
        Why, in words.
    """

    choose: Chosen
    difference: Mapping[str, Fraction]
    cause: Sentence


@dataclass(frozen=True, slots=True)
class Exclusion:
    """Alternatives of several choices that cannot be combined, and why."""

    choose: Chosen
    cause: Sentence


@dataclass(frozen=True, slots=True)
class Compared:
    """All open choices of a line, side by side.

    Attributes
    ----------
    kinds
        The measures, in the order in which they are shown.
    choices
        The open ones, by id.
    weighed
        Choice to its alternatives, the first one first.
    combinations
        The best profit first; where it is not known, last.
    extent, possible
        How far they were combined, and how many combinations there are in all.
    interactions, exclusions
        Two by two, in the folder's order.
    """

    kinds: tuple[MeasureKind, ...]
    choices: Mapping[str, Choice]
    weighed: Mapping[str, tuple[Weighed, ...]]
    combinations: tuple[Combination, ...] = ()
    extent: Extent = Extent.ALL
    possible: int = 0
    interactions: tuple[Interaction, ...] = ()
    exclusions: tuple[Exclusion, ...] = ()
