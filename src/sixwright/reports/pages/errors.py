"""A folder that cannot be read: every error, with its place, what was expected and found."""

from collections.abc import Sequence

from sixwright.kernel.errors import Problem
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Count, Name, Sentence
from sixwright.reports.document import Answer, Cell, Column, Document, Row, Table

TITLE = "The folder cannot be read yet"
LOCALE = "en-GB"


def errors(problems: Sequence[Problem], *, folder: str) -> Document:
    """The page of a folder with errors, in the manner of every other page.

    Parameters
    ----------
    problems
        All of the folder's errors.
    folder
        Its name.
    """
    told = Sentence(
        "{count} in {folder} must be put right first; until then nothing is computed.",
        {"count": Count(len(problems), "place", "places"), "folder": Name(folder)},
    )
    columns = (
        Column("Where", wide=True),
        Column("Expected", wide=True),
        Column("Found", wide=True),
        Column("Did you mean", wide=True),
    )
    table = Table("What to put right", columns, tuple(_row(problem) for problem in problems))
    return Document("errors", TITLE, (Answer(Verdict.UNCHECKED, (told,)), table), LOCALE)


def _row(problem: Problem) -> Row:
    return Row(
        (
            Cell(problem.file, detail=where(problem) or None),
            Cell(problem.expected),
            Cell(problem.found),
            Cell(problem.suggestion or "", nothing=not problem.suggestion),
        )
    )


def where(problem: Problem) -> str:
    """Row, column and key of a problem, those that apply."""
    parts = (
        f"row {problem.row}" if problem.row is not None else "",
        f"column {problem.column}" if problem.column else "",
        problem.key or "",
    )
    return ", ".join(part for part in parts if part)
