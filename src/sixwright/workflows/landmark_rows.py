"""What a landmark on a still and one on a sculpt share: whether it exists, its words, its row."""

from collections.abc import Mapping, Sequence

from sixwright.kernel.errors import InputError
from sixwright.line.landmarks import LANDMARKS, name_of, sides_of
from sixwright.line.likeness import Key
from sixwright.project.model import Project
from sixwright.project.records import Change, Records
from sixwright.project.rows import addition


def says(cells: Mapping[str, str] | None, names: Sequence[str]) -> str:
    """What cells of a row say, in one text; empty where there is no row."""
    return "" if cells is None else "|".join(cells.get(name, "").strip() for name in names)


def check_key(records: Records, key: Key) -> None:
    """Refuse what is no landmark.

    Raises
    ------
    InputError
        If it is neither built in nor a term of the line, or has no such side.
    """
    landmark, side = key
    if landmark not in LANDMARKS and landmark not in records.get("terms", {}):
        raise InputError(f"“{landmark}” is no landmark; nothing was written.")
    if side not in sides_of(landmark):
        raise InputError(f"“{landmark}” has no side “{side}”; nothing was written.")


def written(
    records: Records, table: str, keys: Mapping[str, str], cells: Mapping[str, str]
) -> tuple[Change, ...]:
    """The changes that make a row say what cells say; none where it says it already.

    Parameters
    ----------
    keys
        The columns that name the row, in the order of its id.
    """
    id_ = "/".join(keys.values())
    row = records.get(table, {}).get(id_)
    if row is None:
        return (addition(records, table, {**keys, **cells}),)
    return tuple(
        Change(table, id_, name, row.cells.get(name, ""), text)
        for name, text in cells.items()
        if row.cells.get(name, "").strip() != text
    )


def in_words(project: Project, key: Key) -> tuple[str, str]:
    """A landmark's name with its side, and where it lies."""
    landmark, _ = key
    term, built_in = project.terms.get(landmark), LANDMARKS.get(landmark)
    plain = term.name if term and term.name else built_in.term.name if built_in else landmark
    return name_of(key, plain), built_in.meaning if built_in else "a landmark of the line’s own"
