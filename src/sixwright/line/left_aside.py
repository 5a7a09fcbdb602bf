"""What of a folder is not part of the line, though it looks as if it were meant to be."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class StrayFile:
    """A file of the folder that is not read.

    Attributes
    ----------
    name
        As it lies in the folder.
    meant
        The file of a table that it is likely meant to be, or a copy of.
    is_copy
        Whether that file is there as well.
    """

    name: str
    meant: str
    is_copy: bool = False


@dataclass(frozen=True, slots=True)
class LostColumn:
    """A column that a table no longer has.

    Attributes
    ----------
    table, file, column
        Where it was.
    values
        Cells of rows that are still there to which an edit in sixwright gave a value.
    last
        Day of the last of these edits.
    """

    table: str
    file: str
    column: str
    values: int
    last: date
