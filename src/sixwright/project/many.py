"""Many at once: one column of many rows changed to one value, or by one factor."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from sixwright.kernel.errors import ChangeError, InputError, Problem, QuantityError
from sixwright.kernel.locales import has_decimal_comma
from sixwright.project.columns import NUMERIC, CellType, ColumnSchema, TableSchema
from sixwright.project.model import Project
from sixwright.project.names import cell_name, column_of, label_of
from sixwright.project.records import Change, Record, Records
from sixwright.project.rows import edit
from sixwright.project.scaled import Scaled, factor_of, scaled
from sixwright.project.tables import BY_NAME

# Cells that are changed at once; what a try holds at most.
MOST_AT_ONCE = 500
NONE_PICKED = "Tick the rows to change, or say which; nothing was changed."
_WAYS, _MAKER = "ways", "maker"


@dataclass(frozen=True, slots=True)
class Many:
    """What changing many rows comes to.

    Attributes
    ----------
    changes
        One a cell that gets another text.
    column
        What the column is called.
    same, unknown
        Rows that say it already, and rows without a number, which stay so.
    rounded
        Whole numbers that the factor did not meet, and were rounded.
    """

    changes: tuple[Change, ...]
    column: str
    same: int = 0
    unknown: int = 0
    rounded: int = 0


def columns_for_many(table: TableSchema, rows: Mapping[str, Record]) -> tuple[ColumnSchema, ...]:
    """The columns that can be changed for many rows: none that makes a row what it is."""
    if table.read_only or not table.key:
        return ()
    known = {column.name for column in table.columns}
    own = dict.fromkeys(name for row in rows.values() for name in row.cells if name not in known)
    kept = {"id", *table.key}
    declared = (c for c in table.columns if c.name not in kept and not c.fixed)
    return (*declared, *(ColumnSchema(name, CellType.TEXT, label=name) for name in own if name))


def makers_of(records: Records, table: str) -> Mapping[str, tuple[str, ...]]:
    """Each maker to the ids of their rows: named in the row, or by the quote that it names."""
    own = column_of(table, _MAKER) is not None
    columns = BY_NAME[table].columns if table in BY_NAME else ()
    by = _MAKER if own else next((c.name for c in columns if c.refers == (_WAYS,)), None)
    if by is None:
        return {}
    ways = records.get(_WAYS, {})
    found: dict[str, list[str]] = {}
    for id_, row in records.get(table, {}).items():
        named = row.cells.get(by, "").strip()
        way = row if own else ways.get(named)
        maker = way.cells.get(_MAKER, "").strip() if way else ""
        if maker:
            found.setdefault(maker, []).append(id_)
    return {maker: tuple(ids) for maker, ids in found.items()}


def set_many(project: Project, at: tuple[str, str], ids: Sequence[str], value: str) -> Many:
    """One column of many rows set to one text.

    Parameters
    ----------
    at
        Table and column.
    ids
        The rows.
    value
        What is to stand there; a bare number keeps the currency that an amount has.

    Raises
    ------
    InputError
        If no rows are named, too many, or all of them say it already.
    ChangeError
        If the table, the column or a row is not there, or cannot be changed at once.
    """
    table, name = at
    column, rows = _picked(project, table, name, ids)
    wanted = [
        edit(project.records, Change(table, row.id, name, row.cells.get(name, ""), value))
        for row in rows
    ]
    changes = tuple(change for change in wanted if change.was != change.value)
    if not changes:
        raise InputError("It says that already in every row you picked; nothing was changed.")
    return Many(changes, label_of(project.records, column), same=len(rows) - len(changes))


def scale_many(project: Project, at: tuple[str, str], ids: Sequence[str], factor: str) -> Many:
    """One column of many rows times one factor; what is unknown stays unknown.

    Parameters
    ----------
    at
        Table and column, which must hold numbers or money.
    factor
        ``0.7`` or ``70 %``. A whole number stays whole: a half goes up.

    Raises
    ------
    InputError
        If no rows are named, too many, the factor is none, or nothing would change.
    ChangeError
        If the table, the column or a row is not there, or cannot be changed at once.
    """
    table, name = at
    column, rows = _picked(project, table, name, ids)
    label = label_of(project.records, column)
    if column.cell not in NUMERIC:
        raise InputError(f"“{label}” holds no numbers: change it to a value; nothing was changed.")
    comma = has_decimal_comma(project.locale)
    try:
        times = factor_of(factor, comma=comma)
    except QuantityError as error:
        raise InputError(f"It must be {error.expected}; “{error.found}” is not.") from error
    whole = column.cell is CellType.COUNT
    texts = {row.id: text for row in rows if (text := row.cells.get(name, "").strip())}
    products = {
        id_: _product(project.records, (table, id_, name), text, (times, whole, comma))
        for id_, text in texts.items()
    }
    changes = tuple(
        Change(table, id_, name, text, products[id_].text)
        for id_, text in texts.items()
        if products[id_].text != text
    )
    if not changes:
        raise InputError("No number in the rows you picked would change; nothing was changed.")
    return Many(
        changes,
        label,
        same=len(texts) - len(changes),
        unknown=len(rows) - len(texts),
        rounded=sum(product.is_rounded for product in products.values()),
    )


def _product(
    records: Records, at: tuple[str, str, str], text: str, by: tuple[Fraction, bool, bool]
) -> Scaled:
    """A cell's text times a factor; where it cannot be, the cell is named."""
    times, whole, comma = by
    try:
        return scaled(text, times, whole=whole, comma=comma)
    except QuantityError as error:
        named = cell_name(records, *at)
        raise InputError(f"{named} must be {error.expected}; “{error.found}” is not.") from error


def _picked(
    project: Project, table: str, name: str, ids: Sequence[str]
) -> tuple[ColumnSchema, tuple[Record, ...]]:
    """The column and the rows that are meant.

    Raises
    ------
    InputError
        If no rows are named, or too many.
    ChangeError
        If one of them, or the column, is not there or cannot be changed at once.
    """
    known = BY_NAME.get(table)
    if known is None:
        raise ChangeError((Problem(table, "a table of a line", f"“{table}”"),))
    rows = project.records.get(table, {})
    columns = {column.name: column for column in columns_for_many(known, rows)}
    if name not in columns:
        expected = "a column that can be changed for many rows"
        raise ChangeError((Problem(known.file, expected, f"“{name}”"),))
    picked = tuple(dict.fromkeys(ids))
    gone = [id_ for id_ in picked if id_ not in rows]
    if gone:
        raise ChangeError((Problem(known.file, "a row that is there", f"“{gone[0]}”"),))
    if not picked:
        raise InputError(NONE_PICKED)
    if len(picked) > MOST_AT_ONCE:
        raise InputError(
            f"At most {MOST_AT_ONCE} rows are changed at once, and you picked {len(picked)}: "
            "pick fewer; nothing was changed."
        )
    return columns[name], tuple(rows[id_] for id_ in picked)
