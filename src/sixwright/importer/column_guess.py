"""What a column of a producer's spreadsheet is read as, and why."""

from dataclasses import dataclass

from sixwright.importer.words import MEANINGS
from sixwright.kernel.errors import Problem


@dataclass(frozen=True, slots=True)
class ColumnGuess:
    """One column: what it is read as, in which currency or from what quantity, and why.

    Attributes
    ----------
    at
        Its place in the sheet, from 0.
    start
        For a price: the quantity its name states it from.
    box
        For a box: its name.
    mark
        For money: a mark that stands for several currencies, where no currency is stated.
    """

    name: str
    at: int
    meaning: str
    why: str
    currency: str | None = None
    start: int | None = None
    box: str = ""
    mark: str = ""

    def says(self) -> str:
        """The guess in one sentence."""
        words = MEANINGS[self.meaning]
        if self.box:
            words = f"the pieces of each part in the box “{self.box}”"
        if self.start is not None:
            words += f" from {self.start} pieces on"
        if self.currency:
            words += f", in {self.currency}"
        return f"Column “{self.name}” is read as {words}, because {self.why}."


@dataclass(frozen=True, slots=True)
class SheetColumns:
    """All columns of a sheet, with the names they go by and the mark before decimals."""

    guesses: tuple[ColumnGuess, ...]
    names: tuple[str, ...]
    mark: str
    problems: tuple[Problem, ...]

    def of(self, meaning: str) -> tuple[ColumnGuess, ...]:
        """The columns read as this."""
        return tuple(guess for guess in self.guesses if guess.meaning == meaning)
