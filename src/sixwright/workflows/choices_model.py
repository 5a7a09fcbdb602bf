"""What the topic of open choices needs and answers: what each would do to the profit."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from sixwright.kernel.errors import Problem
from sixwright.project.choices import Choice
from sixwright.project.model import Project
from sixwright.workflows.choose_measures import MeasureKind, Measures
from sixwright.workflows.reviewed import Answered, InputsOn


@dataclass(frozen=True, slots=True)
class Inputs:
    """The line as it stands, and the way to judge it with changes.

    Attributes
    ----------
    stands
        All that is answered of it but the choices themselves; follows from the line and the day.
    """

    project: Project
    today: date
    stands: Answered = field(compare=False)
    inputs_on: InputsOn = field(compare=False)


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


@dataclass(frozen=True, slots=True)
class Choices:
    """The choices of a line that stands as it does.

    Attributes
    ----------
    open
        Those that are open, by id.
    effects
        What each alternative of an open choice, other than the first, does to the profit.
    measures, kinds
        What the line as it stands is measured by, and what these numbers are, in their order.
    """

    project: Project
    open: Mapping[str, Choice]
    effects: tuple[Effect, ...]
    measures: Measures
    kinds: tuple[MeasureKind, ...]
