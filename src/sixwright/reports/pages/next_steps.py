"""After a row was added: where it stands, and what it still needs, as links."""

from collections.abc import Mapping
from urllib.parse import quote

from sixwright.reports.document import Link
from sixwright.reports.pages.rows import FORM_ANCHOR, row_anchor


def next_steps(table: str, id_: str, cells: Mapping[str, str]) -> tuple[Link, ...]:
    """What is to be done next about a new row, the nearest first.

    Parameters
    ----------
    table, id_, cells
        The row.
    """
    match table:
        case "parts":
            return (
                Link("lineup", f"part-{id_}", "Put it into a box"),
                _form("ways", "part", id_, "Add a quote for it"),
            )
        case "ways":
            part = cells.get("part", "")
            return (
                _form("prices", "way", id_, "Give it a price"),
                Link("tables/parts", row_anchor(part), "Choose it for its part"),
            )
        case "editions" | "sets":
            return (
                _form("orders", "sells", id_, "Say how many orders you assume"),
                Link("lineup", "", "Put parts into it"),
            )
    return ()


def _form(table: str, column: str, id_: str, words: str) -> Link:
    """The form of a table, with the new row filled in."""
    return Link(f"tables/{table}?{column}={quote(id_)}", FORM_ANCHOR, words)
