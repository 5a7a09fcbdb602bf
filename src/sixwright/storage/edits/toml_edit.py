"""line.toml with some keys edited, and every other byte as it was."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from sixwright.kernel.errors import InternalError
from sixwright.project.records import Record
from sixwright.project.tables import ColumnSchema, TableSchema
from sixwright.storage.edits.row_edits import RowEdits, cell_changes
from sixwright.storage.tables.csv_text import BYTE_ORDER_MARK, decoded
from sixwright.storage.tables.toml_inline import (
    edited_array,
    edited_outer,
    inline_array,
    inline_outer,
    number_of,
)
from sixwright.storage.tables.toml_statements import Statement, comments, statements
from sixwright.storage.tables.toml_text import parse_toml
from sixwright.storage.tables.toml_value import key, literal


def edited_toml(content: bytes, edits: Mapping[str, tuple[TableSchema, RowEdits]]) -> bytes:
    """The file after the edits of its tables.

    Comments, the order of keys, unknown keys, spaces and line ends stay. A comment on the line
    of a key that goes stays as a line of its own; one within an entry that goes, goes with it.

    Raises
    ------
    InputError
        If the content is not TOML.
    """
    text = decoded(content)
    mark = BYTE_ORDER_MARK if text.startswith(BYTE_ORDER_MARK) else ""
    text = text.removeprefix(BYTE_ORDER_MARK)
    for table, rows in edits.values():
        pair = inline_array(text, table)
        text = edited_array(text, pair, table, rows) if pair else _edited(text, table, rows)
    return (mark + text).encode("utf-8")


def _edited(text: str, table: TableSchema, rows: RowEdits) -> str:
    columns = {column.name: column for column in table.columns}
    for before, after in rows.changed:
        for name, _, value in cell_changes(before, after):
            text = _set(text, _Key(table, _entry_of(before), name, columns.get(name)), value)
    for row in reversed(rows.removed):
        text = _without(text, table, _entry_of(row))
    ids = _ids(text, table)
    for row, behind in rows.added:
        at = ids.index(behind) + 1 if behind else 0
        text = _with_entry(text, table, at, row)
        ids.insert(at, row.id)
    return text


def _entry_of(row: Record) -> int | None:
    """Which entry of its array a row is, from 1; None for the one row `line`."""
    return number_of(row.place.key) or None


def _ids(text: str, table: TableSchema) -> list[str]:
    entries = parse_toml(text.encode()).get(table.name, []) if table.key else []
    return ["/".join(str(entry.get(part, "")).strip() for part in table.key) for entry in entries]


@dataclass(frozen=True, slots=True)
class _Key:
    """A key to be edited: its table, which entry of it (None for `line`), its column of ours."""

    table: TableSchema
    entry: int | None
    name: str
    column: ColumnSchema | None

    def is_named_by(self, one: Statement) -> bool:
        """Whether a statement is this key's own."""
        if self.table.key:
            return one.entry == self.entry and one.path == (self.table.name, self.name)
        return one.entry is None and one.kind == "pair" and ".".join(one.path) == self.name

    def stated(self, text: str) -> object:
        """What stands there, as TOML has it."""
        if self.entry is None:
            return None
        return parse_toml(text.encode())[self.table.name][self.entry - 1].get(self.name)


def _set(text: str, wanted: _Key, value: str) -> str:
    """Give one key its value; an empty one takes a key of ours out, and empties any other."""
    every = list(statements(text))
    if not wanted.table.key and (outer := inline_outer(every, text, wanted.name)):
        return edited_outer(text, outer, wanted.name, value, wanted.column)
    found = [one for one in every if wanted.is_named_by(one)]
    stated = wanted.stated(text)
    pair = next((one for one in found if one.kind == "pair"), None)
    if pair is not None:
        return _replaced(text, pair, value, wanted, stated)
    for one in reversed(found):  # announced counts as tables of their own
        text = _cut(text, one.start, _end_of(text, one))
    return _with_pair(text, wanted, literal(value, wanted.column, "", stated)) if value else text


def _replaced(text: str, pair: Statement, value: str, wanted: _Key, stated: object) -> str:
    """Another value for a pair, or none; comments within the old one stay, above it."""
    if not value and wanted.column is not None:
        return _cut(text, pair.start, pair.end)
    start, end = pair.value
    old = text[start:end]
    new = literal(value, wanted.column, old, stated)
    line = _indent(text, pair.start)
    kept = "".join(f"{line}{comment}{_newline(text)}" for comment in comments(old))
    return text[: pair.start] + kept + text[pair.start : start] + new + text[end:]


def _end_of(text: str, heading: Statement) -> int:
    """Where the last statement under a heading ends."""
    end = heading.end
    for one in statements(text):
        if one.start >= heading.end:
            if one.kind != "pair" and one.path[: len(heading.path)] != heading.path:
                break
            if one.kind == "entry" and one.path == heading.path:
                break
            end = one.end
    return end


def _cut(text: str, start: int, end: int) -> str:
    """The text without some lines; their comments stay as lines of their own."""
    line = _indent(text, start)
    kept = "".join(f"{line}{comment}{_newline(text)}" for comment in comments(text[start:end]))
    return _joined(text, start, end, kept)


