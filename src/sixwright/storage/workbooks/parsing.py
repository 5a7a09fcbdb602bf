"""A sheet's file row by row; all but its rows, merged ranges and columns is dropped as it comes."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Any
from xml.etree.ElementTree import Element, iterparse

from sixwright.storage.workbooks.archive import UnusableError

# The most that a sheet's file may state; docs/limits.md states the first.
MOST_MERGED = 10_000
WIDEST = 16_384  # columns that a spreadsheet has, ECMA-376 part 1 as spreadsheets hold it
DEEPEST = 200  # elements within each other; a spreadsheet's are eight at most
MOST_BESIDE = 200_000  # elements outside of rows
_MOST_OF_A_ROW = 16 * WIDEST


@dataclass(slots=True)
class Parsed:
    """What was met of a sheet so far.

    Attributes
    ----------
    row
        Number of the row that is being read, from 1; None outside of rows.
    merged
        First and last row, first and last column of each merged range, from 1.
    hidden_rows
        Numbers of rows that are not shown, from 1.
    hidden_columns
        First and last of columns that are not shown, from 1.
    """

    row: int | None = None
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    hidden_rows: set[int] = field(default_factory=set)
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)


def rows_of(part: Any, reader: Any, parsed: Parsed) -> Iterator[list[dict[str, Any]]]:
    """The cells of each row that has any, as the library reads them.

    Parameters
    ----------
    part
        The sheet's file.
    reader
        The library's, with the workbook's texts and styles.
    parsed
        Where all else is added.

    Raises
    ------
    UnusableError
        If there is more of anything than is read.
    Exception
        Whatever the library raises at what is broken.
    """
    from openpyxl.worksheet._reader import COL_TAG, ROW_TAG, SHEET_MAIN_NS

    book = reader.wb
    parser = _parser()(
        part,
        reader.shared_strings,
        data_only=True,
        epoch=book.epoch,
        date_formats=book._date_formats,  # noqa: SLF001  as the library's own reader does
        timedelta_formats=book._timedelta_formats,  # noqa: SLF001
    )
    for element in _elements(part, ROW_TAG, parsed):
        if element.tag == ROW_TAG:
            number, cells = parser.parse_row(element)
            if _is_hidden(element):
                parsed.hidden_rows.add(number)
            if cells:
                yield cells
        elif element.tag == COL_TAG and _is_hidden(element):
            parsed.hidden_columns.append((int(element.attrib["min"]), int(element.attrib["max"])))
            if len(parsed.hidden_columns) > WIDEST:
                raise UnusableError(f"at most {WIDEST} columns", "more")
        elif element.tag == f"{{{SHEET_MAIN_NS}}}mergeCell":
            parsed.merged.append(_area(element.attrib["ref"]))
            if len(parsed.merged) > MOST_MERGED:
                raise UnusableError(f"at most {MOST_MERGED} merged ranges", "more")


def _elements(part: Any, whole: str, parsed: Parsed) -> Iterator[Element]:
    """Each element once it has ended, then dropped; with all that is in it only where `whole`."""
    path: list[Element] = []
    within = beside = last = 0
    for event, element in iterparse(part, ("start", "end")):  # noqa: S314  as the import
        if event == "start":
            path.append(element)
            if within:
                within += 1
            elif element.tag == whole:
                within, last = 1, _number(element, last + 1)
                parsed.row = last
            else:
                beside += 1
            if len(path) > DEEPEST or within > _MOST_OF_A_ROW or beside > MOST_BESIDE:
                raise UnusableError(
                    f"at most {DEEPEST} elements within each other, {_MOST_OF_A_ROW} in a row and "
                    f"{MOST_BESIDE} beside the rows", "more",
                )  # fmt: skip
            continue
        path.pop()
        if not within or element.tag == whole:
            within = 0
            yield element
            parsed.row = None
            if path:
                path[-1].remove(element)


def _number(row: Element, otherwise: int) -> int:
    """The number that a row says it has, to name it by."""
    stated = row.get("r", "")
    return int(stated) if stated.isdecimal() and len(stated) < 9 else otherwise


def _is_hidden(element: Element) -> bool:
    return element.get("hidden") in {"1", "true"}


def _area(ref: str) -> tuple[int, int, int, int]:
    """The first and last row, first and last column of a range as in ``A1:B2``."""
    from openpyxl.utils import range_boundaries

    left, top, right, bottom = range_boundaries(ref)
    return top, bottom, left, right


@cache
def _parser() -> Any:
    """The library's reader of cells, which also tells where a formula stands."""
    from openpyxl.worksheet._reader import FORMULA_TAG, WorkSheetParser

    class Parser(WorkSheetParser):  # type: ignore[misc]  # the library has no types
        def parse_cell(self, element: Element) -> dict[str, Any]:
            cell: dict[str, Any] = super().parse_cell(element)
            cell["formula"] = element.find(FORMULA_TAG) is not None
            return cell

    return Parser
