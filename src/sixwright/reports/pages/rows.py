"""Rows of the folder on pages: where they stand, how one is added, and the boxes as heads."""

from sixwright.kernel.ids import anchor
from sixwright.project.columns import ColumnSchema
from sixwright.project.many import columns_for_many, makers_of
from sixwright.project.model import Project
from sixwright.project.names import label_of
from sixwright.project.records import Records
from sixwright.project.tables import BY_NAME
from sixwright.reports.document import Ask, CellAddress, Column, Form
from sixwright.reports.wording.fields import hint, options
from sixwright.reports.wording.many import ROUNDING

# Where the form of a new row stands on its table's page.
FORM_ANCHOR = "add"
# From so many rows on, they can be changed at once; so many makers are offered.
LEAST_FOR_MANY, MOST_MAKERS = 2, 200
HOW = (("to", "to the value"), ("times", "times the factor"))


def row_anchor(id_: str) -> str:
    """Where a row stands on its table's page."""
    return f"row-{anchor(id_)}"


def box_heads(project: Project) -> tuple[Column, ...]:
    """One column a box, headed by its name, which can be changed there."""
    return tuple(
        Column(sold.name or sold.id, numeric=True, place=CellAddress(sold.table, sells, "name"))
        for sells, sold in project.sells.items()
    )


def row_form(records: Records, table: str) -> Form | None:
    """What is asked of a new row of a table; None where rows are not added one by one."""
    known = BY_NAME[table]
    if known.read_only:
        return None
    asks = tuple(
        Ask(
            column.name,
            label_of(records, column),
            required=column.required,
            note="" if column.required else "if known",
            hint=hint(column),
            options=_options(records, table, column),
        )
        for column in known.columns
        if column.asked or (column.required and column.name != "id")
    )
    return Form(f"Add {known.a_row}", "add", asks, fixed=(("table", table),), within="cells")


def many_form(records: Records, table: str) -> Form | None:
    """What is asked to change a column of many rows at once; None where that cannot be."""
    rows = records.get(table, {})
    columns = columns_for_many(BY_NAME[table], rows)
    if len(rows) < LEAST_FOR_MANY or not columns:
        return None
    makers = list(makers_of(records, table).items())[:MOST_MAKERS]
    which = (
        ("", "the rows ticked"),
        ("*", f"all {len(rows)} rows"),
        *((f"maker:{maker}", f"all of {maker} ({len(ids)})") for maker, ids in makers),
    )
    asks = (
        Ask("which", "Rows", options=which, set=True),
        Ask("column", "Column", required=True,
            options=tuple((column.name, label_of(records, column)) for column in columns)),
        Ask("how", "Change", options=HOW, set=True),
        Ask("value", "Value or factor", required=True, hint="800 or 0.7"),
    )  # fmt: skip
    lead = "Change many at once"
    return Form("Try it", "many", asks, fixed=(("table", table),), lead=lead, note=ROUNDING)


def _options(records: Records, table: str, column: ColumnSchema) -> tuple[tuple[str, str], ...]:
    listed = options(records, CellAddress(table, "", column.name))
    return tuple((option.value, option.words) for option in listed if option.value)
