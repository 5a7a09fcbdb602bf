"""The rows of an export as rows of votes.csv or comments.csv, with what was left out and why."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from hashlib import sha256

from sixwright.importer.voices.cells import (
    day_of,
    entries_of,
    is_day_first,
    whole_number,
    yes_or_no,
)
from sixwright.importer.voices.columns import NOTHING, ExportColumns
from sixwright.importer.voices.exports import Export
from sixwright.importer.voices.people import hashed, without_names
from sixwright.kernel.errors import Problem
from sixwright.line.voices import Poll
from sixwright.topics.voices.comments import fold

RowTexts = dict[str, str]


@dataclass(frozen=True, slots=True)
class People:
    """How people are called in the folder: by a hash under `key`, or, with None, by their names."""

    key: bytes | None

    def called(self, name: str) -> str:
        """What stands in the folder for somebody; empty for nobody."""
        if not name or self.key is None:
            return name
        return hashed(name, self.key)

    def heard(self, text: str) -> str:
        """A text as it is kept."""
        return text if self.key is None else without_names(text, self.key)


@dataclass(frozen=True, slots=True)
class ExportRows:
    """What an export holds for one table.

    Attributes
    ----------
    rows
        By id, in the export's order.
    problems
        Cells that could not be read; their rows are left out.
    empty
        Rows without any text, or without what makes a row.
    repeated
        Rows that say what another has said already, by the same voter on the same day.
    dropped
        Columns that are not taken, because nobody said what they mean.
    """

    rows: Mapping[str, RowTexts]
    problems: tuple[Problem, ...] = ()
    empty: int = 0
    repeated: int = 0
    dropped: tuple[str, ...] = ()


@dataclass(slots=True)
class _Found:
    rows: dict[str, RowTexts] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    seen: Counter[str] = field(default_factory=Counter)
    empty: int = 0
    repeated: int = 0

    def add(self, prefix: str, cells: RowTexts) -> None:
        """Keep a row under an id made of what it says, so that the same row is the same again.

        Nobody says the same twice on one day; of people without a name each is another.
        """
        said = "\0".join(cells.values())
        self.seen[said] += 1
        if cells["voter"] and self.seen[said] > 1:
            self.repeated += 1
            return
        stated = f"{said}\0{self.seen[said]}"
        self.rows[f"{prefix}-{sha256(stated.encode()).hexdigest()[:16]}"] = cells


class _TakenRow:
    """One row of an export, asked by meaning."""

    def __init__(self, export: Export, columns: ExportColumns) -> None:
        self._at = {name: i for i, name in enumerate(export.header)}
        self._columns = columns
        self._meaning = {m: self._at[n] for n, m in columns.means.items() if m != NOTHING}
        self.cells: Sequence[str] = ()

    def of(self, meaning: str) -> str:
        """The cell of a meaning; empty where there is none."""
        at = self._meaning.get(meaning)
        return "" if at is None else self.cells[at]

    def column(self, meaning: str) -> str | None:
        """The name of a meaning's column."""
        return self._columns.of(meaning)


def taken_votes(  # noqa: PLR0913  what was exported, of what, and how to read it
    export: Export,
    columns: ExportColumns,
    poll: Poll,
    options: Mapping[str, str],
    people: People,
    *,
    day_first: bool,
) -> ExportRows:
    """The votes of an export: a row a voter and option.

    A voter without a name is somebody new each time. In a choice or an approval, an option in a
    cell is a yes; a column that is an option holds its answer.

    Parameters
    ----------
    options
        Id of each of the poll's options, and its name.
    day_first
        What the line's locale does with 9/10/2026.

    Raises
    ------
    InputError
        If the key cannot be used.
    """
    by_name = {fold(text): o for o, title in options.items() for text in (o, title) if text}
    found = _Found()
    row = _TakenRow(export, columns)
    first = _day_first(export, row, otherwise=day_first)
    wide = {export.header.index(name): option for name, option in columns.options.items()}
    anonymous: Counter[str] = Counter()
    for number, cells in zip(export.numbers, export.rows, strict=True):
        row.cells = cells
        reader = _CellReader(export.name, number, poll, found)
        day = reader.day(row, first=first)
        backer = reader.backer(row)
        who = people.called(row.of("voter")) or _nobody(cells, anonymous)
        told = list(_answers(row, wide, by_name, reader))
        if not told and not reader.refused:
            found.empty += 1
        for option, answer in [] if reader.refused else told:
            found.add(
                poll.id,
                {"poll": poll.id, "voter": who, "option": option, "answer": answer,
                 "backer": backer, "date": day},
            )  # fmt: skip
    return _taken(export, columns, found)


def _nobody(cells: Sequence[str], anonymous: Counter[str]) -> str:
    """A voter of whom nothing is known, the same whenever the export is read."""
    said = "\0".join(cells)
    anonymous[said] += 1
    stated = f"{said}\0{anonymous[said]}"
    return "anonymous-" + sha256(stated.encode()).hexdigest()[:12]


