"""What can go wrong, as one tree.

::

    SixwrightError
    ├── InputError(ValueError)        an argument that cannot be used
    │   ├── QuantityError             a cell's text that is not the number it should be
    │   └── LimitError                more than a stated limit allows
    ├── FolderError                   the folder cannot be read; carries every Problem
    ├── MeshError                     a mesh file cannot be used; says what to do about it
    ├── ChangeError                   a change does not fit the folder as it stands
    ├── ConflictError                 a file moved since it was read; nothing was written
    ├── BusyError                     a file is held open elsewhere; nothing was written
    ├── DiskError                     the disk is full or refused; nothing was written
    ├── CallError                     the command was called wrongly
    └── InternalError                 an impossible state: a fault of ours
"""

import re
from dataclasses import dataclass

UNREADABLE = "The folder cannot be read"
MOST_SHOWN = 300  # characters of what is named in an error
_BREAKS = re.compile("[\0-\x1f\x7f-\x9f\u2028\u2029]")  # of lines, and what moves a prompt
# Halves of characters, and marks that turn the order of all that follows.
_UNSHOWN = re.compile("[\ud800-\udfff\u202a-\u202e\u2066-\u2069]")


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


class LimitError(InputError):
    """More than a stated limit allows: `expected` says what is read, `found` what there is.

    `row` is where, as a spreadsheet counts; None where it is the whole.
    """

    def __init__(self, expected: str, found: str, row: int | None = None) -> None:
        super().__init__(f"value must be {expected}; received {found}.")
        self.expected, self.found, self.row = expected, found, row


def shown(text: str, most: int = MOST_SHOWN) -> str:
    """A text as any page and prompt can show it.

    Halves of characters, as names of files that are not UTF-8 have, and marks that turn the order
    of writing become question marks, line breaks and control characters blanks; what is longer
    than `most` characters is cut.
    """
    cut = text if len(text) <= most else f"{text[: most - 1]}…"
    return _UNSHOWN.sub("?", _BREAKS.sub(" ", cut))


@dataclass(frozen=True, slots=True)
class Problem:
    """One error of a folder, with its place, what was expected and what was found.

    Its texts are made so that they can be shown: see `shown`.
    """

    file: str
    expected: str
    found: str
    row: int | None = None
    column: str | None = None
    key: str | None = None
    suggestion: str | None = None

    def __post_init__(self) -> None:
        for name in ("file", "expected", "found", "column", "key", "suggestion"):
            text = getattr(self, name)
            if text is not None and (said := shown(text)) != text:
                object.__setattr__(self, name, said)

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


class StoppedError(SixwrightError):
    """What was being worked out was stopped, and is not begun again before it is asked for."""


class InternalError(SixwrightError):
    """An impossible state was reached: a fault of ours, not of the folder."""
