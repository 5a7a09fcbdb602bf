"""Chances in plain words, and the names that things have on the pages."""

from sixwright.kernel.sentences import Share, Value
from sixwright.line.dates import Milestone
from sixwright.topics.dates.model import Inputs

_TENTHS = {1: "1 chance in 10", 2: "1 chance in 5", 3: "3 chances in 10", 4: "2 chances in 5",
           5: "1 chance in 2", 6: "3 chances in 5", 7: "7 chances in 10", 8: "4 chances in 5",
           9: "9 chances in 10"}  # fmt: skip


def odds(share: float) -> str:
    """A share of draws as chances: ``4 chances in 5``; never none and never all.

    Parameters
    ----------
    share
        0 to 1.
    """
    if share < 0.01:
        return "less than 1 chance in 100"
    if share > 0.99:
        return "more than 99 chances in 100"
    if share < 0.075 or share > 0.925:
        hundredths = min(max(round(share * 100), 1), 99)
        return f"{hundredths} chance in 100" if hundredths == 1 else f"{hundredths} chances in 100"
    return _TENTHS[min(max(round(share * 10), 1), 9)]


def worded(share: float, places: int = 0) -> tuple[str, dict[str, Value]]:
    """A template and its values: ``4 chances in 5 (79 %)``; hundredths say it alone.

    Parameters
    ----------
    share
        0 to 1.
    places
        Decimals of the percentage.
    """
    words = odds(share)
    if words.endswith("in 100"):
        return "{odds}", {"odds": words}
    return "{odds} ({share})", {"odds": words, "share": Share(share, places)}


def task_name(inputs: Inputs, id_: str) -> str:
    """What a task is called."""
    return inputs.tasks[id_].name or id_


def person_name(inputs: Inputs, id_: str) -> str:
    """What a person, crew or machine is called."""
    person = inputs.people.get(id_)
    return (person.name if person else "") or id_


def milestone_name(milestone: Milestone) -> str:
    """What a milestone is called."""
    return milestone.name or milestone.id
