"""The rows of a sheet, and which of them are parts: merged cells, headings, totals, notes."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from sixwright.importer.column_guess import SheetColumns
from sixwright.importer.grid import data_rows, is_total
from sixwright.importer.kinds import Kinds, SectionHeading
from sixwright.importer.words import KIND_OF_WORD
from sixwright.storage.workbooks.sheet import Position, Sheet

# Merged downwards, one text holds for all its rows; one number may be shared, so it does not.
_FILLED = ("kind", "look", "group", "maker", "process", "currency", "valid_until", "lead_days",
           "lead_weeks")  # fmt: skip


@dataclass(slots=True)
class PartRow:
    """One row that names a part: its number in the sheet, its cells, the heading above it."""

    number: int
    cells: tuple[str, ...]
    heading: SectionHeading
    unread: dict[int, str] = field(default_factory=dict)


@dataclass(slots=True)
class SortedRows:
    """The rows of a sheet by what they are, and a sentence on each that is no part.

    Attributes
    ----------
    others
        Rows that are no part, from 0: ``total``, ``heading`` or ``left out``.
    """

    parts: list[PartRow] = field(default_factory=list)
    totals: list[PartRow] = field(default_factory=list)
    others: dict[int, str] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)


def sort_rows(sheet: Sheet, header: int, columns: SheetColumns, kinds: Kinds) -> SortedRows:
    """Every row below the header: a part, a total, a heading or a remark; each is said."""
    found = SortedRows()
    filled, shared = _merged(sheet, columns)
    unread = _by_row(sheet.unread | shared)
    naming = [guess.at for meaning in ("name", "id") for guess in columns.of(meaning)]
    headings = _Headings(sheet, header, naming, kinds)
    heading = SectionHeading()
    for number, row in data_rows(sheet, header):
        cells = tuple(filled.get((number, at), text) for at, text in enumerate(row))
        held = [text.strip() for text in row if text.strip()]
        place = f"Row {number + 1}, “{held[0]}”,"
        if is_total(row):
            found.totals.append(PartRow(number, cells, SectionHeading()))
            found.others[number] = "total"
            found.remarks.append(f"{place} is read as a total, not a part.")
        elif len(held) == 1 and headings.is_one(number, held[0]):
            heading = SectionHeading(held[0], kinds.within(held[0]))
            found.others[number] = "heading"
            found.remarks.append(f"{place} is read as a heading{_heads(heading)}.")
        elif len(held) == 1 and found.totals:
            found.others[number] = "left out"
            found.remarks.append(f"{place} stands below the total: a note, left out.")
        elif not any(cells[at].strip() for at in naming):
            found.others[number] = "left out"
            said = ", ".join(f"“{text}”" for text in held[:6])
            found.remarks.append(f"Row {number + 1} names no part and is left out; it says {said}.")
        else:
            found.parts.append(PartRow(number, cells, heading, unread.get(number, {})))
    return found


def _heads(heading: SectionHeading) -> str:
    if heading.kind:
        return (
            f", not a part: the parts below it are of the kind {heading.kind}, "
            "where nothing in their row says another"
        )
    return ", not a part; it names no kind, so it says nothing of the parts below it"


def _merged(sheet: Sheet, columns: SheetColumns) -> tuple[dict[Position, str], dict[Position, str]]:
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


class _Headings:
    """Tells a row with one text that heads the rows below it from a part of which little is known.

    It is merged across columns; or is a bare kind; or stands where parts are named, with parts
    below it, and is in capitals (where parts are not) or has an empty row above it.
    """

    def __init__(self, sheet: Sheet, header: int, naming: Sequence[int], kinds: Kinds) -> None:
        self.sheet, self.naming, self.kinds = sheet, naming, kinds
        rows = dict(data_rows(sheet, header))
        self.full = [number for number, row in rows.items() if _held(row) > 1]
        names = [rows[number][at] for number in self.full for at in naming[:1]]
        self.shouting = sum(name.isupper() for name in names) * 2 > len(names)

    def is_one(self, number: int, text: str) -> bool:
        """Whether this row, whose only text this is, is a heading."""
        across = any(top == number and left < right for top, _, left, right in self.sheet.merged)
        return across or self._is_kind(text) or self._stands_apart(number, text)

    def _is_kind(self, text: str) -> bool:
        bare = re.sub(r"[^a-z]", "", text.casefold()) in KIND_OF_WORD
        told = text.casefold() in self.kinds.told
        several = text.casefold().rstrip(":").endswith("s")  # “Body” may be a part, “Heads” not
        return (bare or told) and (several or (text.isupper() and not self.shouting))

    def _stands_apart(self, number: int, text: str) -> bool:
        row = self.sheet.rows[number]
        named = any(row[at].strip() for at in self.naming)
        if not named or not re.search(r"[^\W\d_]{2}", text):
            return False
        below = number < max(self.full, default=0)
        alone = _held(self.sheet.rows[number - 1]) == 0 and number + 1 in self.full
        return alone or (below and text.isupper() and not self.shouting)


def _held(row: Sequence[str]) -> int:
    """How many cells of a row hold anything."""
    return sum(bool(text.strip()) for text in row)