def _joined(text: str, start: int, end: int, new: str) -> str:
    """Whole lines in place of others; a text that ended without a line end still does."""
    newline = _newline(text)
    lacks = not text.endswith("\n")
    head = text[:start]
    if head and not head.endswith("\n") and new:
        head += newline
    made = head + new + text[end:]
    return made.removesuffix(newline) if lacks and end == len(text) else made


def _indent(text: str, start: int) -> str:
    found = re.compile(r"[ \t]*").match(text, start)
    return found[0] if found else ""


def _newline(text: str) -> str:
    return "\r\n" if re.search(r"\r\n|\n", text + "\n")[0] == "\r\n" else "\n"  # type: ignore[index]


def _with_pair(text: str, wanted: _Key, value: str) -> str:
    """A new key where its neighbours stand, or under a new heading."""
    found = list(statements(text))
    if wanted.table.key:
        own = [one for one in found if _is_of(one, wanted.table, wanted.entry)]
        at = _before_later([one for one in own if one.inside == 1], wanted)
        return _below(text, at, f"{key(wanted.name)} = {value}")
    *outer, name = wanted.name.split(".")
    singles = [one for one in found if one.entry is None]
    at_last = _neighbour(singles, tuple(outer))
    if at_last is not None:
        at_last = _before_later([*_headed(singles, tuple(outer), at_last)] or [at_last], wanted)
    if at_last is None:
        return _with_heading(text, singles, tuple(outer), f"{key(name)} = {value}")
    inside = at_last.inside if at_last.kind == "pair" else len(outer)
    dotted = ".".join(key(part) for part in [*outer[inside:], name])
    return _below(text, at_last, f"{dotted} = {value}")


def _headed(
    singles: list[Statement], outer: tuple[str, ...], last: Statement
) -> Iterator[Statement]:
    """The heading of a table, and its keys, up to the last of them."""
    for one in singles:
        heads = one.kind == "table" and one.path == outer
        if one.start <= last.start and (heads or (one.kind == "pair" and one.path[:-1] == outer)):
            yield one


def _before_later(near: list[Statement], wanted: _Key) -> Statement:
    """The statement that a new key goes below: before the keys that stand later in our list."""
    names = [column.name for column in wanted.table.columns]
    later = names[names.index(wanted.name) + 1 :] if wanted.name in names else []
    start = 1 if wanted.table.key else 0
    following = (
        at
        for at, one in enumerate(near)
        if at and one.kind == "pair" and ".".join(one.path[start:]) in later
    )
    return near[next(following, len(near)) - 1]


def _is_of(one: Statement, table: TableSchema, entry: int | None) -> bool:
    """Whether a statement belongs to an entry of a table."""
    return one.path[0] == table.name and one.entry == entry


def _neighbour(singles: list[Statement], outer: tuple[str, ...]) -> Statement | None:
    """The statement that a new key of a table goes below: of its own table where there is one."""
    pairs = [one for one in singles if one.kind == "pair"]
    near = [one for one in pairs if one.path[:-1] == outer]
    heads = [one for one in singles if one.kind == "table" and one.path == outer]
    dotted = [one for one in pairs if one.inside < len(outer) and one.path[: len(outer)] == outer]
    return next(reversed(near or heads or dotted), None)


def _below(text: str, at: Statement, line: str) -> str:
    return _joined(text, at.end, at.end, f"{_indent(text, at.start)}{line}{_newline(text)}")


def _with_heading(text: str, singles: list[Statement], outer: tuple[str, ...], pair: str) -> str:
    """A new table behind what is related to it, or at the end."""
    newline = _newline(text)
    related = [one for one in singles if one.path[0] == outer[0]]
    end = related[-1].end if related else len(text)
    heading = f"[{'.'.join(key(part) for part in outer)}]"
    after = newline if text[end:].lstrip(" \t").startswith("[") else ""
    return _joined(text, end, end, f"{newline}{heading}{newline}{pair}{newline}{after}")


def _without(text: str, table: TableSchema, entry: int | None) -> str:
    """The text without an entry: its heading, its keys, the blank line that parted it."""
    own = [one for one in statements(text) if _is_of(one, table, entry)]
    if not own:
        raise InternalError(f"{table.name} must have an entry {entry}; it has none.")
    start, end = own[0].start, own[-1].end
    parted = re.compile(r"(?:[ \t]*\r?\n)+").match(text, end)
    before = re.search(r"(?:\A|\n)((?:[ \t]*\r?\n)+)\Z", text[:start])
    if before and (parted or end == len(text)):
        start = before.start(1)
    elif parted and not before:
        end = parted.end()
    return _joined(text, start, end, "")


def _with_entry(text: str, table: TableSchema, at: int, row: Record) -> str:
    """A new entry as number `at` (from 0) of its array, or the first at the end of the text."""
    newline = _newline(text)
    columns = {column.name: column for column in table.columns}
    pairs = [
        f"{key(name)} = {literal(value, columns.get(name))}"
        for name, value in row.cells.items()
        if value
    ]
    lines = newline.join([f"[[{table.name}]]", *pairs]) + newline
    own = [one for one in statements(text) if one.entry and one.path[0] == table.name]
    if at == 0 and own:
        start = own[0].start
        return _joined(text, start, start, lines + newline)
    end = max((one.end for one in own if (one.entry or 0) <= at), default=len(text))
    return _joined(text, end, end, newline + lines)
