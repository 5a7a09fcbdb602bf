"""The files of choices made into nouns, or every reason why they cannot be.

Only what a file says by itself is an error here. Whether an alternative still fits the rows is
judged later, as a finding: a price that is edited must not make the whole folder unreadable.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from sixwright.kernel.days import ISO_DATE
from sixwright.kernel.errors import Problem
from sixwright.project.check_cells import ID, suggestion, suggestion_id
from sixwright.project.choices import FOLDER, Alternative, Choice, Decision
from sixwright.project.records import Change, Records
from sixwright.project.tables import BY_NAME

TEXT = "text"
KEYS = ("question", "alternatives", "taken")
ALTERNATIVE_KEYS = ("id", "name", "changes")
CHANGE_KEYS = ("table", "id", "column", "was", "value", "add", "remove")
TAKEN_KEYS = ("alternative", "date", "by", "reason", "numbers")
# What an acceptance says of a finding is no cell that an alternative could change.
TABLES = tuple(name for name, table in BY_NAME.items() if not table.read_only)
SHAPE = "a column and its value, or “add”, or “remove = true”"

Document = Mapping[str, Any]


def assemble_choices(
    documents: Mapping[str, Document], records: Records, problems: list[Problem]
) -> dict[str, Choice]:
    """The choices of a line; a file with a fault gives none, and its problems.

    Parameters
    ----------
    documents
        File, relative to the folder, to its TOML keys.
    records
        The folder's rows: a change may name one of their columns.
    problems
        Where every fault is added.

    Source
    ------
    Own choice: docs/topics/choices.md.
    """
    choices: dict[str, Choice] = {}
    for file, document in documents.items():
        reader = _Reader(file, records)
        choice = reader.choice(document)
        problems += reader.problems
        if choice is not None and not reader.problems:
            choices[choice.id] = choice
    return choices


class _Reader:
    """Reads one file and keeps its problems."""

    def __init__(self, file: str, records: Records) -> None:
        self.file = file
        self.problems: list[Problem] = []
        self._records = records

    def choice(self, document: Document) -> Choice | None:
        id_ = self.file.removeprefix(f"{FOLDER}/").removesuffix(".toml")
        if not ID.fullmatch(id_):
            found = f"“{id_}.toml”"
            near = suggestion_id(id_)
            self._complain("", "a file named by an id", found, near and f"{near}.toml")
        self._misspelt(document, KEYS, "")
        question = self._text(document, "question", "", "the question, in words")
        alternatives = tuple(self._alternatives(document.get("alternatives")))
        taken = None
        if "taken" in document:
            taken = self._taken(document["taken"], [each.id for each in alternatives])
        return None if self.problems else Choice(id_, question, alternatives, taken)

    def _complain(self, key: str, expected: str, found: str, near: str | None = None) -> None:
        self.problems.append(
            Problem(self.file, expected, found, key=key or None, suggestion=near or None)
        )

    def _misspelt(self, keys: Document, known: Sequence[str], at: str) -> None:
        """Keys that are all but one of ours; others are the producer's own and are left alone."""
        lacking = [name for name in known if name not in keys]
        for name in keys:
            if name not in known and (near := suggestion(name, lacking)):
                self._complain(f"{at}{name}", "a key of a choice", f"“{name}”", near)

    def _text(self, keys: Document, name: str, at: str, expected: str) -> str:
        """A text that must be there."""
        value = keys.get(name)
        if isinstance(value, str) and value.strip():
            return value.strip()
        self._complain(f"{at}{name}", expected, _found(value))
        return ""

    def _alternatives(self, entries: object) -> Iterator[Alternative]:
        if not isinstance(entries, list) or len(entries) < 2:
            found = f"{len(entries)}" if isinstance(entries, list) else _found(entries)
            expected = "two or more tables headed [[alternatives]]"
            self._complain("alternatives", expected, found)
            return
        met: list[str] = []
        for number, entry in enumerate(entries, 1):
            at = f"alternatives[{number}]"
            if not isinstance(entry, dict):
                self._complain(at, "a table headed [[alternatives]]", _found(entry))
                continue
            id_ = self._id(entry, f"{at}.", met)
            met.append(id_)
            self._misspelt(entry, ALTERNATIVE_KEYS, f"{at}.")
            changes = tuple(self._changes(entry.get("changes", []), at, is_first=number == 1))
            name = entry.get("name", id_)
            if not isinstance(name, str):
                self._complain(f"{at}.name", "a name", _found(name))
                name = id_
            yield Alternative(id_, name.strip() or id_, changes)

    def _id(self, entry: Document, at: str, met: Sequence[str]) -> str:
        id_ = entry.get("id")
        expected = "an id (a lower-case letter, then letters, digits and hyphens)"
        if not isinstance(id_, str) or not ID.fullmatch(id_):
            near = suggestion_id(id_) if isinstance(id_, str) else None
            self._complain(f"{at}id", expected, _found(id_), near)
            return ""
        if id_ in met:
            self._complain(f"{at}id", "each id once", f"“{id_}” again")
        return id_

    def _changes(self, entries: object, at: str, *, is_first: bool) -> Iterator[Change]:
        if not isinstance(entries, list):
            self._complain(f"{at}.changes", "a list of changes", _found(entries))
            return
        if is_first and entries:
            expected = "no changes: the first alternative is the folder as it stands"
            self._complain(f"{at}.changes", expected, f"{len(entries)}")
            return
        if not is_first and not entries:
            self._complain(f"{at}.changes", "at least one change of the folder", "none")
        met: set[tuple[str, str, str | None]] = set()
        for number, entry in enumerate(entries, 1):
            where = f"{at}.changes[{number}]"
            change = self._change(entry, where)
            if change is None:
                continue
            cell = (change.table, change.id, change.column)
            if cell in met:
                self._complain(where, "each cell once in an alternative", _cell_words(change))
            met.add(cell)
            yield change

    def _change(self, entry: object, at: str) -> Change | None:
        if not isinstance(entry, dict):
            self._complain(at, "a change, with its table and id", _found(entry))
            return None
        before = len(self.problems)
        self._misspelt(entry, CHANGE_KEYS, f"{at}.")
        table = self._text(entry, "table", f"{at}.", "the name of a table")
        id_ = self._text(entry, "id", f"{at}.", "the id of a row")
        if table and table not in TABLES:
            near = suggestion(table, TABLES)
            self._complain(f"{at}.table", "a table that a choice can change", f"“{table}”", near)
        kinds = [kind for kind in ("column", "add", "remove") if kind in entry]
        if len(kinds) != 1:
            self._complain(at, SHAPE, " and ".join(f"“{kind}”" for kind in kinds) or "neither")
        if len(self.problems) > before:
            return None
        match kinds[0]:
            case "column":
                return self._cell(entry, at, table, id_)
            case "add":
                return self._added(entry["add"], at, table, id_)
            case _:
                return self._removed(entry["remove"], at, table, id_)

    def _cell(self, entry: Document, at: str, table: str, id_: str) -> Change | None:
        column = self._text(entry, "column", f"{at}.", "the name of a column")
        row = self._records.get(table, {}).get(id_)
        known = [each.name for each in BY_NAME[table].columns] + list(row.cells if row else ())
        if column and column not in known:
            near = suggestion(column, known)
            self._complain(f"{at}.column", f"a column of {table}", f"“{column}”", near)
        value = self._cell_text(entry.get("value"), f"{at}.value")
        was = self._cell_text(entry["was"], f"{at}.was") if "was" in entry else None
        return Change(table, id_, column=column, was=was, value=value)

    def _added(self, cells: object, at: str, table: str, id_: str) -> Change | None:
        if not isinstance(cells, dict):
            self._complain(f"{at}.add", "the cells of a new row, as {column = “text”}",
                           _found(cells))  # fmt: skip
            return None
        texts = {
            name: self._cell_text(value, f"{at}.add.{name}") or "" for name, value in cells.items()
        }
        return Change(table, id_, add=texts)

    def _removed(self, value: object, at: str, table: str, id_: str) -> Change | None:
        if value is not True:
            self._complain(f"{at}.remove", "true", _found(value))
            return None
        return Change(table, id_, remove=True)

    def _cell_text(self, value: object, at: str) -> str | None:
        """A cell's text; numbers, dates and lists are taken as a table would write them."""
        text = cell_text(value)
        if text is None:
            self._complain(at, "the text of a cell", _found(value))
        return text

    def _taken(self, entry: object, alternatives: Sequence[str]) -> Decision | None:
        if not isinstance(entry, dict):
            self._complain("taken", "a table headed [taken]", _found(entry))
            return None
        self._misspelt(entry, TAKEN_KEYS, "taken.")
        chosen = self._text(entry, "alternative", "taken.", "the id of an alternative")
        if chosen and chosen not in alternatives:
            near = suggestion(chosen, alternatives)
            expected = f"one of {', '.join(alternatives)}"
            self._complain("taken.alternative", expected, f"“{chosen}”", near)
        when = self._date(entry.get("date"))
        by = self._text(entry, "by", "taken.", "who took it")
        reason = self._text(entry, "reason", "taken.", "why it was taken")
        numbers = self._numbers(entry.get("numbers", {}))
        return Decision(chosen, when, by, reason, numbers) if when else None

    def _date(self, value: object) -> date | None:
        text = cell_text(value) or ""
        if ISO_DATE.fullmatch(text):
            try:
                return date.fromisoformat(text)
            except ValueError:
                self._complain("taken.date", "a day that the calendar has", f"“{text}”")
                return None
        self._complain("taken.date", "a date as 2026-09-14", _found(value))
        return None

    def _numbers(self, entry: object) -> dict[str, str]:
        if not isinstance(entry, dict):
            self._complain("taken.numbers", "measures and their values", _found(entry))
            return {}
        return {
            name: self._cell_text(value, f"taken.numbers.{name}") or ""
            for name, value in entry.items()
        }


def cell_text(value: object) -> str | None:
    """A TOML value as a cell's text; None where no cell holds such a value."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        texts = [cell_text(each) for each in value]
        return None if None in texts else " ".join(text or "" for text in texts)
    if isinstance(value, date):
        return value.isoformat()
    return str(value) if isinstance(value, str | int | float) else None


def _found(value: object) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list):
        return "a list"
    return f"“{cell_text(value)}”" if str(value).strip() else "an empty text"


def _cell_words(change: Change) -> str:
    column = f", {change.column}" if change.column else ""
    return f"{change.table}, {change.id}{column} again"
