"""Why two changes together do not do what they do apart, as far as parts and tools can tell."""

from collections.abc import Callable, Sequence
from fractions import Fraction

from sixwright.kernel.sentences import Names, Sentence
from sixwright.project.model import Project
from sixwright.topics.money.model import Answer as Sums
from sixwright.topics.money.model import PartMoney
from sixwright.topics.money.topic import MONEY
from sixwright.workflows.choose_combine import CENT
from sixwright.workflows.reviewed import Review

MOST_NAMED = 3
_Amount = Callable[[PartMoney], Fraction | None]


def cause(outcomes: Sequence[Review]) -> Sentence:
    """The parts whose cost does not add up, or the tools that are paid once.

    Parameters
    ----------
    outcomes
        The line with both changes, with each alone, and with none.

    Source
    ------
    Own choice: docs/topics/choices.md, “Where two interact”.
    """
    sums = [outcome.get(MONEY) for outcome in outcomes]
    known = [each for each in sums if each is not None]
    project = outcomes[0].project
    tools = _apart(known, lambda part: part.tooling)
    if tools:
        names = _named(project, known[0], tools)
        return Sentence("the tooling of {parts} is shared, and paid once.", {"parts": names})
    bought = _apart(known, lambda part: part.cost)
    if bought:
        names = _named(project, known[0], bought)
        return Sentence(
            "together they move the order of {parts} past a minimum or a price break, or change "
            "both how many are bought and at what price.",
            {"parts": names},
        )
    return Sentence("one changes a number that the other’s amounts are multiplied by.")


def _apart(sums: Sequence[Sums], amount: _Amount) -> list[str]:
    """Parts of which an amount does not add up, the largest difference first."""
    if len(sums) != 4:
        return []
    found: dict[str, Fraction] = {}
    for part in dict.fromkeys(id_ for each in sums for id_ in each.parts):
        values = [_of(each, part, amount) for each in sums]
        known = [value for value in values if value is not None]
        if len(known) == 4:
            found[part] = abs(known[0] - known[1] - known[2] + known[3])
    largest = sorted(found, key=lambda part: -found[part])
    return [part for part in largest if found[part] >= CENT]


def _of(sums: Sums, part: str, amount: _Amount) -> Fraction | None:
    """An amount of a part; nothing where the way has no such part."""
    return amount(sums.parts[part]) if part in sums.parts else Fraction(0)


def _named(project: Project, sums: Sums, parts: Sequence[str]) -> Names:
    named = [project.parts[part].called if part in sums.parts else part
             for part in parts[:MOST_NAMED]]  # fmt: skip
    if len(parts) > MOST_NAMED:
        named.append(f"{len(parts) - MOST_NAMED} more")
    return Names(tuple(named))