class _CellReader:
    """Reads the cells of one row, and notes what cannot be read."""

    def __init__(self, file: str, number: int, poll: Poll | None, found: _Found) -> None:
        self._file, self._number, self._poll, self._found = file, number, poll, found
        self.refused = False

    def refuse(self, column: str | None, expected: str, text: str) -> None:
        """Note a cell that says nothing that its column can say."""
        self.refused = True
        shown = text if len(text) <= 60 else text[:57] + "…"
        self._found.problems.append(
            Problem(self._file, expected, f"“{shown}”", self._number, column)
        )

    def day(self, row: _TakenRow, *, first: bool) -> str:
        """The day as the folder writes it; empty where none is stated."""
        text = row.of("date")
        if not text:
            return ""
        day = day_of(text, day_first=first)
        if day is None:
            self.refuse(row.column("date"), "a date", text)
            return ""
        return day.isoformat()

    def backer(self, row: _TakenRow) -> str:
        """Yes, no, or empty."""
        text = row.of("backer")
        said = yes_or_no(text)
        if text and said is None:
            self.refuse(row.column("backer"), "yes or no", text)
        return "" if said is None else "yes" if said else "no"

    def answer(self, column: str | None, text: str) -> str | None:
        """The answer as the folder writes it; None where the cell is empty."""
        poll = self._poll
        if not text or poll is None:
            return None
        if poll.kind in {"choice", "approve"}:
            said = yes_or_no(text)
            if said is None:
                self.refuse(column, "yes or no", text)
                return None
            if poll.kind == "choice":
                return "1" if said else None
            return "yes" if said else "no"
        number = whole_number(text)
        least, most = (poll.least, poll.most) if poll.kind == "rate" else (1, None)
        if number is None or (least is not None and number < least) or (
            most is not None and number > most
        ):  # fmt: skip
            ends = f" from {least} to {most}" if most is not None else ", 1 or more"
            self.refuse(column, f"a whole number{ends}", text)
            return None
        return str(number)


def _answers(
    row: _TakenRow, wide: Mapping[int, str], by_name: Mapping[str, str], reader: _CellReader
) -> Iterator[tuple[str, str]]:
    """Option and answer of each vote in a row."""
    for at, option in wide.items():
        answer = reader.answer(option, row.cells[at])
        if answer is not None:
            yield option, answer
    named = entries_of(row.of("option"), by_name)
    poll = reader._poll  # noqa: SLF001 - one thought in two halves
    if not named or poll is None:
        return
    stated = row.of("answer")
    if poll.kind in {"choice", "approve"} and not stated:
        yes = "1" if poll.kind == "choice" else "yes"
        yield from ((option, yes) for option in named)
    elif poll.kind == "rank" and not stated:
        yield from ((option, str(place)) for place, option in enumerate(named, 1))
    else:
        answer = reader.answer(row.column("answer"), stated)
        if answer is None and not stated and not reader.refused:
            reader.refuse(row.column("option"), "an answer beside the option", ", ".join(named))
        yield from ((option, answer) for option in named if answer is not None)


def taken_comments(
    export: Export, columns: ExportColumns, people: People, *, where: str, day_first: bool
) -> ExportRows:
    """The comments of an export: a row each.

    Parameters
    ----------
    where
        What stands for the place where the export has none.
    day_first
        As in `taken_votes`.

    Raises
    ------
    InputError
        If the key cannot be used.
    """
    found = _Found()
    row = _TakenRow(export, columns)
    first = _day_first(export, row, otherwise=day_first)
    for number, cells in zip(export.numbers, export.rows, strict=True):
        row.cells = cells
        if not row.of("text"):
            found.empty += 1
            continue
        reader = _CellReader(export.name, number, None, found)
        kept = {
            "date": reader.day(row, first=first),
            "where": row.of("where") or where,
            "voter": people.called(row.of("voter")),
            "text": people.heard(row.of("text")),
            "language": row.of("language"),
            "answered": "",
        }
        if not reader.refused:
            own = row.of("id")
            if own:  # its own id, so that an edited post takes the place of what it was
                kept_id = sha256(f"{kept['where']}\0{own}".encode()).hexdigest()[:16]
                found.rows[f"c-{kept_id}"] = kept
            else:
                found.add("c", kept)
    return _taken(export, columns, found)


def _day_first(export: Export, row: _TakenRow, *, otherwise: bool) -> bool:
    column = row.column("date")
    if column is None:
        return otherwise
    at = export.header.index(column)
    return is_day_first((cells[at] for cells in export.rows), otherwise=otherwise)


def _taken(export: Export, columns: ExportColumns, found: _Found) -> ExportRows:
    dropped = tuple(name for name, means in columns.means.items() if means == NOTHING)
    return ExportRows(
        found.rows, tuple(found.problems), export.empty + found.empty, found.repeated, dropped
    )
