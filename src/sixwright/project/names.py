"""What a row or a cell of the folder is called, in words that a producer would use."""

from collections.abc import Mapping
from functools import lru_cache
from string import Formatter

from sixwright.line.landmarks import LANDMARKS, name_of
from sixwright.project.records import Record, Records
from sixwright.project.tables import BY_NAME, ColumnSchema, TableSchema

WAYS = "ways"
MOST_NAMESAKES = 2000  # rows of a table among which another of the same name is looked for
MARKS = {"landmarks": "on", "sightings": "in"}  # tables of what lies on a sculpt, in a still

# What stands beside the tables, one file each.
_CHOICES = {"choices": "choice"}


def one_of(table: str) -> str:
    """What one row of a table is: “price break”."""
    known = BY_NAME.get(table)
    return (known.one if known else _CHOICES.get(table)) or table


def row_name(records: Records, table: str, id_: str) -> str:
    """What a row is called: its name, or what it joins; its id where nothing else is known.

    Parameters
    ----------
    records
        The folder's rows; the row itself may be gone from them.
    table, id_
        The row.
    """
    if table == WAYS:
        return _way(records, id_)
    if table in MARKS and id_.count("/") == 2:
        return _mark(records, table, id_)
    known = BY_NAME.get(table)
    return _called(records, known, id_) if known and known.called else _plain(records, table, id_)


def _mark(records: Records, table: str, id_: str) -> str:
    """A landmark on a sculpt or a still, in plain words: “left mouth corner in quay”."""
    where, landmark, side = id_.split("/")
    row, built_in = records.get("terms", {}).get(landmark), LANDMARKS.get(landmark)
    own = row.cells.get("name", "").strip() if row else ""
    name = own or (built_in.term.name if built_in else landmark)
    return f"{name_of((landmark, side), name)} {MARKS[table]} {where}"


def cell_name(records: Records, table: str, id_: str, column: str) -> str:
    """What a cell is called: “Price of Muster Watch”, “CNY per 1 USD”; its unit is elsewhere."""
    found = column_of(table, column)
    label = label_of(records, found) if found else column
    if found is not None and found.unit:
        label = label.removesuffix(f", {found.unit}")
    known = BY_NAME.get(table)
    if known is not None and not known.key:
        return label
    if (table, column) == ("rates", "per_unit"):
        return f"{id_} {label[:1].lower()}{label[1:]}"
    if known is not None and "/" not in id_ and len(known.key) > 1:  # a row that is not there yet
        first = next((each for each in known.columns if each.name == known.key[0]), None)
        return f"{label} of {_referred(records, first, id_) if first else id_}"
    return f"{label} of {row_name(records, table, id_)}"


def label_of(records: Records, column: ColumnSchema) -> str:
    """What a page calls a column; one about the line's currency says which that is."""
    line = records.get("line", {}).get("line")
    currency = line.cells.get("currency", "").strip() if line else ""
    label = column.label or column.name
    return label.replace("{currency}", currency or "unit of the line’s currency")


def column_of(table: str, column: str) -> ColumnSchema | None:
    """A table's column of this name; None for one of the producer's own."""
    known = BY_NAME.get(table)
    return next((c for c in known.columns if c.name == column), None) if known else None


def way_name(records: Records, id_: str) -> str:
    """A way beside its part: who makes it, and how; its id where neither is known."""
    row = _row(records, WAYS, id_)
    cells = row.cells if row else {}
    how = [cells.get(name, "").strip() for name in ("maker", "process")]
    return ", ".join(text for text in how if text) or id_


def _row(records: Records, table: str, id_: str) -> Record | None:
    return records.get(table, {}).get(id_)


def _plain(records: Records, table: str, id_: str) -> str:
    """A row's name, with its id where another row has that name too; its id without one."""
    row = _row(records, table, id_)
    name = row.cells.get("name", "").strip() if row else ""
    if name and _is_shared(records[table], name):
        return f"{name} ({id_})"
    return name or ", ".join(id_.split("/"))


def _is_shared(rows: Mapping[str, Record], name: str) -> bool:
    """Whether more than one row has this name; in a very long table nobody looks."""
    if len(rows) > MOST_NAMESAKES:
        return False
    alike = (row for row in rows.values() if row.cells.get("name", "").strip() == name)
    return next(alike, None) is not None and next(alike, None) is not None


def _called(records: Records, table: TableSchema, id_: str) -> str:
    """A row's name by its table's template; a row that is gone has the cells of its key."""
    row = _row(records, table.name, id_)
    cells = row.cells if row else dict(zip(table.key, id_.split("/"), strict=False))
    columns = {column.name: column for column in table.columns}
    said = {
        name: _referred(records, columns[name], cells.get(name, "").strip())
        for name in _named_in(table.called)
    }
    return table.called.format_map(said)


@lru_cache
def _named_in(template: str) -> tuple[str, ...]:
    return tuple(name for _, name, _, _ in Formatter().parse(template) if name)


def _referred(records: Records, column: ColumnSchema, text: str) -> str:
    """A cell's text; the name of the row that it refers to."""
    tables = [table for table in column.refers if text in records.get(table, {})]
    table = tables[-1] if tables else next(iter(column.refers), "")
    return row_name(records, table, text) if table else text


def _way(records: Records, id_: str) -> str:
    row = _row(records, WAYS, id_)
    if row is None:
        return id_
    part = _plain(records, "parts", row.cells.get("part", "").strip())
    if part.endswith(")"):
        return f"{part[:-1]}, {way_name(records, id_)})"
    return f"{part} ({way_name(records, id_)})"
