"""Spreadsheets arranged otherwise: parts over two sheets, and a row for each part of each box.

Both are laid out as one row a part and one column a box, so that all else reads one arrangement.
Rows keep their numbers: what is said of a row is true of the spreadsheet.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from sixwright.importer.column_contents import pieces
from sixwright.importer.grid import column_names, data_rows, header_row, is_total
from sixwright.importer.words import meaning_of, plain
from sixwright.storage.workbooks.sheet import Position, Sheet

_BOX = re.compile(r"box(es)?|in box|editions?|sets?|bundles?|variants?|version|sells|for box")
_QUANTITY = re.compile(
    r"(qty|quantity|pieces|pcs|count|how many|number)( (in|per|a) (the )?box)?|"
    r"(no|number) of (pieces|pcs|parts)|menge|anzahl|quantit[ée]"
)
# Of another sheet's rows, so many per cent must be parts of this one before it is joined.
ENOUGH = 60
MOST = 6  # rows that are named one by one


def joined(sheets: Sequence[Sheet], chosen: Sheet, header: int) -> tuple[Sheet, dict[str, str]]:
    """The sheet with the columns of those that name the same parts, and which those are.

    Parameters
    ----------
    sheets
        All of the workbook; a hidden one is never joined.
    chosen, header
        The sheet that is read, and the row that names its columns, from 0.

    Returns
    -------
    tuple
        The sheet, and the name of each that was joined to it, with the rows of it that were not.

    Source
    ------
    Own choice: parts are the same where their names are, letter by letter but for case and spaces;
    a name that stands twice in either sheet joins nothing.
    """
    beside: dict[str, str] = {}
    wide = chosen
    for other in sheets:
        wider = None if other is chosen or other.hidden else _beside(wide, header, other)
        if wider is not None:
            beside[other.name] = _not_joined(wide, header, other)
            wide = wider
    return wide, beside


def _not_joined(sheet: Sheet, header: int, other: Sheet) -> str:
    """The rows of the other sheet whose parts are not in this one, or stand twice; said."""
    at = header_row(other) or 0
    naming = _naming(other, at) or 0
    here, once = _by_part(sheet, header), _by_part(other, at)
    left = [
        f"its row {number + 1}, “{row[naming].strip()}”"
        for number, row in data_rows(other, at)
        if row[naming].strip()
        and not is_total(row)
        and not (_same(row[naming]) in here and _same(row[naming]) in once)
    ]
    if not left:
        return ""
    more = f" and {len(left) - MOST} more" if len(left) > MOST else ""
    return f"; left out are {'; '.join(left[:MOST])}{more}"


def _beside(sheet: Sheet, header: int, other: Sheet) -> Sheet | None:
    """The sheet with another's columns to its right; None where they are not of its parts."""
    below = header_row(other)
    here = _by_part(sheet, header)
    there = {} if below is None else _by_part(other, below)
    shared = {part: (here[part], row) for part, row in there.items() if part in here}
    if below is None or len(shared) < 2 or 100 * len(shared) < ENOUGH * len(there):
        return None
    names = column_names(other, below)
    skipped = {at for at, name in enumerate(names) if meaning_of(name) in {"name", "id"}}
    taken = [at for at, name in enumerate(names) if name and at not in skipped]
    width = len(sheet.rows[0])
    place = {at: width + i for i, at in enumerate(taken)}
    rows = [(*row, *([""] * len(taken))) for row in sheet.rows]
    rows[header] = (*sheet.rows[header], *(names[at] for at in taken))
    moved: dict[int, int] = {}
    for mine, theirs in shared.values():
        moved[theirs] = mine
        rows[mine] = (*sheet.rows[mine], *(other.rows[theirs][at] for at in taken))

    def here_of(at: Position) -> Position | None:
        row, column = at
        return (moved[row], place[column]) if row in moved and column in place else None

    def moved_over(cells: Mapping[Position, str]) -> dict[Position, str]:
        return {to: text for at, text in cells.items() if (to := here_of(at)) is not None}

    return replace(
        sheet,
        rows=tuple(rows),
        numeric=sheet.numeric | frozenset(moved_over(dict.fromkeys(other.numeric, ""))),
        unread=sheet.unread | moved_over(other.unread),
        formats=sheet.formats | moved_over(other.formats),
    )


def _naming(sheet: Sheet, header: int) -> int | None:
    """The column that names the parts, by its own name."""
    names = column_names(sheet, header)
    return next((at for at, name in enumerate(names) if meaning_of(name) == "name"), None)


def _by_part(sheet: Sheet, header: int) -> dict[str, int]:
    """Each name of a part that stands once in a sheet, to its row."""
    naming = _naming(sheet, header)
    if naming is None:
        return {}
    found: dict[str, int] = {}
    twice: set[str] = set()
    for number, row in data_rows(sheet, header):
        part = _same(row[naming])
        if part and not is_total(row):
            twice |= {part} & set(found)
            found[part] = number
    return {part: number for part, number in found.items() if part not in twice}


