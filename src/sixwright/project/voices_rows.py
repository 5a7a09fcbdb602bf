"""Votes, tallies and comments typed in one pass: tables too large to go cell by cell.

They are read only where voices is asked for. Every cell is held to what docs/folder.md says of it;
a row with a fault is a problem with its place, as in any other table.
"""

import datetime as dt
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from sixwright.kernel.days import day as day_of
from sixwright.kernel.errors import Problem
from sixwright.line.voices import Comment, Poll, Tally, Vote
from sixwright.project.tables import LARGE_TABLES

VOTES, TALLIES, COMMENTS = "votes.csv", "tallies.csv", "comments.csv"
COLUMNS = {table.file: tuple(column.name for column in table.columns) for table in LARGE_TABLES}
NEEDED = {
    table.file: tuple(column.name for column in table.columns if column.required)
    for table in LARGE_TABLES
}
MOST_PROBLEMS = 100  # of one file; more of the same kind help nobody
_BACKER = {"": None, "yes": True, "no": False}
_APPROVED = {"yes": 1, "no": 0}

T = TypeVar("T")
Fields = Sequence[str]


@dataclass(frozen=True, slots=True)
class Read(Generic[T]):
    """What a file holds, and what is wrong with it.

    Attributes
    ----------
    nouns
        Of the rows that count.
    problems
        All that is wrong.
    left
        Rows of imports that do not count.
    """

    nouns: tuple[T, ...]
    problems: tuple[Problem, ...]
    left: int = 0


@dataclass(frozen=True, slots=True)
class Voices:
    """What a line's tables of many rows hold, and what is wrong with them.

    Attributes
    ----------
    left
        Rows of imports that do not count.
    """

    votes: tuple[Vote, ...] = ()
    tallies: tuple[Tally, ...] = ()
    comments: tuple[Comment, ...] = ()
    problems: tuple[Problem, ...] = ()
    left: int = 0


class _RowReader:
    """A file's columns, and the problems met in it."""

    def __init__(
        self, file: str, header: Sequence[str], counted: frozenset[str] = frozenset()
    ) -> None:
        self.file = file
        self.left = 0
        self._counted = counted
        self.at = {name: i for i, name in enumerate(header)}
        self.problems = [
            Problem(file, f"the column “{name}”", "none of that name", 1, name)
            for name in NEEDED[file]
            if name not in self.at
        ]
        self._more = 0
        self._ids: dict[str, int] = {}
        self._days: dict[str, dt.date | None] = {"": None}
        self.number = 0
        self.wrong = False
        self.cells: Fields = ()

    def row(self, number: int, cells: Fields) -> None:
        """Go to the next row."""
        self.number, self.cells, self.wrong = number, cells, False

    def text(self, name: str) -> str:
        """A cell's text; empty where the file has no such column or the row is shorter."""
        at = self.at.get(name)
        return "" if at is None or at >= len(self.cells) else self.cells[at].strip()

    def refuse(self, name: str, expected: str, found: str) -> None:
        """Note a cell that is not what its column holds."""
        self.wrong = True
        if len(self.problems) >= MOST_PROBLEMS:
            self._more += 1
            return
        shown = f"“{found if len(found) <= 60 else found[:57] + '…'}”" if found else "an empty cell"
        self.problems.append(Problem(self.file, expected, shown, self.number, name))

    def needed(self, name: str, expected: str) -> str:
        """A cell that may not be empty."""
        text = self.text(name)
        if not text:
            self.refuse(name, expected, "")
        return text

    def is_counted(self) -> bool:
        """Whether the row's import counts; a row of no import does."""
        source = self.text("source")
        if not source or source in self._counted:
            return True
        self.left += 1
        return False

    def own_id(self) -> str:
        """The row's id, which no other row has."""
        id_ = self.needed("id", "an id of any kind")
        if id_ and id_ in self._ids:
            self.refuse("id", f"each id once; row {self._ids[id_]} has it already", id_)
        self._ids.setdefault(id_, self.number)
        return id_

    def day(self, name: str) -> dt.date | None:
        """A date, or None where the cell is empty."""
        text = self.text(name)
        if text not in self._days:
            self._days[text] = day_of(text)
        day = self._days[text]
        if text and day is None:
            self.refuse(name, "a date as 2026-09-14 (year, month, day)", text)
        return day

    def backer(self) -> bool | None:
        """Yes, no, or None where the cell is empty."""
        text = self.text("backer").lower()
        if text not in _BACKER:
            self.refuse("backer", "yes or no", text)
            return None
        return _BACKER[text]

    def answer(self, polls: Mapping[str, Poll], poll: str) -> int:
        """The answer as its kind of poll has it; 0 where it is wrong, which is noted."""
        asked = polls.get(poll)
        text = self.text("answer")
        if asked is None:
            self.refuse("poll", "the id of a poll", poll)
            return 0
        if asked.kind == "approve":
            if text.lower() not in _APPROVED:
                self.refuse("answer", "yes or no", text)
                return 0
            return _APPROVED[text.lower()]
        least, most = {
            "choice": (1, 1), "rate": (asked.least, asked.most),
        }.get(asked.kind, (1, None))  # fmt: skip
        number = int(text) if re.fullmatch(r"-?\d{1,9}", text) else None
        if number is None or (least is not None and number < least) or (
            most is not None and number > most
        ):  # fmt: skip
            self.refuse("answer", _levels(least, most), text)
            return 0
        return number

    def all_problems(self) -> tuple[Problem, ...]:
        """Every problem, and how many more there are."""
        if not self._more:
            return tuple(self.problems)
        more = Problem(self.file, "rows without a fault", f"{self._more} more faults in this file")
        return (*self.problems, more)


