"""Sentences with their values left as values, so that each reader gets its own number format.

A topic writes ``Sentence("the mill sells no less than {minimum}", {"minimum": Count(600)})``.
Page, report, command and JSON word it through one function (`reports.words.say`), with the
line's locale; so they cannot disagree.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction
from string import Formatter

from sixwright.kernel.currency import Money
from sixwright.kernel.errors import InputError
from sixwright.kernel.intervals import Real


@dataclass(frozen=True, slots=True)
class Count:
    """A whole number of things; `one` and `many` name them: ``Count(2, "key", "keys")``."""

    value: int
    one: str = ""
    many: str = ""


@dataclass(frozen=True, slots=True)
class Measure:
    """A number with its unit and the digits worth showing after the point."""

    value: Real
    unit: str = ""
    digits: int = 1


@dataclass(frozen=True, slots=True)
class Share:
    """A part of a whole, 0.031 for 3.1 %."""

    value: Real
    digits: int = 1


@dataclass(frozen=True, slots=True)
class Name:
    """The name of a thing as the producer wrote it; pages set it in bold."""

    text: str


@dataclass(frozen=True, slots=True)
class Names:
    """Several names, joined as the language joins them: A, B and C."""

    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Day:
    """A date where room is scarce, as in a table: the month in three letters or so."""

    date: date


@dataclass(frozen=True, slots=True)
class Whole:
    """Money in whole units, where cents would only distract."""

    money: Money


Value = Count | Measure | Share | Name | Names | Money | Whole | Day | date | str | Fraction


@dataclass(frozen=True, slots=True)
class Sentence:
    """A template in plain words and the values that stand in its braces."""

    template: str
    values: Mapping[str, Value] = field(default_factory=dict)

    def __post_init__(self) -> None:
        named = {name for _, name, _, _ in Formatter().parse(self.template) if name is not None}
        if named != set(self.values):
            raise InputError(
                f"values must be exactly those named in {self.template!r}; "
                f"received {sorted(self.values)!r}."
            )


def with_article(noun: str) -> str:
    """A noun with its indefinite article: “an edition”, “a way”."""
    return f"an {noun}" if noun[:1] in "aeio" else f"a {noun}"
