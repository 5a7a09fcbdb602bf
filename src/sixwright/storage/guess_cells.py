"""The rows of a sheet, and which of them are parts: merged cells, headings, totals, notes."""

import re
from dataclasses import dataclass, field

from sixwright.storage.book import Position, Sheet
from sixwright.storage.guess_columns import Columns, is_total
from sixwright.storage.guess_grid import data_rows
from sixwright.storage.guess_words import KIND_OF_WORD, kind_in

# Merged downwards, one text holds for all its rows; one number may be shared, so it does not.
_FILLED = ("kind", "look", "group", "maker", "process", "currency", "valid_until", "lead_days",
           "lead_weeks")  # fmt: skip


@dataclass(slots=True)
class PartRow:
    """One row that names a part: its number in the sheet, its cells, the heading's kind."""

    number: int
    cells: tuple[str, ...]
    heading: str | None
    unread: dict[int, str] = field(default_factory=dict)


@dataclass(slots=True)
class Sorted:
    """The rows of a sheet by what they are, and a sentence on each that is no part."""

    parts: list[PartRow] = field(default_factory=list)
    totals: list[PartRow] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)


def sort_rows(sheet: Sheet, header: int, columns: Columns) -> Sorted:
    """Every row below the header: a part, a total, a heading or a remark; each is said."""
    found = Sorted()
    filled, shared = _merged(sheet, columns)
    unread = _by_row(sheet.unread | shared)
    naming = [guess.at for meaning in ("name", "id") for guess in columns.of(meaning)]
    heading: str | None = None
    for number, row in data_rows(sheet, header):
        cells = tuple(filled.get((number, at), text) for at, text in enumerate(row))
        held = [text.strip() for text in row if text.strip()]
        place = f"Row {number + 1} “{held[0]}”"
        if is_total(row):
            found.totals.append(PartRow(number, cells, None))
            found.remarks.append(f"{place} read as a total, no part.")
        elif len(held) == 1 and _is_heading(sheet, number, held[0]):
            heading = kind_in(held[0])
            kind = f", its parts as of the kind {heading} where their names say none"
            found.remarks.append(f"{place} read as a heading, no part{kind if heading else ''}.")
        elif len(held) == 1 and found.totals:
            found.remarks.append(f"{place}, below the total, read as a note and left out.")
        elif not any(cells[at].strip() for at in naming):
            said = ", ".join(f"“{text}”" for text in held[:6])
            found.remarks.append(
                f"Row {number + 1} names no part and is left out; it holds {said}."
            )
        else:
            found.parts.append(PartRow(number, cells, heading, unread.get(number, {})))
    return found


def _merged(sheet: Sheet, columns: Columns) -> tuple[dict[Position, str], dict[Position, str]]:
    """Texts that merged cells give to their lower rows; and cells that share a merged number."""
    filled: dict[Position, str] = {}
    shared: dict[Position, str] = {}
    meanings = {guess.at: guess.meaning for guess in columns.guesses}
    for top, bottom, left, _ in sheet.merged:
        for number in range(top + 1, bottom + 1):
            if meanings.get(left) in _FILLED:
                filled[number, left] = sheet.rows[top][left]
            elif meanings.get(left) not in {None, "keep", "ignore", "name", "id", "note"}:
                shared[number, left] = f"part of one cell merged with row {top + 1}"
    return filled, shared


def _by_row(unread: dict[Position, str]) -> dict[int, dict[int, str]]:
    rows: dict[int, dict[int, str]] = {}
    for (number, at), why in unread.items():
        rows.setdefault(number, {})[at] = why
    return rows


def _is_heading(sheet: Sheet, number: int, text: str) -> bool:
    """Whether the only text of a row heads the rows below: merged across, or a bare kind."""
    across = any(top == number and left < right for top, _, left, right in sheet.merged)
    bare = re.sub(r"[^a-z]", "", text.casefold()) in KIND_OF_WORD
    return across or (bare and not _is_one(text))


def _is_one(text: str) -> bool:
    """Whether a word stands for a single thing: “Body” may be a part, “HEADS” and “Heads” not."""
    return not text.isupper() and not text.casefold().rstrip(":").endswith("s")
