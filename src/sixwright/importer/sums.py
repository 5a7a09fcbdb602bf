"""What the rows of a sheet add up to: its own totals, the figures of a box, cells left open."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from sixwright.importer.cells import PartRow
from sixwright.importer.column_contents import UNKNOWN, pieces
from sixwright.importer.column_guess import ColumnGuess
from sixwright.importer.numbers import number_in
from sixwright.kernel.currency import decimal_text

Cells = dict[str, str]
FIGURE = "body"
# What is kept as it stands says nothing of what is known.
_KEPT = frozenset({"keep", "ignore", "name", "id", "note"})
# So many cells, or rows, are named; how many more there are is said.
MOST = 8


def open_cells(rows: Sequence[PartRow], guesses: Sequence[ColumnGuess]) -> Iterator[str]:
    """One sentence on the cells that say themselves that they are not known yet.

    Parameters
    ----------
    rows
        The parts' rows of the sheet.
    guesses
        What each column is read as.
    """
    words: dict[str, None] = {}
    found = []
    for row in rows:
        named = []
        for guess in guesses:
            text = row.cells[guess.at].strip()
            if guess.meaning not in _KEPT and text.casefold() in UNKNOWN:
                words.setdefault(f"“{text}”")
                named.append(f"“{guess.name}”")
        if named:
            found.append((row.number + 1, named))
    if not found:
        return
    count = sum(len(named) for _, named in found)
    told = [f"row {number}, {_and(named)}" for number, named in found[:MOST]]
    if len(found) > MOST:
        told.append(f"{len(found) - MOST} more rows")
    cells, says, stay = (
        ("1 cell", "says", "stays") if count == 1 else (f"{count} cells", "say", "stay")
    )
    yield f"{cells} {says} {_or([*words])} and {stay} unknown: {'; '.join(told)}."


def optional_pieces(
    rows: Sequence[PartRow], boxes: Sequence[ColumnGuess], mark: str
) -> Iterator[str]:
    """One sentence on the cells of boxes that are read as pieces which may be left out.

    Parameters
    ----------
    rows, boxes
        The parts' rows of the sheet, and the columns of boxes.
    mark
        The sheet's decimal mark.
    """
    found: dict[tuple[int, str], list[str]] = defaultdict(list)
    for row in rows:
        for guess in boxes:
            made = pieces(row.cells[guess.at], mark)
            if not isinstance(made, str) and made[1]:
                text = " ".join(row.cells[guess.at].split())
                found[row.number + 1, text].append(f"“{guess.name}”")
    if not found:
        return
    told = [f"row {row}, “{text}” in {_and(named)}" for (row, text), named in found.items()]
    left = len(told) - MOST
    told = [*told[:MOST], *([f"{left} more"] if left > 0 else [])]
    count = sum(map(len, found.values()))
    cells = "1 cell is read as pieces" if count == 1 else f"{count} cells are read as pieces"
    yield f"{cells} that may be left out: {'; '.join(told)}."


def totals(
    rows: Sequence[PartRow],
    found: Sequence[PartRow],
    boxes: Sequence[tuple[ColumnGuess, str]],
    contents: Sequence[Cells],
    *,
    mark: str,
) -> Iterator[str]:
    """Where the last total of the sheet is not what the rows read add up to, and why.

    Parameters
    ----------
    rows, found
        The parts' rows of the sheet, and its totals.
    boxes
        The column of each box, and the box's id.
    contents
        The rows of contents.csv that were made.
    mark
        The sheet's decimal mark.
    """
    stating = [total for total in found if any(_stated(total, guess, mark) for guess, _ in boxes)]
    if not stating:
        return
    last = stating[-1]
    if last.number < max((row.number for row in rows), default=0):
        return  # a subtotal: more parts stand below it
    for guess, box in boxes:
        stated = _stated(last, guess, mark)
        counts = [row["quantity"] for row in contents if row["sells"] == box]
        added = sum((Fraction(count) for count in counts if count), Fraction(0))
        if stated is None or stated == added:
            continue
        known = " whose pieces are known" if "" in counts else ""
        yield (
            f"Row {last.number + 1} states {decimal_text(stated)} pieces in “{guess.box}”; the "
            f"rows read{known} add up to {decimal_text(added)}{_why(rows, guess, mark)}."
        )


def _stated(total: PartRow, guess: ColumnGuess, mark: str) -> Fraction | None:
    return number_in(total.cells[guess.at], mark)


def _why(rows: Sequence[PartRow], guess: ColumnGuess, mark: str) -> str:
    """The cells that a spreadsheet's own sum leaves out: those that are no plain number."""
    odd = [
        f"“{text}” in row {row.number + 1}"
        for row in rows
        if (text := row.cells[guess.at].strip())
        and any(letter.isdigit() for letter in text)
        and number_in(text, mark) is None
    ]
    return f"; {_and(odd[:MOST])}, as text, is in no sum of the spreadsheet" if odd else ""


def figures(parts: Sequence[Cells], contents: Sequence[Cells], boxes: Sequence[str]) -> Cells:
    """Box to its figures, counted by the bodies in it; empty where no part is a body.

    A box with a body of which the pieces are unknown is left out.

    Source
    ------
    Own choice: a figure has one body; it is said, and can be changed.
    """
    bodies = {part["id"] for part in parts if part.get("kind") == FIGURE}
    if not bodies:
        return {}
    counts: dict[str, list[str]] = defaultdict(list)
    for row in contents:
        if row["part"] in bodies:
            counts[row["sells"]].append(row["quantity"])
    return {box: str(sum(map(int, counts[box]))) for box in boxes if "" not in counts[box]}


def figures_said(found: Cells, names: Mapping[str, str]) -> Iterator[str]:
    """How the figures of each box were counted."""
    if not found:
        return
    by_count: dict[str, list[str]] = defaultdict(list)
    for box, count in found.items():
        by_count[count].append(f"“{names[box]}”")
    told = [f"{'none' if count == '0' else count} in {_and(boxes)}"
            for count, boxes in by_count.items()]  # fmt: skip
    yield f"The figures in each box are counted by its bodies: {'; '.join(told)}."


def _and(texts: Sequence[str]) -> str:
    *most, last = texts
    return f"{', '.join(most)} and {last}" if most else last


def _or(texts: Sequence[str]) -> str:
    *most, last = texts
    return f"{', '.join(most)} or {last}" if most else last
