"""What the folder's tables and columns are: the one list that all else derives from.

Tables whose `file` is ``line.toml`` are its arrays of tables (`looks`, `editions`, `sets`,
`rates`) and `line`, which is its single-valued keys as one row with the id ``line`` and dotted
columns (``money.labour.rate``). Everywhere else a table is a CSV file. A new table is one
`TableSchema` in the module of its topic here, and its noun in `line/`.
"""

from dataclasses import replace

from sixwright.project.columns import CellType, ColumnSchema, SchemaGroup, TableSchema
from sixwright.project.tables.accepted import ACCEPTED
from sixwright.project.tables.boxes import BOXES
from sixwright.project.tables.dates import DATES
from sixwright.project.tables.likeness import LIKENESS
from sixwright.project.tables.line import LINE
from sixwright.project.tables.money import MONEY
from sixwright.project.tables.voices import VOICES

__all__ = ["BY_NAME", "GROUPS", "LARGE_TABLES", "TABLES", "CellType", "ColumnSchema", "TableSchema"]

_KEYED = "line"  # the table that the single-valued keys of line.toml are the columns of

GROUPS: tuple[SchemaGroup, ...] = (LINE, BOXES, MONEY, LIKENESS, VOICES, DATES, ACCEPTED)


def _with_keys(table: TableSchema) -> TableSchema:
    """The table; the line's own with the keys of all topics."""
    if table.name != _KEYED:
        return table
    return replace(table, columns=table.columns + tuple(key for of in GROUPS for key in of.keys))


TABLES = tuple(_with_keys(table) for of in GROUPS for table in of.tables)
BY_NAME = {table.name: table for table in TABLES}
LARGE_TABLES = tuple(table for of in GROUPS for table in of.large)
