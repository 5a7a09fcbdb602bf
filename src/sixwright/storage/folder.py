"""A line's folder, read whole or not at all: with every error it has, never the first alone."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

from sixwright.kernel.errors import FolderError, InputError, LimitError, Problem, shown
from sixwright.kernel.locales import has_decimal_comma
from sixwright.project.assemble import LOCALE, assemble
from sixwright.project.assemble_choices import assemble_choices
from sixwright.project.model import Project
from sixwright.project.records import Record, Records
from sixwright.project.tables import TABLES
from sixwright.storage.files.journal import settled
from sixwright.storage.files.marks import marks_of
from sixwright.storage.files.within import MIB, MOST_TABLE, is_there, names_within, read_within
from sixwright.storage.left_aside import (
    CHOICE_SUFFIX,
    choice_copies,
    lost_columns,
    own_files,
    stray_files,
)
from sixwright.storage.pictures import pictures_of
from sixwright.storage.tables.choices_text import choice_documents
from sixwright.storage.tables.csv_tables import csv_table, near_name, take_row
from sixwright.storage.tables.large_tables import LARGE, read_voices
from sixwright.storage.tables.other_locale import summed_up
from sixwright.storage.tables.toml_text import FILE, TOML_TABLES, parse_toml, toml_rows

FORMAT = "1"
CHOICES = "choices"
CSV_TABLES = tuple(table for table in TABLES if table.file != FILE)
# The most that a folder may hold; docs/limits.md states them.
MOST_CHOICES = 1_000
MOST_OF_CHOICES = 4 * MIB
MOST_IN_ALL = 400_000
MOST_PROBLEMS = 1_000


@dataclass(frozen=True, slots=True)
class Folder:
    """A folder as it was read.

    Attributes
    ----------
    files
        Bytes of every file that the line was read from, by its path in the folder.
    records
        Table, then id, then row.
    """

    path: Path
    files: Mapping[str, bytes]
    records: Records
    project: Project

    @property
    def inputs(self) -> dict[str, str]:
        """SHA-256 of every file that was read, as hexadecimal digits."""
        return {name: sha256(content).hexdigest() for name, content in self.files.items()}


def folder_name(path: Path) -> str:
    """What the folder is called, as any page can show it."""
    return shown(path.resolve().name)


def read(path: Path, *, large: bool = True) -> Folder:
    """Read a line.

    Parameters
    ----------
    path
        The folder.
    large
        Whether tables of many rows (votes, tallies, comments) are read too.

    Raises
    ------
    FolderError
        With all of the folder's problems, each with its place.
    """
    return read_files(path, settled(path, lambda: files_of(path, large=large)))


def files_of(path: Path, *, large: bool = True) -> dict[str, bytes]:
    """The bytes of the files that a line is read from, by name; large tables only where asked for.

    Raises
    ------
    FolderError
        If the folder or a file of it cannot be read at all.
    """
    if not path.is_dir():
        found = "a file" if path.exists() else "nothing there"
        raise FolderError((Problem(str(path), "the folder of a line", found),))
    known = [*dict.fromkeys(table.file for table in TABLES), *(LARGE if large else ())]
    names = [name for name in known if is_there(path, name)]
    files: dict[str, bytes] = {}
    problems = list(_other_cases(path, [*known, CHOICES]))
    names += (choices := _choices(path, problems))
    for name in names:
        try:
            files[name] = read_within(path, name, most=MOST_TABLE)
        except OSError as error:
            problems.append(Problem(name, "a file that can be read", str(error.strerror)))
    size = sum(len(files.get(name, b"")) for name in choices)
    if size > MOST_OF_CHOICES:
        expected = f"files of at most {MOST_OF_CHOICES // MIB} MB in all"
        problems.append(Problem(CHOICES, expected, f"{size // MIB} MB"))
    if problems:
        raise FolderError(tuple(problems))
    return files


def _choices(path: Path, problems: list[Problem]) -> list[str]:
    """The files of choices, by their paths in the folder."""
    try:
        there = [name for name in names_within(path, CHOICES) if name.endswith(CHOICE_SUFFIX)]
    except OSError as error:
        problems.append(Problem(CHOICES, "a folder that can be listed", str(error.strerror)))
        return []
    # A copy takes nothing away: it is told, as one of a table is.
    copies = choice_copies(there)
    names = [name for name in there if name not in copies]
    if len(names) > MOST_CHOICES:
        problems.append(Problem(CHOICES, f"at most {MOST_CHOICES} choices", f"{len(names)}"))
        return []
    return [f"{CHOICES}/{name}" for name in names]


def _other_cases(path: Path, known: Sequence[str]) -> Iterator[Problem]:
    """What only some systems take for a file of ours: its name in other letters, large or small."""
    try:
        there = names_within(path, ".")
    except OSError as error:
        raise FolderError(
            (Problem(str(path), "a folder that can be listed", str(error.strerror)),)
        ) from error
    ours = {name.lower(): name for name in known}
    for name in there:
        meant = ours.get(name.lower())
        if meant is not None and name != meant and not is_there(path, meant):
            yield Problem(
                name, f"the name {meant}, in small letters", f"“{name}”", suggestion=meant
            )


def read_files(path: Path, files: Mapping[str, bytes]) -> Folder:
    """The line that these files state.

    Raises
    ------
    FolderError
        With all problems of all files.
    """
    problems: list[Problem] = []
    records: dict[str, dict[str, Record]] = {table.name: {} for table in TABLES}
    document = _document(files, problems)
    _refuse_other_formats(document)
    if document is not None:
        for row in toml_rows(document, problems):
            take_row(records[row.table], row, problems)
        problems += _misspelt_keys(records, document)
    left = MOST_IN_ALL
    for table in CSV_TABLES:
        records[table.name] = csv_table(path, table, files, problems)
        left -= len(records[table.name])
        if left < 0:
            expected = f"at most {MOST_IN_ALL} rows in all tables but {', '.join(LARGE)}"
            raise FolderError((Problem(table.file, expected, "more, with those before it"),))
    choices = assemble_choices(choice_documents(files, problems), records, problems)
    broken = frozenset(problem.file for problem in problems if problem.row is None)
    try:
        project = assemble(records, unread=broken)
    except FolderError as error:
        problems += error.problems
    if problems:
        locale = str((document or {}).get("locale", LOCALE))
        problems = summed_up(
            list(dict.fromkeys(problems)), locale=locale, comma=has_decimal_comma(locale)
        )
        raise FolderError(_listed(problems))
    counted = frozenset(id_ for id_, each in project.imports.items() if each.counts)
    voices = read_voices(files, project.polls, counted)
    if voices.problems:
        raise FolderError(_listed(voices.problems))
    pictures = pictures_of(path, project.stills.values())
    strays = stray_files(path, files)
    whole = replace(
        project,
        choices=choices,
        voices=voices,
        pictures=pictures,
        strays=strays,
        own_files=own_files(path, files, strays),
        meshes=marks_of(path, (each.mesh for each in project.rounds.values())),
        lost=lost_columns(path, records),
    )
    return Folder(path, files, records, whole)


def _listed(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """The problems; of very many the first, and how many there are."""
    if len(problems) <= MOST_PROBLEMS:
        return tuple(problems)
    first = problems[:MOST_PROBLEMS]
    expected = f"at most {MOST_PROBLEMS} places that must be put right, which are listed"
    return (*first, Problem("all files", expected, f"{len(problems)}"))


def _document(files: Mapping[str, bytes], problems: list[Problem]) -> Mapping[str, object] | None:
    if FILE not in files:
        problems.append(Problem(FILE, "the file that says what the line is", "no such file"))
        return None
    try:
        return parse_toml(files[FILE])
    except LimitError as error:
        problems.append(Problem(FILE, error.expected, error.found))
        return None
    except InputError as error:
        problems.append(Problem(FILE, "UTF-8 text in TOML", str(error)))
        return None


def _refuse_other_formats(document: Mapping[str, object] | None) -> None:
    """A format of another version is refused alone: nothing else in it can be trusted."""
    stated = None if document is None else document.get("format")
    if stated is not None and str(stated) != FORMAT:
        expected = f"{FORMAT}, the only format that this version of sixwright reads"
        raise FolderError((Problem(FILE, expected, f"“{stated}”", key="format"),))


def _misspelt_keys(records: Records, document: Mapping[str, object]) -> Iterator[Problem]:
    """Keys of line.toml that are all but one of ours: a number nobody would miss otherwise."""
    arrays = [table.name for table in TOML_TABLES if table.key]
    for key in document:
        lacking = [name for name in arrays if name not in document]
        if isinstance(document[key], list) and (near := near_name(key, lacking)):
            yield Problem(FILE, "a table of a line", f"“{key}”", key=key, suggestion=near)
    for table in TOML_TABLES:
        known = [column.name for column in table.columns]
        for row in records[table.name].values():
            own = [name for name in row.cells if name not in known]
            lacking = [name for name in known if name not in row.cells]
            for name in own:
                if (near := near_name(name, lacking)) is not None:
                    key = ".".join(part for part in (row.place.key, name) if part)
                    yield Problem(FILE, "a key of a line", f"“{name}”", key=key, suggestion=near)
