"""What is answered of several options at once: sets, tastes, and a divided option in a box."""

from dataclasses import dataclass
from enum import StrEnum


class NoSets(StrEnum):
    """Why sets are not computed."""

    TALLIES = "tallies"  # who likes two options at once is not known
    MANY = "many"  # more subsets than anybody would wait for


@dataclass(frozen=True, slots=True)
class OptionSet:
    """Some options together.

    Attributes
    ----------
    options
        Ids, ascending.
    reach
        Voters who like one of them or more.
    frequency
        Their likes in all.
    agreed
        Whether none of them is divided.
    """

    options: tuple[str, ...]
    reach: int
    frequency: int
    agreed: bool

    @property
    def size(self) -> int:
        """How many options it holds."""
        return len(self.options)


@dataclass(frozen=True, slots=True)
class Taste:
    """Voters of a rating who like and dislike the same options.

    Attributes
    ----------
    likes, dislikes
        Ids of options rated at one of the two highest levels, and at one of the two lowest.
    voters
        How many there are.
    """

    likes: frozenset[str]
    dislikes: frozenset[str]
    voters: int


@dataclass(frozen=True, slots=True)
class Appeal:
    """What the voters of one rating say of one box.

    Attributes
    ----------
    n
        Voters.
    reach
        Who like one of its options or more.
    taking
        Of those, who dislike none that they would have to take.
    put_off
        Who dislike one that they would have to take.
    """

    n: int
    reach: int
    taking: int
    put_off: int


class Stands(StrEnum):
    """How a box holds an option now."""

    OUT = "out"
    OPTIONAL = "optional"
    FORCED = "forced"


@dataclass(frozen=True, slots=True)
class BoxPlacing:
    """One divided option and one box: what its voters say without it, with it, and made to take it.

    Attributes
    ----------
    stands
        How the box holds it now.
    out
        Without it; None where the poll rates nothing else in the box.
    optional, forced
        With it, where it can be left out, and where it cannot.
    """

    stands: Stands
    out: Appeal | None
    optional: Appeal
    forced: Appeal

    @property
    def adds(self) -> int:
        """Voters whom the box reaches only with it."""
        return self.optional.reach - (self.out.reach if self.out else 0)
