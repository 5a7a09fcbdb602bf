"""The CSV file of a table as its rows, with every fault of its header, its rows and its ids."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from difflib import get_close_matches
from pathlib import Path

from sixwright.kernel.errors import InputError, LimitError, Problem
from sixwright.project.columns import CellType, TableSchema
from sixwright.project.records import FileLocation, Record
from sixwright.project.tables import BY_NAME
from sixwright.storage.tables.csv_text import CsvText, parse_csv

# How alike two names must be for one to be taken for a misspelling of the other; own choice.
ALIKE = 0.75


def csv_table(
    path: Path, table: TableSchema, files: Mapping[str, bytes], problems: list[Problem]
) -> dict[str, Record]:
    """The rows of a table by id: the same ones as long as its bytes are the same."""
    content = files.get(table.file)
    last = _LAST_ROWS.get(table.name)
    if last is not None and last[0] == content:
        return last[1]
    rows: dict[str, Record] = {}
    found: list[Problem] = []
    for row in _csv_rows(path, table, files, found):
        take_row(rows, row, found)
    problems += found
    if content is not None and not found:
        _LAST_ROWS[table.name] = (content, rows)
    return rows


# The rows that were read last, by table, with the bytes that they were read from: an edit changes
# one table, and many readings of a folder share the others.
_LAST_ROWS: dict[str, tuple[bytes, dict[str, Record]]] = {}


def _csv_rows(
    path: Path, table: TableSchema, files: Mapping[str, bytes], problems: list[Problem]
) -> Iterator[Record]:
    if table.file not in files:
        if table.required:
            near = near_name(table.file, (file.name for file in path.glob("*.csv")))
            problems.append(Problem(table.file, "this table", "no such file", suggestion=near))
        return
    known = frozenset(column.name for column in table.columns)
    try:
        text = parse_csv(files[table.file], known)
    except LimitError as error:
        problems.append(Problem(table.file, error.expected, error.found, error.row))
        return
    except InputError as error:
        expected = (
            "UTF-8 text, separated by commas, semicolons or tabs (a spreadsheet calls it CSV UTF-8)"
        )
        problems.append(Problem(table.file, expected, str(error)))
        return
    if _is_another(table, text.header):
        problems.append(_rename(table, text.header))
        return
    faults = list(_header_problems(table, text.header))
    problems += faults
    if all(key in text.header for key in table.key):
        yield from _rows(table, text, problems)


def _rows(table: TableSchema, text: CsvText, problems: list[Problem]) -> Iterator[Record]:
    header, names = text.header, text.columns
    unnamed = ("", *(name for name in names if name not in header))
    for record in text.records[1:]:
        if any(record.cells[len(header) :]):
            expected = f"at most {len(header)} cells, as the header has"
            problems.append(
                Problem(table.file, expected, f"{len(record.cells)} cells", row=record.number)
            )
        cells = dict.fromkeys(header, "") | dict(zip(names, record.cells, strict=False))
        for name in unnamed:
            if not cells.get(name):
                cells.pop(name, None)
        id_ = "/".join(cells[key].strip() for key in table.key)
        yield Record(table.name, id_, cells, FileLocation(table.file, row=record.number))


def _is_another(table: TableSchema, header: tuple[str, ...]) -> bool:
    """Whether a file that no line must have is something else that bears the table's name."""
    needed = {column.name for column in table.columns if column.required} | set(table.key)
    known = {column.name for column in table.columns}
    named = [name for name in header if name]
    alike = sum(name in known or near_name(name, known) is not None for name in named)
    return not table.required and not needed <= set(header) and 2 * alike < len(named)


def _rename(table: TableSchema, header: tuple[str, ...]) -> Problem:
    """A file of the line's own under a name that means a table now: said once, with the way out."""
    stem = table.file.removesuffix(".csv")
    columns = ", ".join(column.name for column in table.columns[:3])
    expected = (
        f"sixwright’s own table of that name (columns {columns} …); rename yours, for example to "
        f"my-{stem}.csv, and it is left alone"
    )
    found = "another table, with the columns " + ", ".join(name for name in header if name)
    return Problem(table.file, expected, found)


def _header_problems(table: TableSchema, header: tuple[str, ...]) -> Iterator[Problem]:
    required = [
        column.name for column in table.columns if column.required or column.name in table.key
    ]
    known = [column.name for column in table.columns]
    own = [name for name in header if name and name not in known]
    times = Counter(header)
    for name in (name for name in times if name and times[name] > 1):
        yield Problem(table.file, "each column once", f"“{name}” twice", row=1, column=name)
    for name in required:
        if name not in header:
            found = "none of that name"
            yield Problem(
                table.file, f"the column “{name}”", found, 1, name, None, near_name(name, own)
            )
    likely = [column.name for column in table.columns if column.cell is not CellType.TEXT]
    lacking = [name for name in likely if name not in header and name not in required]
    for name in own:
        if (near := near_name(name, lacking)) is not None:
            expected = "a column of this table, or a name of your own that is less like one"
            yield Problem(table.file, expected, f"“{name}”", 1, name, None, near)


def take_row(rows: dict[str, Record], row: Record, problems: list[Problem]) -> None:
    """Put a row among its table's, where it has an id of its own; or say why it has none."""
    place = row.place
    if not row.id.strip("/"):
        problems.append(Problem(place.file, "an id", "an empty cell", place.row, key=place.key))
    elif row.id in rows:
        first = rows[row.id].place
        where = f"row {first.row}" if first.row else first.key
        table = BY_NAME[row.table]
        key = " and ".join(table.key)
        expected = "each id once" if key == "id" else f"each row once, by its {key}"
        found = f"“{row.id}” again, which {where} has already"
        problems.append(Problem(place.file, expected, found, place.row, key=place.key))
    else:
        rows[row.id] = row


def near_name(name: str, names: Iterable[str]) -> str | None:
    """The name that this one is a likely misspelling of."""
    return next(iter(get_close_matches(name, list(names), n=1, cutoff=ALIKE)), None)
