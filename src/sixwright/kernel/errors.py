"""What can go wrong, as one tree.

::

    SixwrightError
    ├── InputError(ValueError)        an argument that cannot be used
    │   └── QuantityError             a cell's text that is not the number it should be
    ├── FolderError                   the folder cannot be read; carries every Problem
    ├── MeshError                     a mesh file cannot be used; says what to do about it
    ├── ChangeError                   a change does not fit the folder as it stands
    ├── ConflictError                 a file moved since it was read; nothing was written
    ├── BusyError                     a file is held open elsewhere; nothing was written
    ├── DiskError                     the disk is full or refused; nothing was written
    ├── CallError                     the command was called wrongly
    └── InternalError                 an impossible state: a fault of ours
"""

from dataclasses import dataclass

UNREADABLE = "The folder cannot be read"


class SixwrightError(Exception):
    """The root of every error this project raises on purpose."""


class InputError(SixwrightError, ValueError):
    """An argument that cannot be used: the text names it, the requirement and the value."""


class QuantityError(InputError):
    """A text that does not state a quantity; `expected` says what would."""

    def __init__(self, expected: str, found: str) -> None:
        super().__init__(f"value must be {expected}; received {found!r}.")
        self.expected = expected
        self.found = found


@dataclass(frozen=True, slots=True)
class Problem:
    """One error of a folder, with its place, what was expected and what was found."""

    file: str
    expected: str
    found: str
    row: int | None = None
    column: str | None = None
    key: str | None = None
    suggestion: str | None = None

    def __str__(self) -> str:
        """Word the problem as one sentence for the producer."""
        place = self.file
        if self.row is not None:
            place += f", row {self.row}"
        if self.column is not None:
            place += f", column {self.column}"
        if self.key is not None:
            place += f", {self.key}"
        text = f"{place}: expected {self.expected}, found {self.found}."
        if self.suggestion:
            text += f" Did you mean “{self.suggestion}”?"
        return text


class FolderError(SixwrightError):
    """The folder cannot be read; `problems` holds all of its errors, not the first.

    `what` says what cannot be done, where it is another file than the folder's.
    """

    def __init__(self, problems: tuple[Problem, ...], what: str = UNREADABLE) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems
        self.what = what


class MeshError(SixwrightError):
    """A mesh file that cannot be used: one sentence with what was expected, found, and to be done.

    A reader raises it without the file's name, which it does not know; `of` adds it.
    """

    def __init__(self, expected: str, found: str, advice: str, file: str = "the mesh") -> None:
        self.problem = Problem(file, expected, found)
        self.advice = advice
        super().__init__(f"{str(self.problem).removesuffix('.')}; {advice}.")

    def of(self, file: str) -> "MeshError":
        """The same refusal, of this file."""
        return MeshError(self.problem.expected, self.problem.found, self.advice, file)


class ChangeError(SixwrightError):
    """A change that does not fit the folder as it stands; `problems` says where."""

    def __init__(self, problems: tuple[Problem, ...]) -> None:
        super().__init__("\n".join(str(problem) for problem in problems))
        self.problems = problems


@dataclass(frozen=True, slots=True)
class Difference:
    """A cell (or a row, with `column` None) that two want to stand differently.

    Attributes
    ----------
    was
        What stood there when the folder was read; None where there was no such row.
    wanted
        What was to be written; None where the row was to go.
    now
        What stands there now; None where there is no such row.
    """

    table: str
    id: str
    column: str | None
    was: str | None
    wanted: str | None
    now: str | None

    def __str__(self) -> str:
        """Word both values as one sentence for the producer."""
        place = f"{self.table}, {self.id}" + (f", {self.column}" if self.column else "")
        return f"{place}: {_stated(self.now)} stands there now; {_stated(self.wanted)} was to be."


def _stated(text: str | None) -> str:
    if text is None:
        return "no such row"
    return f"“{text}”" if text else "an empty cell"


class ConflictError(SixwrightError):
    """A file moved since it was read: nothing was written, both states are shown."""

    def __init__(self, message: str, differences: tuple[Difference, ...] = ()) -> None:
        super().__init__("\n".join([message, *(str(difference) for difference in differences)]))
        self.differences = differences


class BusyError(SixwrightError):
    """A file is held open by another program: nothing was written."""


class DiskError(SixwrightError):
    """The disk is full or refused to be written: nothing was written."""


class CallError(SixwrightError):
    """The command was called wrongly."""


class InternalError(SixwrightError):
    """An impossible state was reached: a fault of ours, not of the folder."""
