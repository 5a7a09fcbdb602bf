"""What of a folder is not read, and was likely meant to be: files under another name, columns.

A producer renames a file, a sync program leaves a copy beside it, a spreadsheet saves without a
column. None of this makes a folder unreadable, and all of it changes what is computed.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from difflib import get_close_matches
from pathlib import Path, PurePath

from sixwright.kernel.errors import InputError
from sixwright.line.left_aside import LostColumn, StrayFile
from sixwright.project.check_cells import ID
from sixwright.project.choices import FOLDER as CHOICES
from sixwright.project.records import Records
from sixwright.project.tables import TABLES, TableSchema
from sixwright.storage.files.within import head_within, names_within
from sixwright.storage.history.log import read_on
from sixwright.storage.tables.csv_text import parse_csv
from sixwright.storage.tables.toml_text import FILE

# How alike two names must be for one to be a misspelling of the other; own choice.
ALIKE = 0.75
MOST_LOOKED_INTO = 50  # files of the producer's own, whose columns are compared
MOST_LOST = 50  # columns that are named
_HEAD = 65_536  # bytes of each
CHOICE_SUFFIX = ".toml"
_LEAST_COLUMNS = 2  # that a file must share with a table to be taken for it
_SHEETS = (".csv", ".tsv", ".txt", ".xlsx", ".xls", ".ods")
_TABLES: Mapping[str, TableSchema] = {table.file: table for table in TABLES if table.file != FILE}
_KNOWN = frozenset(column.name for table in _TABLES.values() for column in table.columns)


def stray_files(folder: Path, files: Mapping[str, bytes]) -> tuple[StrayFile, ...]:
    """Files that were likely meant to be a table, by name; the producer's own are left alone.

    Parameters
    ----------
    folder
        The line's.
    files
        Those that are read, by name.
    """
    names = _own(folder, files)
    found = (_stray(folder, name, files) for name in names[:MOST_LOOKED_INTO])
    return (*(one for one in found if one is not None), *_choices_aside(folder))


def choice_copies(names: Sequence[str]) -> Mapping[str, str]:
    """Files of choices that are copies by their names, as a sync program leaves them; and of which.

    A copy has in its name that of a file that is there, and is itself no id:
    ``coat (conflicted copy).toml``, ``Copy of coat.toml``.

    Parameters
    ----------
    names
        All files of the folder of choices that end in ``.toml``.
    """
    stems = [name.removesuffix(CHOICE_SUFFIX) for name in names]
    read_ = sorted((stem for stem in stems if ID.fullmatch(stem)), key=len, reverse=True)
    copies = {}
    for stem in stems:
        words = re.findall(r"[a-z0-9-]+", stem.lower())
        of = None if ID.fullmatch(stem) else next((one for one in read_ if one in words), None)
        if of is not None:
            copies[f"{stem}{CHOICE_SUFFIX}"] = f"{of}{CHOICE_SUFFIX}"
    return copies


def _choices_aside(folder: Path) -> Iterator[StrayFile]:
    try:
        names = [name for name in names_within(folder, CHOICES) if name.endswith(CHOICE_SUFFIX)]
    except OSError:  # said where the folder is read
        return
    for name, of in sorted(choice_copies(names).items())[:MOST_LOOKED_INTO]:
        yield StrayFile(f"{CHOICES}/{name}", f"{CHOICES}/{of}", is_copy=True)


def own_files(
    folder: Path, files: Mapping[str, bytes], strays: Sequence[StrayFile]
) -> tuple[str, ...]:
    """The producer's own spreadsheets in the folder: read as no table, and meant to be none.

    Parameters
    ----------
    folder, files
        As `stray_files` takes them.
    strays
        What that found; they are not named twice.
    """
    named = {stray.name for stray in strays}
    return tuple(name for name in sorted(_own(folder, files)) if name not in named)


def _own(folder: Path, files: Mapping[str, bytes]) -> list[str]:
    try:
        return [name for name in names_within(folder, ".") if _may_be(name, files)]
    except OSError:  # said where the folder is read
        return []


def _may_be(name: str, files: Mapping[str, bytes]) -> bool:
    own = PurePath(name).suffix.lower() in _SHEETS
    return own and name not in files and name not in _TABLES and not name.startswith((".", "~$"))


def _stray(folder: Path, name: str, files: Mapping[str, bytes]) -> StrayFile | None:
    stem = PurePath(name).stem.lower()
    lacking = {PurePath(file).stem: file for file in _TABLES if file not in files}
    header = _header(folder, name)
    if near := get_close_matches(stem, list(lacking), n=1, cutoff=ALIKE):
        return StrayFile(name, lacking[near[0]])
    alike = _alike(header, list(lacking.values()))
    if alike is not None:
        return StrayFile(name, alike)
    for file in _TABLES:
        is_named = re.search(rf"(?<![a-z]){PurePath(file).stem}(?![a-z])", stem)
        if is_named and file in files and _alike(header, [file]):
            return StrayFile(name, file, is_copy=True)
    return None


def _header(folder: Path, name: str) -> frozenset[str]:
    """The names of a file's columns; none where it is no text in columns."""
    if not name.lower().endswith((".csv", ".tsv", ".txt")):
        return frozenset()
    try:
        head = head_within(folder, name, _HEAD)
        first = re.split(rb"\r\n|\n|\r", head, maxsplit=1)[0]
        return frozenset(name for name in parse_csv(first, _KNOWN).header if name)
    except (OSError, InputError):
        return frozenset()


def _alike(header: frozenset[str], among: list[str]) -> str | None:
    """The table whose columns these are, for the most part; it shares its key with them."""
    fits = {}
    for file in among:
        table = _TABLES[file]
        needed = {column.name for column in table.columns if column.required} | set(table.key)
        shared = header & {column.name for column in table.columns}
        if needed <= header and len(shared) > _LEAST_COLUMNS and 2 * len(shared) > len(header):
            fits[file] = len(shared)
    return max(fits, key=lambda file: fits[file]) if fits else None


def lost_columns(folder: Path, records: Records) -> tuple[LostColumn, ...]:
    """Columns that tables no longer have, to which the history gave values that still count.

    Parameters
    ----------
    folder
        The line's.
    records
        Its rows, as they are read now.
    """
    lost: dict[tuple[str, str], dict[str, date]] = {}
    for table, id_, cells, day in _lines(folder):
        row = records.get(table, {}).get(id_)
        if row is None:
            continue
        for column, value in cells.items():
            if column in row.cells or (len(lost) >= MOST_LOST and (table, column) not in lost):
                continue
            given = lost.setdefault((table, column), {})
            given.pop(id_, None)
            if value:
                given[id_] = day
    return tuple(
        LostColumn(table, _BY_NAME[table].file, column, len(days), max(days.values()))
        for (table, column), days in sorted(lost.items())
        if days
    )


_BY_NAME = {table.name: table for table in _TABLES.values()}


def _lines(folder: Path) -> Iterator[tuple[str, str, Mapping[str, str], date]]:
    for edit in read_on(folder).edits:
        for line in edit.lines:
            if line.table not in _BY_NAME:
                continue
            if line.column is not None and isinstance(line.after, str):
                yield line.table, line.id, {line.column: line.after}, edit.when.date()
            elif isinstance(line.after, Mapping):
                yield line.table, line.id, line.after, edit.when.date()
