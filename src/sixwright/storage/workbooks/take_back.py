"""An edited workbook (XLSX) back as changes: all of them, or every reason why not, in one go."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from sixwright.kernel.errors import ChangeError, FolderError, Problem
from sixwright.project.apply import changed
from sixwright.project.assemble import assemble
from sixwright.project.assemble_choices import assemble_choices
from sixwright.project.check_cells import suggestion
from sixwright.project.records import Change, FileLocation, Record, Records
from sixwright.project.tables import BY_NAME, TABLES, CellType, TableSchema
from sixwright.storage.folder import Folder
from sixwright.storage.tables.choices_text import choice_documents
from sixwright.storage.workbooks.book import book_property, read_book
from sixwright.storage.workbooks.export import STATE, HasRecords, checksum
from sixwright.storage.workbooks.sheet import Sheet

_Rows = dict[str, tuple[int, dict[str, str]]]  # id to the sheet's row, from 1, and its cells


@dataclass(frozen=True, slots=True)
class WorkbookDifference:
    """What a workbook says other than the folder.

    Attributes
    ----------
    after
        The folder's rows after the changes.
    tables_left
        Tables that the workbook has no sheet for, and that have rows: they stay as they are.
    columns_left
        Table and column, for columns that its sheet lacks and that say something: they stay, too.
    moved
        Whether the folder has changed since the workbook was exported; None where the workbook
        does not say of which state it is.
    """

    changes: tuple[Change, ...]
    after: Records
    tables_left: tuple[str, ...]
    columns_left: tuple[tuple[str, str], ...]
    moved: bool | None


@dataclass(slots=True)
class _Back:
    """What was read of a workbook: by table, its rows; and what could not be."""

    file: str
    rows: dict[str, _Rows] = field(default_factory=dict)
    columns: dict[str, set[str]] = field(default_factory=dict)
    unsure: set[str] = field(default_factory=set)
    problems: list[Problem] = field(default_factory=list)
    own: set[str] = field(default_factory=set)  # sheets that are no tables

    def place(self, table: str) -> str:
        return f"{self.file}, sheet “{table}”"


def from_xlsx(folder: HasRecords, file: Path) -> list[Change]:
    """The changes that make the folder say what the workbook says.

    A sheet or a column that the workbook lacks changes nothing; a row that its sheet lacks is
    removed; a sheet that is no table is left alone.

    Raises
    ------
    FolderError
        With every cell that cannot be taken: a row without its id, an id given twice, a column
        that is not there, a formula whose value the file does not hold.
    """
    back = _read_back(file)
    changes = _changes(folder.records, back)
    _refuse(back.file, back.problems)
    return changes


def take(folder: Folder, file: Path) -> WorkbookDifference:
    """What the workbook says other than the folder, where the folder can say it.

    Raises
    ------
    FolderError
        With every cell that cannot be taken, by the workbook's sheet and row: what `from_xlsx`
        refuses, and what the folder could then not be read with.
    """
    back = _read_back(file)
    changes = _changes(folder.records, back)
    try:
        after = changed(folder.records, changes)
    except ChangeError as error:  # an id that its own cells do not make
        _refuse(back.file, [*back.problems, *error.problems])
        raise
    met = {(problem.file, problem.row, problem.column) for problem in back.problems}
    gone = {f"“{change.id}”": change.table for change in changes if change.remove}
    back.problems += [
        _with_gone(problem, gone)
        for problem in _faults(folder, _in_workbook(after, back))
        if (problem.file, problem.row, problem.column) not in met
    ]
    _refuse(back.file, back.problems)
    state = book_property(file, STATE)
    return WorkbookDifference(
        tuple(changes),
        after,
        tuple(name for name, rows in folder.records.items() if rows and name not in back.rows),
        tuple(_columns_left(folder.records, back)),
        None if state is None else state != checksum(folder.records),
    )


def is_told(folder: HasRecords, file: Path) -> bool:
    """Whether a workbook holds nothing but what the folder says, or what an export wrote.

    One that holds an edit that was not taken in, a sheet of somebody's own, or something else
    altogether is not to be replaced by another export.
    """
    try:
        back = _read_back(file)
        if back.own or back.problems:
            return False
        if not _changes(folder.records, back):
            return True
        return book_property(file, STATE) == checksum(_rows_of(back))
    except FolderError:
        return False


def _rows_of(back: _Back) -> Records:
    """The rows of a workbook as if they were a folder's."""
    return {
        table: {
            id_: Record(table, id_, cells, FileLocation(back.place(table), row=row))
            for id_, (row, cells) in rows.items()
        }
        for table, rows in back.rows.items()
    }


def _with_gone(problem: Problem, gone: Mapping[str, str]) -> Problem:
    """The problem, with the sheet that a row was deleted from where it names that row."""
    if problem.found not in gone:
        return problem
    return replace(
        problem, found=f"{problem.found}, whose row is gone from “{gone[problem.found]}”"
    )


def _refuse(file: str, problems: list[Problem]) -> None:
    if problems:
        sheets = [f"{file}, sheet “{table.name}”" for table in TABLES]
        order = {place: at for at, place in enumerate(sheets)}
        problems.sort(key=lambda problem: (order.get(problem.file, len(order)), problem.row or 0))
        raise FolderError(tuple(problems), f"The workbook {file} cannot be taken")


def _read_back(file: Path) -> _Back:
    back = _Back(file.name)
    sheets = {sheet.name: sheet for sheet in read_book(file)}
    back.own = set(sheets) - set(BY_NAME)
    for table in TABLES:
        if table.name in sheets:
            _read_sheet(sheets[table.name], table, back)
    if not back.rows:
        names = ", ".join(table.name for table in TABLES)
        found = "the sheets " + ", ".join(f"“{name}”" for name in sheets)
        expected = f"sheets named as the tables are ({names})"
        back.problems.append(Problem(file.name, expected, found))
    return back


