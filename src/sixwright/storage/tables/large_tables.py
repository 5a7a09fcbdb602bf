"""Tables of hundreds of thousands of rows, read in one pass and only where they are asked for."""

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from hashlib import sha256

from sixwright.kernel.errors import InputError, LimitError, Problem
from sixwright.line.voices import Poll
from sixwright.project.voices_rows import (
    COLUMNS,
    COMMENTS,
    TALLIES,
    VOTES,
    Voices,
    read_comments,
    read_tallies,
    read_votes,
)
from sixwright.storage.tables.csv_text import (
    BYTE_ORDER_MARK,
    DELIMITERS,
    LONGEST_CELL,
    MOST_COLUMNS,
    MOST_LINES,
    decoded,
)

LARGE = tuple(COLUMNS)
KEPT = 4  # folders whose votes stay in memory: one that is worked in, and some tries
MOST_ROWS = 1_000_000  # docs/limits.md states it; other limits are those of any table


_READ: dict[tuple[object, ...], Voices] = {}


def read_voices(
    files: Mapping[str, bytes],
    polls: Mapping[str, Poll],
    counted: frozenset[str] = frozenset(),
) -> Voices:
    """Votes, tallies and comments of a line's files; the same objects where nothing has moved.

    Parameters
    ----------
    files
        Bytes by name; a file that is not there has no rows.
    polls
        By id: what an answer may be.
    counted
        Imports whose rows count.
    """
    digests = [sha256(files[name]).hexdigest() if name in files else "" for name in COLUMNS]
    key = (*digests, tuple(polls.values()), counted)
    if key not in _READ:
        while len(_READ) >= KEPT:
            del _READ[next(iter(_READ))]
        _READ[key] = _read(files, polls, counted)
    return _READ[key]


def _read(files: Mapping[str, bytes], polls: Mapping[str, Poll], counted: frozenset[str]) -> Voices:
    problems: list[Problem] = []
    tables = {name: large_rows(name, files, problems) for name in COLUMNS}
    votes = tallies = comments = None
    if (table := tables[VOTES]) is not None:
        votes = read_votes(*table, polls, counted)
    if (table := tables[TALLIES]) is not None:
        voted = frozenset(vote.poll for vote in votes.nouns) if votes else frozenset[str]()
        tallies = read_tallies(*table, polls, voted)
    if (table := tables[COMMENTS]) is not None:
        comments = read_comments(*table, counted)
    for read in (votes, tallies, comments):
        problems += read.problems if read else ()
    return Voices(
        votes.nouns if votes else (),
        tallies.nouns if tallies else (),
        comments.nouns if comments else (),
        tuple(problems),
        sum(read.left for read in (votes, comments) if read),
    )


Rows = list[tuple[int, Sequence[str]]]


def large_rows(
    name: str, files: Mapping[str, bytes], problems: list[Problem]
) -> tuple[Sequence[str], Rows] | None:
    """Header and rows with their numbers; None where there is no such file, or it is no table."""
    if name not in files:
        return None
    try:
        rows = list(_records(decoded(files[name]), frozenset(COLUMNS[name])))
    except LimitError as error:
        problems.append(Problem(name, error.expected, error.found, error.row))
        return None
    except (InputError, csv.Error) as error:
        expected = "UTF-8 text, separated by commas, semicolons or tabs"
        problems.append(Problem(name, expected, str(error)))
        return None
    if not rows:
        problems.append(Problem(name, "a header that names the columns", "an empty file"))
        return None
    (_, header), *rest = rows
    return [cell.strip() for cell in header], rest


def _records(text: str, known: frozenset[str]) -> Iterator[tuple[int, Sequence[str]]]:
    """Records that hold any text, numbered as a spreadsheet does."""
    text = text.removeprefix(BYTE_ORDER_MARK)
    first = text.split("\n", 1)[0].strip("\r\n")
    mark = max(
        DELIMITERS, key=lambda mark: sum(cell.strip('" ') in known for cell in first.split(mark))
    )
    limit = csv.field_size_limit(LONGEST_CELL)
    try:
        reader = csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True)
        held = 0
        for number, row in enumerate(reader, 1):
            if len(row) > MOST_COLUMNS:
                raise LimitError(f"at most {MOST_COLUMNS} columns", f"{len(row)}", number)
            held += any(row)
            if held > MOST_ROWS + 1 or number > MOST_LINES:  # with the header
                raise LimitError(f"at most {MOST_ROWS} rows in {MOST_LINES} lines", "more")
            if any(row):
                yield number, row
    finally:
        csv.field_size_limit(limit)
