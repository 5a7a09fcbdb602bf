"""Rows and columns that a spreadsheet does not show: said, and left out unless asked for."""

from collections.abc import Collection
from dataclasses import replace

from sixwright.importer.grid import column_names, letter
from sixwright.storage.workbooks.sheet import Sheet

_SHOWN = 12  # rows named one by one


def without_hidden(
    sheet: Sheet, header: int, told: Collection[str]
) -> tuple[Sheet, tuple[str, ...]]:
    """The sheet with nothing in its hidden rows and columns, and a sentence on each of those.

    Parameters
    ----------
    sheet
        As it was read.
    header
        The row that names the columns, from 0.
    told
        Columns of which the producer says what they mean; those count, hidden or not.
    """
    names = column_names(sheet, header)
    wanted = {" ".join(name.casefold().split()) for name in told}
    columns = [at for at in sorted(sheet.hidden_columns) if at < len(names)
               and names[at].casefold() not in wanted and _holds(sheet, at)]  # fmt: skip
    rows = [at for at in sorted(sheet.hidden_rows) if any(text.strip() for text in sheet.rows[at])]
    said = [
        f"Column {letter(at)}, “{names[at]}”, is hidden in the spreadsheet: nothing is taken from "
        "it; say --hidden to read what is hidden."
        for at in columns
    ]
    if rows:
        listed = ", ".join(str(at + 1) for at in rows[:_SHOWN])
        more = f" and {len(rows) - _SHOWN} more" if len(rows) > _SHOWN else ""
        lead = f"Row {listed} is" if len(rows) == 1 else f"Rows {listed}{more} are"
        said.append(
            f"{lead} hidden in the spreadsheet: nothing is taken from there; say --hidden to read "
            "what is hidden."
        )
    return replace(sheet, rows=_emptied(sheet, set(rows), set(columns))), tuple(said)


def _holds(sheet: Sheet, column: int) -> bool:
    return any(row[column].strip() for row in sheet.rows)


def _emptied(sheet: Sheet, rows: set[int], columns: set[int]) -> tuple[tuple[str, ...], ...]:
    return tuple(
        tuple("" if at in rows or column in columns else text for column, text in enumerate(row))
        for at, row in enumerate(sheet.rows)
    )
