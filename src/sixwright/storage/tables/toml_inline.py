"""Edits of what line.toml states within a value: an array of inline tables, a table in a table.

Here the library for editing TOML does it: spaces and the order of keys stay.
"""

from collections.abc import Sequence
from typing import Any

from sixwright.project.tables import ColumnSchema, TableSchema
from sixwright.storage.edits.row_edits import RowEdits, cell_changes
from sixwright.storage.tables.toml_statements import Statement, statements
from sixwright.storage.tables.toml_value import literal

_NAME = "x = "


def inline_array(text: str, table: TableSchema) -> Statement | None:
    """The pair that states all of a table, as in ``looks = [{id = "rain"}]``."""
    return next(
        (one for one in statements(text)
         if table.key and one.kind == "pair" and one.path == (table.name,)), None
    )  # fmt: skip


def edited_array(text: str, pair: Statement, table: TableSchema, rows: RowEdits) -> str:
    """The text after the edits of a table that one pair states."""
    from tomlkit import dumps, inline_table, parse

    document: Any = parse(_NAME + text[slice(*pair.value)])
    entries = document["x"]
    columns = {column.name: column for column in table.columns}
    for before, after in rows.changed:
        entry = entries[number_of(before.place.key) - 1]
        for name, _, value in cell_changes(before, after):
            _put(entry, (name,), value, columns.get(name))
    for row in reversed(rows.removed):
        del entries[number_of(row.place.key) - 1]
    ids = ["/".join(str(entry.get(part, "")) for part in table.key) for entry in entries]
    for row, behind in rows.added:
        at = ids.index(behind) + 1 if behind else 0
        entry = inline_table()
        for name, value in row.cells.items():
            if value:
                _put(entry, (name,), value, columns.get(name))
        entries.insert(at, entry)
        ids.insert(at, row.id)
    return _spliced(text, pair, dumps(document))


def number_of(key: str | None) -> int:
    """Which entry of its array a place in line.toml names, from 1; 0 outside arrays."""
    return int((key or "[0]").rpartition("[")[2].removesuffix("]"))


def inline_outer(found: Sequence[Statement], text: str, name: str) -> Statement | None:
    """The pair whose inline table a dotted name stands in."""
    return next(
        (one for one in found
         if one.kind == "pair" and one.entry is None
         and name.startswith(".".join(one.path) + ".") and text[one.value[0]] == "{"), None
    )  # fmt: skip


def edited_outer(
    text: str, pair: Statement, name: str, value: str, column: ColumnSchema | None
) -> str:
    """The text after the edit of one key within an inline table."""
    from tomlkit import dumps, parse

    document: Any = parse(_NAME + text[slice(*pair.value)])
    inner = name.removeprefix(".".join(pair.path) + ".").split(".")
    _put(document["x"], tuple(inner), value, column)
    return _spliced(text, pair, dumps(document))


def _put(table: Any, names: tuple[str, ...], value: str, column: ColumnSchema | None) -> None:
    """Give a key its value; an empty one takes a key of ours out, and empties any other."""
    from tomlkit import inline_table
    from tomlkit import value as parsed

    *outer, name = names
    for part in outer:
        if part not in table:
            table[part] = inline_table()
        table = table[part]
    if value or column is None:
        old = table[name].as_string() if name in table else ""
        entries = table[name].unwrap() if name in table else None
        table[name] = parsed(literal(value, column, old, entries))
    elif name in table:
        del table[name]


def _spliced(text: str, pair: Statement, document: str) -> str:
    return text[: pair.value[0]] + document[len(_NAME) :] + text[pair.value[1] :]