def _same(text: str) -> str:
    return " ".join(text.casefold().split())


@dataclass(slots=True)
class _Long:
    """A sheet with a row for each part of each box, while its rows are gone through."""

    rows: list[tuple[str, ...]]
    boxes: dict[str, None] = field(default_factory=dict)
    first: dict[str, int] = field(default_factory=dict)
    counts: dict[tuple[str, str], str] = field(default_factory=dict)
    other: dict[str, list[int]] = field(default_factory=dict)


def widened(sheet: Sheet, header: int) -> tuple[Sheet, tuple[str, ...]]:
    """The sheet with one row a part and one column a box, where it has a row for each pair.

    Parameters
    ----------
    sheet, header
        As it was read, and the row that names its columns, from 0.

    Returns
    -------
    tuple
        The sheet, and what is said of it: nothing where it was arranged so already.

    Source
    ------
    Own choice: a column of boxes, one of parts and one of pieces; each box names several parts.
    """
    names = column_names(sheet, header)
    naming = _naming(sheet, header)
    box = next((at for at, name in enumerate(names) if _BOX.fullmatch(plain(name))), None)
    count = next((at for at, name in enumerate(names) if _QUANTITY.fullmatch(plain(name))), None)
    if naming is None or box is None or count is None or not _is_long(sheet, header, box):
        return sheet, ()
    long = _gathered(sheet, header, (naming, box, count))
    boxes = list(long.boxes)
    blank = {box, count}
    rows = []
    for number, row in enumerate(long.rows):
        kept = tuple("" if at in blank else text for at, text in enumerate(row))
        added = [""] * len(boxes)
        if number == header:
            added = boxes
        elif (part := _same(row[naming])) and long.first.get(part) == number:
            added = [long.counts.get((part, each), "") for each in boxes]
        rows.append((*kept, *added) if number >= header else (*row, *added))
    told = (
        f"The sheet has a row for each part of each box: “{names[box]}” names "
        f"{len(boxes)} boxes, and “{names[count]}” the pieces; each part is read once, where it "
        "stands first."
    )
    return replace(sheet, rows=tuple(rows)), (told, *_differences(sheet, naming, long))


def _is_long(sheet: Sheet, header: int, box: int) -> bool:
    """Whether a column names boxes: texts, at least two, each for several rows."""
    rows = [row for _, row in data_rows(sheet, header) if not is_total(row)]
    texts = [row[box].strip() for row in rows if row[box].strip()]
    named = {_same(text) for text in texts}
    wordy = all(re.search(r"[^\W\d]", text) for text in texts)
    return wordy and len(named) > 1 and 2 * len(named) <= len(rows)


def _gathered(sheet: Sheet, header: int, at: tuple[int, int, int]) -> _Long:
    """Each part once, with its pieces in each box; a box stands for the rows below it, too."""
    naming, box, count = at
    long, current = _Long(list(sheet.rows)), ""
    spelled: dict[str, str] = {}
    for number, row in data_rows(sheet, header):
        part = _same(row[naming])
        current = " ".join(row[box].split()) or current
        if is_total(row) or not part or not current:
            continue
        name = spelled.setdefault(_same(current), current)
        long.boxes.setdefault(name)
        first = long.first.setdefault(part, number)
        long.counts[part, name] = _added(long.counts.get((part, name)), row[count].strip() or "?")
        if first == number:
            continue
        merged = tuple(
            stood or text if column not in {box, count} else stood
            for column, (stood, text) in enumerate(zip(long.rows[first], row, strict=True))
        )
        differs = any(
            text.strip() and _same(text) != _same(merged[column])
            for column, text in enumerate(row)
            if column not in {box, count}
        )
        if differs:
            long.other.setdefault(part, []).append(number)
        long.rows[first] = merged
        long.rows[number] = tuple("" for _ in row)
    return long


def _added(stood: str | None, text: str) -> str:
    """The pieces of a part that stands twice in one box; unknown where they cannot be added."""
    if stood is None:
        return text
    one, other = pieces(stood, "."), pieces(text, ".")
    counts = [each[0] for each in (one, other) if not isinstance(each, str)]
    known = [count for count in counts if count is not None]
    return str(sum(known)) if len(known) == len((one, other)) else "?"


def _differences(sheet: Sheet, naming: int, long: _Long) -> Iterator[str]:
    """The rows of a part that say other than its first."""
    for part, numbers in list(long.other.items())[:MOST]:
        first = long.first[part]
        listed = ", ".join(str(number + 1) for number in numbers)
        rows = "Row" if len(numbers) == 1 else "Rows"
        says = "says" if len(numbers) == 1 else "say"
        yield (
            f"{rows} {listed} {says} other of “{sheet.rows[first][naming].strip()}” than row "
            f"{first + 1}: row {first + 1} counts."
        )
    if len(long.other) > MOST:
        yield f"So it is with {len(long.other) - MOST} more parts."
