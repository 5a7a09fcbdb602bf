"""Why something could not be written, in a sentence to stand beside the field."""

from collections.abc import Sequence

from sixwright.kernel.errors import (
    ChangeError,
    ConflictError,
    Difference,
    FolderError,
    Problem,
    SixwrightError,
)
from sixwright.project.names import cell_name
from sixwright.project.records import Records

AS_IT_WAS = ", as it was"
TAKEN = ("an id that is not there yet", "a row that is not there yet")
UNREADABLE = "The folder cannot be read just now; nothing was written."


def refusal(error: SixwrightError, records: Records) -> str:
    """The error as the producer should read it.

    Parameters
    ----------
    records
        The folder's rows as they stand, to name the cells by.
    """
    match error:
        case ConflictError(differences=(first, *_)):
            return conflict(first, records)
        case ChangeError(problems=problems):
            return " ".join(_why(problem) for problem in problems[:3])
        case FolderError():
            return UNREADABLE
        case _:
            return str(error)


def conflict(difference: Difference, records: Records) -> str:
    """Both values, and the question which is to stand."""
    column = difference.column
    what = cell_name(records, difference.table, difference.id, column or "")
    now = difference.now or "not known"
    mine = difference.wanted or "not known"
    return f"{what} has become {now} meanwhile; you wrote {mine}. Which is to stand?"


def moved_since(problems: Sequence[Problem]) -> str:
    """Why an edit is not taken back: what has moved since it was made."""
    said = [
        f"{problem.column or problem.file}: expected {problem.expected}, found {problem.found}."
        for problem in problems[:2]
    ]
    return " ".join(["It has moved since, so nothing was taken back.", *said])


def _why(problem: Problem) -> str:
    if problem.expected.endswith(AS_IT_WAS):
        wanted = problem.expected.removesuffix(AS_IT_WAS)
        return f"This rests on {wanted}, and {problem.found} stands there now."
    if problem.expected in TAKEN:
        return f"There is a row of {problem.found} already."
    words = f"It must be {problem.expected}; {problem.found} is not."
    if problem.found == "an empty cell":
        words = f"It must be {problem.expected}; it cannot be empty."
    if problem.suggestion:
        words += f" Did you mean “{problem.suggestion}”?"
    return words
