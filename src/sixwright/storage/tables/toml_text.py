"""line.toml as rows of text: its arrays of tables, and its single keys as the one row `line`."""

import re
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

from sixwright.kernel.errors import InputError, LimitError, Problem
from sixwright.kernel.quantities import PointNumber
from sixwright.project.records import FileLocation, Record
from sixwright.project.tables import TABLES, CellType, ColumnSchema, TableSchema
from sixwright.storage.tables.csv_text import decoded

FILE = "line.toml"
TOML_TABLES = tuple(table for table in TABLES if table.file == FILE)
# The most that a file of TOML may hold; docs/limits.md states them.
MOST_TOML = 2**20
MOST_PARTS = 200
DEEPEST = 50
_DEEP = f"lists and tables at most {DEEPEST} deep"
_LARGE = "whole numbers of at most 64 bits"  # TOML 1.0.0, “Integer”
_QUOTED = re.compile(r"\"(?:[^\"\\]++|\\.)*+\"|'[^']*+'")
# What a TOML value of each kind is called where it stands in the wrong place.
_CALLED = ((bool, "yes or no"), (dict, "a table"), (list, "a list"))


def parse_toml(content: bytes) -> dict[str, Any]:
    """The file's keys; numbers with a point stay as they are written.

    Raises
    ------
    LimitError
        If it is larger, deeper or has larger numbers than is read.
    InputError
        If it is not UTF-8 or not TOML 1.0; the text says where.
    """
    if len(content) > MOST_TOML:
        raise LimitError(f"at most {MOST_TOML // 1024} kB", f"{len(content) // 1024} kB")
    text = decoded(content)
    _check_names(text)
    try:
        document = tomllib.loads(text.removeprefix("\ufeff"), parse_float=PointNumber)
    except tomllib.TOMLDecodeError as error:
        raise InputError(f"what TOML does not allow: {error}") from error
    except RecursionError as error:
        raise LimitError(_DEEP, "deeper ones") from error
    except ValueError as error:  # a number whose digits nobody counts
        raise LimitError(_LARGE, "one of thousands of digits") from error
    _check_values(document)
    return document


def _check_names(text: str) -> None:
    """Refuse names of hundreds of parts, which take the reader of TOML hours."""
    for number, line in enumerate(text.split("\n"), 1):
        if line.count(".") > MOST_PARTS and _QUOTED.sub("", line).count(".") > MOST_PARTS:
            raise LimitError(f"names of at most {MOST_PARTS} parts", f"more in line {number}")


def _check_values(document: Mapping[str, Any]) -> None:
    """Refuse what is nested deeply, and numbers that TOML has no place for."""
    left: list[tuple[object, int]] = [(document, 0)]
    while left:
        value, depth = left.pop()
        if depth > DEEPEST:
            raise LimitError(_DEEP, "deeper ones")
        if isinstance(value, int) and abs(value) >= 2**63:
            raise LimitError(_LARGE, "a larger one")
        if isinstance(value, dict | list):
            inner = value.values() if isinstance(value, dict) else value
            left += [(each, depth + 1) for each in inner]


def toml_rows(document: Mapping[str, Any], problems: list[Problem]) -> Iterator[Record]:
    """The rows of every table of line.toml; what cannot be one becomes a problem."""
    for table in TOML_TABLES:
        if table.key:
            yield from _array_rows(table, document.get(table.name, []), problems)
        else:
            yield Record(
                table.name, table.name, _line_cells(table, document, problems), FileLocation(FILE)
            )


def _line_cells(
    table: TableSchema, document: Mapping[str, Any], problems: list[Problem]
) -> dict[str, str]:
    """Single keys by their dotted names; keys of the user's own too, where they are text."""
    arrays = {other.name for other in TOML_TABLES if other.key}
    known = {column.name: column for column in table.columns}
    cells: dict[str, str] = {}
    for name, value in _flat({k: v for k, v in document.items() if k not in arrays}, known):
        text = value_text(value, known.get(name))
        if text is not None:
            cells[name] = text
        elif name in known:
            problems.append(_refusal(name, known[name], value))
    return cells


def _flat(
    keys: Mapping[str, Any], known: Mapping[str, ColumnSchema], prefix: str = ""
) -> Iterator[tuple[str, Any]]:
    for key, value in keys.items():
        name = f"{prefix}{key}"
        if isinstance(value, dict) and name not in known:
            yield from _flat(value, known, f"{name}.")
        else:
            yield name, value


def _array_rows(table: TableSchema, entries: object, problems: list[Problem]) -> Iterator[Record]:
    if not isinstance(entries, list):
        found = _called(entries)
        problems.append(Problem(FILE, f"tables headed [[{table.name}]]", found, key=table.name))
        return
    known = {column.name: column for column in table.columns}
    for number, entry in enumerate(entries, 1):
        at = f"{table.name}[{number}]"
        if not isinstance(entry, dict):
            problems.append(
                Problem(FILE, f"a table headed [[{table.name}]]", _called(entry), key=at)
            )
            continue
        cells: dict[str, str] = {}
        for name, value in entry.items():
            text = value_text(value, known.get(name))
            if text is not None:
                cells[name] = text
            elif name in known:
                problems.append(_refusal(f"{at}.{name}", known[name], value))
        id_ = "/".join(cells.get(key, "").strip() for key in table.key)
        yield Record(table.name, id_, cells, FileLocation(FILE, key=at))


def value_text(value: object, column: ColumnSchema | None) -> str | None:
    """A TOML value as a cell's text; None where the column cannot hold such a value."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list) and column is not None:
        return _list_text(value, column)
    if isinstance(value, list | dict):
        return None
    return value if isinstance(value, PointNumber) else str(value)


def _list_text(values: list[Any], column: ColumnSchema) -> str | None:
    if column.cell is CellType.PUBLIC:
        return _public_text(values)
    if column.cell in {CellType.WORDS, CellType.SIZE3, CellType.FACTORS}:
        texts = [value_text(value, None) for value in values]
        joined = " ".join(text or "" for text in texts)
        return None if None in texts else PointNumber(joined) if _numbers(values) else joined
    return None


def _numbers(values: list[Any]) -> bool:
    return all(isinstance(value, PointNumber | int) for value in values)


def _public_text(values: list[Any]) -> str | None:
    """Announced counts: ``[{group = "keys", quantity = 6}]`` is ``keys=6``."""
    whole = {"group", "quantity"}
    if not all(isinstance(value, dict) and set(value) >= whole for value in values):
        return None
    return " ".join(f"{value['group']}={value['quantity']}" for value in values)


def _refusal(key: str, column: ColumnSchema, value: object) -> Problem:
    return Problem(FILE, column.cell.value, _called(value), key=key)


def _called(value: object) -> str:
    return next((name for kind, name in _CALLED if isinstance(value, kind)), f"“{value}”")
