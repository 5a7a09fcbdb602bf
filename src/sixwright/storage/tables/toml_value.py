"""A cell's text as a TOML value that reads back as that text, in the manner of the old one."""

import re
from collections.abc import Mapping
from typing import Any

from sixwright.kernel.errors import InputError
from sixwright.project.columns import LISTS, NUMERIC
from sixwright.project.tables import CellType, ColumnSchema
from sixwright.storage.tables.toml_text import parse_toml, value_text

_NUMBERS = NUMERIC - {CellType.MONEY, CellType.RATE_H}
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_GROUP = re.compile(r"([a-z][a-z0-9-]*)=(0|[1-9]\d{0,17})")
_SHORT = 18  # digits that every reader of TOML takes exactly (64 bits)


def literal(text: str, column: ColumnSchema | None, old: str = "", entries: object = None) -> str:
    """The value as it is written in the file.

    Parameters
    ----------
    column
        What the cell holds; None for a key of the user's own.
    old
        How the value that stands there is written; empty where none does.
    entries
        What `old` says, of an announced count: keys of the user's own in it are kept.
    """
    quoted = old.startswith(('"', "'"))
    if column is not None and column.cell in LISTS and not quoted:
        listed = _listed(text, column, entries)
        if listed is not None and _reads_as(listed, column, " ".join(text.split())):
            return listed
    bare = not quoted if old else column is not None and column.cell in _NUMBERS
    if bare and len(text) <= _SHORT and _reads_as(text, column, text):
        return text
    return string(text)


def string(text: str) -> str:
    """A text in quotes."""
    from tomlkit import string as quoted

    return quoted(text).as_string()


def key(name: str) -> str:
    """A name as a key is written."""
    return name if _BARE_KEY.fullmatch(name) else string(name)


def inline(value: object) -> str:
    """A value on one line: a list, a table, a number, a text."""
    from tomlkit import inline_table, item

    if isinstance(value, Mapping):
        table = inline_table()
        table.update(value)
        return table.as_string()
    if isinstance(value, list):
        return f"[{', '.join(inline(one) for one in value)}]"
    return item(value).as_string()


def _listed(text: str, column: ColumnSchema, entries: object) -> str | None:
    words = text.split()
    if column.cell is CellType.WORDS:
        return f"[{', '.join(string(word) for word in words)}]"
    if column.cell in {CellType.SIZE3, CellType.FACTORS}:
        return f"[{', '.join(words)}]"
    found = [_GROUP.fullmatch(word) for word in words]
    if not all(found):
        return None
    stated = _by_group(entries)
    tables = [
        dict(stated.get(match[1], {})) | {"group": match[1], "quantity": int(match[2])}
        for match in found
        if match
    ]
    return inline(tables)


def _by_group(entries: object) -> dict[str, Mapping[str, Any]]:
    listed = entries if isinstance(entries, list) else []
    return {str(one.get("group")): one for one in listed if isinstance(one, Mapping)}


def _reads_as(written: str, column: ColumnSchema | None, text: str) -> bool:
    """Whether TOML reads it, alone, as a value of that text."""
    try:
        document = parse_toml(f"x = {written}".encode())
    except InputError:
        return False
    return list(document) == ["x"] and value_text(document["x"], column) == text