def _levels(least: int | None, most: int | None) -> str:
    if least == most:
        return f"{least}"
    return f"a whole number from {least} to {most}" if most is not None else "a rank, 1 or more"


def read_votes(
    header: Sequence[str],
    rows: Iterable[tuple[int, Fields]],
    polls: Mapping[str, Poll],
    counted: frozenset[str] = frozenset(),
) -> Read[Vote]:
    """The votes of votes.csv.

    What is wrong is a problem.

    Parameters
    ----------
    header
        Names of the columns.
    rows
        Each with its number in the file.
    polls
        By id.
    counted
        Imports whose rows count.

    Source
    ------
    docs/folder.md.
    """
    table = _RowReader(VOTES, header, counted)
    nouns = tuple(_votes(table, rows, polls))
    return Read(nouns, table.all_problems(), table.left)


def _votes(
    table: _RowReader, rows: Iterable[tuple[int, Fields]], polls: Mapping[str, Poll]
) -> Iterator[Vote]:
    if table.problems:
        return
    for number, cells in rows:
        table.row(number, cells)
        poll = table.needed("poll", "the id of a poll")
        vote = Vote(
            table.own_id(),
            poll,
            table.needed("voter", "who voted"),
            table.needed("option", "an option, or what was written in"),
            table.answer(polls, poll) if poll else 0,
            table.backer(),
            table.day("date"),
        )
        if not table.wrong and table.is_counted():
            yield vote


def read_tallies(
    header: Sequence[str],
    rows: Iterable[tuple[int, Fields]],
    polls: Mapping[str, Poll],
    voted: frozenset[str],
) -> Read[Tally]:
    """The totals of tallies.csv.

    What is wrong is a problem.

    Parameters
    ----------
    header, rows, polls
        As in `read_votes`.
    voted
        Polls of which there are votes: these have no totals besides.

    Source
    ------
    docs/folder.md.
    """
    table = _RowReader(TALLIES, header)
    return Read(tuple(_tallies(table, rows, polls, voted)), table.all_problems())


def _tallies(
    table: _RowReader,
    rows: Iterable[tuple[int, Fields]],
    polls: Mapping[str, Poll],
    voted: frozenset[str],
) -> Iterator[Tally]:
    if table.problems:
        return
    for number, cells in rows:
        table.row(number, cells)
        poll = table.needed("poll", "the id of a poll")
        if poll in voted:
            table.refuse("poll", "a poll without votes; this one has some in votes.csv", poll)
        text = table.needed("count", "a whole number, zero or more")
        count = int(text) if re.fullmatch(r"\d{1,9}", text) else 0
        if text and not re.fullmatch(r"\d{1,9}", text):
            table.refuse("count", "a whole number, zero or more", text)
        tally = Tally(
            table.own_id(),
            poll,
            table.needed("option", "an option, or what was written in"),
            table.answer(polls, poll) if poll else 0,
            count,
            table.backer(),
        )
        if not table.wrong:
            yield tally


def read_comments(
    header: Sequence[str],
    rows: Iterable[tuple[int, Fields]],
    counted: frozenset[str] = frozenset(),
) -> Read[Comment]:
    """The comments of comments.csv.

    What is wrong is a problem.

    Parameters
    ----------
    header, rows, counted
        As in `read_votes`.

    Source
    ------
    docs/folder.md.
    """
    table = _RowReader(COMMENTS, header, counted)
    nouns = tuple(_comments(table, rows))
    return Read(nouns, table.all_problems(), table.left)


def _comments(table: _RowReader, rows: Iterable[tuple[int, Fields]]) -> Iterator[Comment]:
    if table.problems:
        return
    for number, cells in rows:
        table.row(number, cells)
        comment = Comment(
            table.own_id(),
            table.needed("text", "what was written"),
            table.text("voter") or None,
            table.day("date"),
            table.text("where") or None,
            table.text("language") or None,
            table.text("answered") or None,
        )
        if not table.wrong and table.is_counted():
            yield comment


def poll_problems(polls: Mapping[str, Poll], rows: Mapping[str, int]) -> Iterator[Problem]:
    """What contradicts itself in polls.csv.

    What is wrong is a problem.

    Parameters
    ----------
    polls
        By id.
    rows
        By id, where each stands.

    Source
    ------
    docs/folder.md.
    """
    for id_, poll in polls.items():
        row = rows.get(id_)

        def problem(column: str, expected: str, found: object, row: int | None = row) -> Problem:
            told = "an empty cell" if found is None else f"“{found}”"
            return Problem("polls.csv", expected, told, row, column)

        if poll.kind == "rate":
            if poll.least is None or poll.most is None:
                empty = "least" if poll.least is None else "most"
                yield problem(empty, "a level, as a rating has", None)
            elif poll.most <= poll.least:
                yield problem("most", f"a level above {poll.least}, the least", poll.most)
            elif poll.most - poll.least > 100:
                yield problem("most", f"at most 100 levels above {poll.least}", poll.most)
        if poll.opened and poll.closed and poll.closed < poll.opened:
            yield problem("closed", f"a day from {poll.opened} on, when it opened", poll.closed)
        if poll.seats is not None and poll.seats < 1:
            yield problem("seats", "1 or more", poll.seats)
