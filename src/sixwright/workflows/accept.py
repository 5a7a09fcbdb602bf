"""Living with a finding, said why: the changes that record it, withdraw it, or settle it."""

from collections.abc import Mapping
from datetime import date

from sixwright.kernel.errors import ChangeError, Problem
from sixwright.kernel.findings import Finding
from sixwright.project.records import Change, Records
from sixwright.project.tables import BY_NAME
from sixwright.workflows.acceptances import TABLE, recorded

FILE = "accepted.csv"


def acceptance(
    records: Records, finding: Finding, *, by: str, reason: str, on: date
) -> tuple[Change, ...]:
    """The changes that record who accepts a finding, on which day, why, and on what evidence.

    Parameters
    ----------
    by
        A name.
    reason
        Why the producer lives with it.
    on
        The day of it.

    Raises
    ------
    ChangeError
        If the name or the reason is empty.
    """
    said = {"by": " ".join(by.split()), "reason": " ".join(reason.split())}
    empty = [name for name, text in said.items() if not text]
    if empty:
        raise ChangeError(tuple(_needed(name) for name in empty))
    cells = {**said, "date": on.isoformat(), **recorded(finding)}
    return _written(records, TABLE, finding.id, cells)


def _needed(name: str) -> Problem:
    expected = {"by": "the name of who accepts it", "reason": "a reason"}[name]
    return Problem(FILE, expected, "an empty cell", column=name)


def withdrawal(records: Records, finding: str) -> tuple[Change, ...]:
    """The change that takes an acceptance back.

    Raises
    ------
    ChangeError
        If it was not accepted.
    """
    if finding not in records.get(TABLE, {}):
        raise ChangeError((Problem(FILE, "a finding that was accepted", f"“{finding}”"),))
    return (Change(TABLE, finding, remove=True),)


def fix_changes(records: Records, finding: Finding) -> tuple[Change, ...]:
    """The changes of the finding's fix, against the rows as they stand.

    Raises
    ------
    ChangeError
        If no one edit settles it.
    """
    fix = finding.fix
    if fix is None:
        raise ChangeError((Problem("", "a finding that one edit settles", f"“{finding.id}”"),))
    return _written(records, fix.table, fix.id, dict(fix.cells))


def _written(
    records: Records, table: str, id_: str, cells: Mapping[str, str]
) -> tuple[Change, ...]:
    """Changes that give a row these cells; a row that is not there is added with them."""
    row = records.get(table, {}).get(id_)
    if row is None:
        keys = dict(zip(BY_NAME[table].key, id_.split("/"), strict=False))
        keys = {"finding": id_} if table == TABLE else keys
        return (Change(table, id_, add={**keys, **cells}),)
    return tuple(
        Change(table, id_, column, row.cells.get(column, "").strip(), value)
        for column, value in cells.items()
    )
