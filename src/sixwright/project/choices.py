"""The nouns of an open decision: a choice, its alternatives, and which of them was taken.

They stand beside `Change` and not in `line`, because an alternative is a list of changes.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from sixwright.project.records import Change

FOLDER = "choices"


@dataclass(frozen=True, slots=True)
class Alternative:
    """One way to settle a choice: its changes of the folder; the first alternative has none."""

    id: str
    name: str
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class Decision:
    """Which alternative was taken, when, by whom, why, and the numbers that this rested on.

    Attributes
    ----------
    numbers
        Id of a measure to its value as text, as it was at that moment.
    """

    alternative: str
    date: date
    by: str
    reason: str
    numbers: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Choice:
    """A decision with alternatives, the first of them the folder as it stands.

    Attributes
    ----------
    id
        The name of its file without ``.toml``.
    taken
        None while it is open.
    """

    id: str
    question: str
    alternatives: tuple[Alternative, ...]
    taken: Decision | None = None

    @property
    def file(self) -> str:
        """Where it is kept, in the line's folder."""
        return f"{FOLDER}/{self.id}.toml"

    @property
    def first(self) -> Alternative:
        """The folder as it stood when the choice was opened."""
        return self.alternatives[0]

    def alternative(self, id_: str) -> Alternative | None:
        """The alternative of this id, or None."""
        return next((each for each in self.alternatives if each.id == id_), None)


def open_choices(choices: Mapping[str, Choice]) -> dict[str, Choice]:
    """The choices that nothing was taken of, in the folder's order."""
    return {id_: choice for id_, choice in choices.items() if choice.taken is None}