def _read_sheet(sheet: Sheet, table: TableSchema, back: _Back) -> None:
    """The sheet's rows by id: column to text, for the columns it has."""
    place, rows = back.place(table.name), back.rows.setdefault(table.name, {})
    header = dict(_header(sheet, table, back))
    back.columns[table.name] = set(header.values())
    lacking = [key for key in table.key if key not in header.values()]
    if lacking:
        expected = " and ".join(f"the column “{key}”" for key in lacking)
        back.problems.append(Problem(place, expected, "none of that name", row=1))
        back.unsure.add(table.name)
        return
    for number, texts in enumerate(sheet.rows[1:], 2):
        cells: dict[str, str] = {}
        for at, name in header.items():
            why = sheet.unread.get((number - 1, at))
            if why is None:
                cells[name] = texts[at]
            else:
                back.problems.append(Problem(place, "a value", why, row=number, column=name))
        if any(cells.values()):
            _add_row(rows, (number, cells), table, back)


def _header(sheet: Sheet, table: TableSchema, back: _Back) -> Iterator[tuple[int, str]]:
    """The columns that have a name; a name given twice is a problem."""
    met: set[str] = set()
    for at, name in enumerate(sheet.rows[0] if sheet.rows else ()):
        if name in met:
            place, found = back.place(table.name), f"“{name}” twice"
            back.problems.append(Problem(place, "each column once", found, row=1))
        elif name:
            yield at, name
            met.add(name)


def _add_row(rows: _Rows, row: tuple[int, dict[str, str]], table: TableSchema, back: _Back) -> None:
    """Put a row among the others; one without an id of its own makes its table unsure."""
    number, cells = row
    place = back.place(table.name)
    id_ = "/".join(cells.get(key, "") for key in table.key) if table.key else table.name
    empty = [key for key in table.key if not cells.get(key, "")]
    if empty:
        back.unsure.add(table.name)
        back.problems += [
            Problem(place, "an id", "an empty cell", row=number, column=key)
            for key in empty
            if key in cells
        ]
    elif id_ in rows:
        back.unsure.add(table.name)
        found = f"“{id_}” again, which row {rows[id_][0]} has already"
        back.problems.append(Problem(place, "each row once", found, row=number))
    else:
        rows[id_] = row


def _changes(records: Records, back: _Back) -> list[Change]:
    """Edits and new rows in the tables' order, then removals, the last table's first."""
    edits: list[Change] = []
    removals: list[Change] = []
    for name, rows in back.rows.items():
        table, before = BY_NAME[name], records.get(name, {})
        unknown = _unknown_columns(table, before, rows, back)
        edits += _edits(table, before, rows, unknown)
        if table.key and name not in back.unsure:
            removals += [Change(name, id_, remove=True) for id_ in before if id_ not in rows]
    return edits + removals[::-1]


def _unknown_columns(
    table: TableSchema, before: Mapping[str, Record], rows: _Rows, back: _Back
) -> set[str]:
    """Columns that the table does not have and that say something in a row that lacks them."""
    known = {column.name for column in table.columns}
    shared = {name for row in before.values() for name in row.cells}
    unknown: set[str] = set()
    for id_, (number, cells) in rows.items():
        own = before[id_].cells if id_ in before else shared
        for name, text in cells.items():
            if text and name not in known and name not in own and name not in unknown:
                unknown.add(name)
                near = suggestion(name, known - back.columns[table.name])
                place, found = back.place(table.name), f"“{name}”"
                back.problems.append(
                    Problem(place, "a column of the table", found, number, name, None, near)
                )
    return unknown


def _edits(
    table: TableSchema, before: Mapping[str, Record], after: _Rows, unknown: set[str]
) -> Iterator[Change]:
    kinds = {column.name: column.cell for column in table.columns}
    for id_, (_, cells) in after.items():
        old = before[id_].cells if id_ in before else {}
        said = {
            name: _said(text, old.get(name, ""), kinds.get(name))
            for name, text in cells.items()
            if name not in unknown
        }
        if id_ not in before:
            yield Change(table.name, id_, add={name: text for name, text in said.items() if text})
            continue
        for name, text in said.items():
            if text != old.get(name, ""):
                yield Change(table.name, id_, column=name, was=old.get(name, ""), value=text)


def _said(text: str, old: str, cell: CellType | None) -> str:
    """A cell's text; what a spreadsheet makes of yes and no becomes those words again."""
    if text != old and cell is CellType.BOOLEAN and text in {"TRUE", "FALSE"}:
        return "yes" if text == "TRUE" else "no"
    return text


def _in_workbook(records: Records, back: _Back) -> Records:
    """The rows with their places in the workbook, where it has them."""
    return {
        name: {id_: _placed(row, name, back) for id_, row in rows.items()}
        for name, rows in records.items()
    }


def _placed(row: Record, table: str, back: _Back) -> Record:
    found = back.rows.get(table, {}).get(row.id)
    return replace(row, place=FileLocation(back.place(table), found[0])) if found else row


def _faults(folder: Folder, records: Records) -> list[Problem]:
    """What the folder could not be read with."""
    problems: list[Problem] = []
    try:
        assemble(records)
    except FolderError as error:
        problems += error.problems
    assemble_choices(choice_documents(folder.files, problems), records, problems)
    return problems


def _columns_left(records: Records, back: _Back) -> Iterator[tuple[str, str]]:
    for table, columns in back.columns.items():
        rows = records.get(table, {}).values()
        named = dict.fromkeys(name for row in rows for name, text in row.cells.items() if text)
        yield from ((table, name) for name in named if name not in columns)
