"""Changes as the bytes of the files that they touch: nothing is written here."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from sixwright.kernel.errors import ChangeError, Problem
from sixwright.kernel.spreadsheet_text import safe_text
from sixwright.project.apply import changed
from sixwright.project.check_cells import ID, suggestion
from sixwright.project.records import Change, FileLocation, Record, Records
from sixwright.project.tables import BY_NAME, TABLES, TableSchema
from sixwright.storage.edits.csv_edit import CsvStyle, edited_csv, style_of
from sixwright.storage.edits.row_edits import RowEdits, row_edits
from sixwright.storage.edits.toml_edit import edited_toml
from sixwright.storage.tables.csv_text import parse_csv
from sixwright.storage.tables.toml_text import FILE

# The text of a choice's file, as if it were a cell: written, undone and restored as one.
CHOICES = "choices"
TEXT = "text"
_NO_TEXT = re.compile("[\0\ud800-\udfff]")  # what UTF-8 or a spreadsheet cannot hold
_LIKE = "parts.csv"  # a new file is written as this one is

Files = Mapping[str, bytes]


@dataclass(frozen=True, slots=True)
class Edited:
    """What changes come to.

    Attributes
    ----------
    files
        New bytes of every file that the changes touch; None where the file goes.
    rows
        Rows of every table as they are to be, the files of choices among them.
    """

    files: Mapping[str, bytes | None]
    rows: Records


def edited(files: Files, records: Records, changes: Sequence[Change]) -> Edited:
    """The files and rows after these changes.

    Raises
    ------
    ChangeError
        With every change that does not fit.
    """
    before = all_rows(files, records)
    safe = [_safe(change) for change in changes]
    problems = list(_unwritable(files, safe))
    after = dict(before)
    try:
        after |= changed(records, [change for change in safe if change.table != CHOICES])
    except ChangeError as error:
        problems += error.problems
    if not problems:
        after[CHOICES], problems = choice_rows(before[CHOICES], safe)
    if problems:
        raise ChangeError(tuple(problems))
    return Edited(dict(_files(files, before, after)), after)


def all_rows(files: Files, records: Records) -> dict[str, Mapping[str, Record]]:
    """The rows of the tables, and the files of choices as rows of one text."""
    names = [name for name in files if name.startswith(f"{CHOICES}/")]
    choices = [_choice(name, files[name].decode("utf-8", "replace")) for name in names]
    return {**records, CHOICES: {row.id: row for row in choices}}


def choice_rows(
    before: Mapping[str, Record], changes: Sequence[Change]
) -> tuple[dict[str, Record], list[Problem]]:
    """The files of choices after these changes, and every change that does not fit them."""
    rows, problems = dict(before), []
    for change in (change for change in changes if change.table == CHOICES):
        file = f"{CHOICES}/{change.id}.toml"
        stands = rows[change.id].cells[TEXT] if change.id in rows else ""
        value = (change.add or {}).get(TEXT, change.value)
        if not ID.fullmatch(change.id):
            problems.append(Problem(file, "an id", f"“{change.id}”"))
        elif change.add is not None and stands:
            problems.append(Problem(file, "an id that is not there yet", f"“{change.id}”"))
        elif not change.remove and (value is None or change.column not in {None, TEXT}):
            problems.append(Problem(file, f"a change of “{TEXT}”", f"“{change.column}”"))
        elif change.was is not None and change.was != stands:
            problems.append(Problem(file, "the file as it was read", "another text"))
        elif value and not change.remove:
            rows[change.id] = _choice(file, value)
        else:
            rows.pop(change.id, None)
    return rows, problems


def _choice(name: str, text: str) -> Record:
    id_ = name.removeprefix(f"{CHOICES}/").removesuffix(".toml")
    return Record(CHOICES, id_, {TEXT: text}, FileLocation(name))


def _safe(change: Change) -> Change:
    """The change as it may be written for spreadsheets."""
    table = BY_NAME.get(change.table)
    if table is None or table.file == FILE:
        return change
    add = change.add and {
        name: text if name in table.key else safe_text(text) for name, text in change.add.items()
    }
    value = change.value if change.column in table.key else safe_text(change.value or "")
    return replace(change, add=add, value=value)


def _unwritable(files: Files, changes: Sequence[Change]) -> Iterator[Problem]:
    """What no file can hold: a column that is not there, text that is not text."""
    headers: dict[str, list[str]] = {}
    for change in changes:
        table = BY_NAME.get(change.table)
        file = table.file if table else f"{CHOICES}/{change.id}.toml"
        for text in (change.id, change.value or "", *(change.add or {}).values()):
            if _NO_TEXT.search(text):
                yield Problem(file, "text", f"“{text!a}”", column=change.column)
        if table is not None and (runs := _run_key(table, change)):
            yield Problem(file, "a text that no spreadsheet runs", f"“{runs}”")
        if table is None or table.file == FILE:
            if table is not None and not table.key and (change.remove or change.add is not None):
                yield Problem(file, "the one row of the line, changed", "it added or removed")
            continue
        known = [column.name for column in table.columns]
        unknown = [name for name in change.add or {} if name not in known]
        if unknown and table.name not in headers:
            headers[table.name] = _header(files, table)
        for name in unknown:
            if name not in headers[table.name]:
                found, near = f"“{name}”", suggestion(name, known)
                yield Problem(file, "a column of this table", found, column=name, suggestion=near)


def _run_key(table: TableSchema, change: Change) -> str | None:
    """The text of a new row's key that a spreadsheet would run; a row that comes back stays."""
    if change.add is None or change.behind is not None:
        return None
    texts = (*change.id.split("/"), *(change.add.get(name, "") for name in table.key))
    return next((text for text in texts if safe_text(text) != text), None)


def _header(files: Files, table: TableSchema) -> list[str]:
    if table.file not in files:
        return []
    known = frozenset(column.name for column in table.columns)
    return list(parse_csv(files[table.file], known).columns)


def _files(files: Files, before: Records, after: Records) -> Iterator[tuple[str, bytes | None]]:
    edits = {table.name: _row_edits(before, after, table) for table in TABLES}
    keys = {name: (BY_NAME[name], rows) for name, rows in edits.items()
            if BY_NAME[name].file == FILE and _any(rows)}  # fmt: skip
    if keys:
        yield FILE, edited_toml(files[FILE], keys)
    for name, rows in edits.items():
        table = BY_NAME[name]
        if table.file != FILE and _any(rows):
            style = CsvStyle() if table.file in files else _style(files)
            yield table.file, edited_csv(files.get(table.file), table, rows, style)
    for id_ in dict.fromkeys([*before[CHOICES], *after[CHOICES]]):
        old, new = (rows[CHOICES].get(id_) for rows in (before, after))
        if old != new:
            text = new.cells[TEXT] if new else None
            yield f"{CHOICES}/{id_}.toml", None if text is None else text.encode("utf-8")


def _style(files: Files) -> CsvStyle:
    return style_of(files[_LIKE], BY_NAME["parts"]) if _LIKE in files else CsvStyle()


def _row_edits(before: Records, after: Records, table: TableSchema) -> RowEdits:
    return row_edits(before.get(table.name, {}), after.get(table.name, {}))


def _any(edits: RowEdits) -> bool:
    return bool(edits.changed or edits.removed or edits.added)
