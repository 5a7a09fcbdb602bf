"""Write what derives from the tables' declarations: docs/folder.md and docs/line.schema.json.

    python tools/folder_docs.py

In docs/folder.md only what stands between the two marks is written; the rest is by hand.
"""

from collections.abc import Iterator
from pathlib import Path

from sixwright.project.columns import ColumnSchema, SchemaGroup, TableSchema
from sixwright.project.tables import BY_NAME, GROUPS
from sixwright.storage.json_schema import schema_text

DOCS = Path(__file__).resolve().parent.parent / "docs"
FOLDER, SCHEMA = DOCS / "folder.md", DOCS / "line.schema.json"
FIRST = "<!-- written by tools/folder_docs.py: from here -->\n"
LAST = "<!-- written by tools/folder_docs.py: to here -->\n"
TOML = "line.toml"


def folder_text(old: str) -> str:
    """docs/folder.md with its tables as they are declared."""
    before, _, rest = old.partition(FIRST)
    _, _, after = rest.partition(LAST)
    return before + FIRST + "".join(_lines()) + LAST + after


def _lines() -> Iterator[str]:
    for of in GROUPS:
        yield f"\n## {of.title}\n{of.about}\n"
        yield from _keys(of)
        for table in of.tables:
            if table.key:
                yield from _table(table)
        for table in of.large:
            yield from _table(table)


def _keys(of: SchemaGroup) -> Iterator[str]:
    """The single-valued keys of line.toml: the line's own, or those that a topic adds."""
    own = [column for table in of.tables if not table.key for column in table.columns]
    if own:
        yield f"\n### The line\n{BY_NAME['line'].meaning}\n\n"
        yield from _columns(tuple(own), "key")
    if of.keys:
        section = of.keys[0].name.split(".")[0]
        yield f"\n### `[{section}]` in `{TOML}`\n\n"
        yield from _columns(of.keys, "key")


def _table(table: TableSchema) -> Iterator[str]:
    name = f"[[{table.name}]]" if table.file == TOML else table.file
    yield f"\n### `{name}`\n{table.meaning}\n\n"
    yield from _columns(table.columns, "key" if table.file == TOML else "column")


def _columns(columns: tuple[ColumnSchema, ...], head: str) -> Iterator[str]:
    yield f"| {head} | what it is | left empty |\n|---|---|---|\n"
    for column in columns:
        yield f"| `{column.name}` | {column.in_full} | {_empty(column)} |\n"


def _empty(column: ColumnSchema) -> str:
    return "needed" if column.required else column.when_empty


if __name__ == "__main__":
    FOLDER.write_text(folder_text(FOLDER.read_text(encoding="utf-8")), encoding="utf-8")
    SCHEMA.write_text(schema_text(), encoding="utf-8")
