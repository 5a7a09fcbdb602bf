"""What a row or a cell of the folder is called, in words that a producer would use."""

from collections.abc import Callable, Mapping

from sixwright.project.records import Records, Row
from sixwright.project.tables import BY_NAME, Column

# What one row of a table is.
ONE: Mapping[str, str] = {
    "line": "the line", "looks": "look", "editions": "edition", "sets": "set", "rates": "rate",
    "parts": "part", "contents": "piece in a box", "orders": "number of orders", "ways": "way",
    "prices": "price break", "accepted": "acceptance", "sculpts": "sculpt", "rounds": "round",
    "landmarks": "landmark", "targets": "target", "terms": "landmark of your own",
    "stills": "still", "sightings": "sighting", "outlines": "point of an outline",
    "choices": "choice", "polls": "poll", "options": "option of a poll", "subjects": "subject",
    "imports": "import", "asks": "ask", "tasks": "task", "links": "link of tasks",
    "people": "person", "away": "absence", "milestones": "milestone", "promises": "promise",
    "slots": "slot",
}  # fmt: skip


def row_name(records: Records, table: str, id_: str) -> str:
    """What a row is called: its name, or what it joins; its id where nothing else is known.

    Parameters
    ----------
    records
        The folder's rows; the row itself may be gone from them.
    table, id_
        The row.
    """
    return _NAMES.get(table, _plain)(records, table, id_)


def cell_name(records: Records, table: str, id_: str, column: str) -> str:
    """What a cell is called: “Price of Muster Watch”; its unit stands with its value."""
    found = column_of(table, column)
    label = (found.label if found else "") or column
    if found is not None and found.unit:
        label = label.removesuffix(f", {found.unit}")
    if table == "line":
        return label
    return f"{label} of {row_name(records, table, id_)}"


def column_of(table: str, column: str) -> Column | None:
    """A table's column of this name; None for one of the producer's own."""
    known = BY_NAME.get(table)
    return next((c for c in known.columns if c.name == column), None) if known else None


def way_name(records: Records, id_: str) -> str:
    """A way beside its part: who makes it, and how; its id where neither is known."""
    row = _row(records, "ways", id_)
    cells = row.cells if row else {}
    how = [cells.get(name, "").strip() for name in ("maker", "process")]
    return ", ".join(text for text in how if text) or id_


def _row(records: Records, table: str, id_: str) -> Row | None:
    return records.get(table, {}).get(id_)


def _plain(records: Records, table: str, id_: str) -> str:
    row = _row(records, table, id_)
    name = row.cells.get("name", "").strip() if row else ""
    return name or ", ".join(id_.split("/"))


def _line(_records: Records, _table: str, _id: str) -> str:
    return "the line"


def _box(records: Records, sells: str) -> str:
    table = "sets" if sells in records.get("sets", {}) else "editions"
    return _plain(records, table, sells)


def _order(records: Records, _table: str, id_: str) -> str:
    return _box(records, id_)


def _content(records: Records, _table: str, id_: str) -> str:
    sells, _, part = id_.partition("/")
    return f"{_plain(records, 'parts', part)} in {_box(records, sells)}"


def _way(records: Records, table: str, id_: str) -> str:
    row = _row(records, table, id_)
    if row is None:
        return id_
    part = _plain(records, "parts", row.cells.get("part", "").strip())
    return f"{part} ({way_name(records, id_)})"


def _price(records: Records, _table: str, id_: str) -> str:
    way, _, quantity = id_.rpartition("/")
    return f"{_way(records, 'ways', way)}, from {quantity}"


_NAMES: Mapping[str, Callable[[Records, str, str], str]] = {
    "line": _line,
    "orders": _order,
    "contents": _content,
    "ways": _way,
    "prices": _price,
}
