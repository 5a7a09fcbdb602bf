"""Whose currency a bare amount is in: the line's, its row's own, or that of a row it belongs to."""

from sixwright.project.names import column_of
from sixwright.project.records import Records
from sixwright.project.tables import BY_NAME


def currency_of(records: Records, table: str, id_: str) -> str:
    """The currency that a bare amount of a row is in, as it is written; empty where unknown.

    Parameters
    ----------
    table, id_
        The row, which need not be there yet: its id then says to which other row it belongs. One
        that belongs to none is in the line's currency.
    """
    by = BY_NAME[table].currency if table in BY_NAME else ""
    column = column_of(table, by)
    if column is None:
        return _stated(records, "line", "line", "currency")
    if not column.refers:
        return _stated(records, table, id_, by)
    row = records.get(table, {}).get(id_)
    cells = row.cells if row else dict(zip(BY_NAME[table].key, id_.split("/"), strict=False))
    other = cells.get(by, "").strip()
    owner = next((name for name in column.refers if other in records.get(name, {})), None)
    return currency_of(records, owner, other) if owner else ""


def _stated(records: Records, table: str, id_: str, column: str) -> str:
    row = records.get(table, {}).get(id_)
    return row.cells.get(column, "").strip() if row else ""
