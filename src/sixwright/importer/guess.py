"""What a producer's own spreadsheet says, as data: each column's meaning and why, and the tables.

::

    guess           the guess as a whole, and the sentences that show it
    rows            rows to tables            quotes    the cells of a quote
    cells           which rows are parts      kinds     which kind each part is of
    titles          what stands above the table
    currencies      in which currency
    columns         which column means what
    grid            files to sheets, sheets to header and rows
    words           the words                 numbers   numbers, currencies, dates
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

from sixwright.importer.arranged import joined, widened
from sixwright.importer.column_guess import ColumnGuess, SheetColumns
from sixwright.importer.columns import guess_columns
from sixwright.importer.currencies import LineMoney, line_money
from sixwright.importer.grid import data_rows, header_row, parts_sheet, read_sheets
from sixwright.importer.hidden import without_hidden
from sixwright.importer.kinds import Kinds
from sixwright.importer.quotes import SheetCurrencies
from sixwright.importer.rows import LineRows, Reader
from sixwright.importer.titles import read_titles
from sixwright.importer.words import plain
from sixwright.importer.words_abroad import kinds_abroad
from sixwright.kernel.errors import Problem
from sixwright.storage.workbooks.archive import unreadable
from sixwright.storage.workbooks.sheet import Sheet

COMMA = (
    "Its numbers have a decimal comma; those of the line have a decimal point until its locale "
    'says otherwise (as in locale = "de-DE", in line.toml).'
)


@dataclass(frozen=True, slots=True)
class Guess:
    """How a spreadsheet is read; nothing of it is written yet.

    Attributes
    ----------
    header_row
        The row that names the columns, as the spreadsheet counts, from 1.
    currency
        The line's; None where it must be asked for.
    line
        The line's name, where a title states it; else empty.
    remarks
        Sentences on rows, kinds and cells that a producer would want to check.
    problems
        What must be said before a line can be made; empty where it can.
    data
        The sheet as it is read.
    sheets
        Names of the file's sheets.
    rows
        Row, from 0, to what it is read as: a kind of part, ``part``, ``total``, ``heading`` or
        ``left out``.
    unkinded
        Words that name no kind, and the names of the parts of which nothing states one.
    conceals
        Whether something hidden is left out.
    """

    file: str
    sheet: str
    header_row: int
    columns: tuple[ColumnGuess, ...]
    currency: str | None
    tables: LineRows = field(default_factory=LineRows)
    line: str = ""
    remarks: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    data: Sheet | None = None
    sheets: tuple[str, ...] = ()
    rows: Mapping[int, str] = field(default_factory=dict)
    unkinded: tuple[tuple[str, ...], tuple[str, ...]] = ((), ())
    conceals: bool = False

    def counted(self) -> str:
        """How many parts it has, in how many boxes: “60 parts in 6 boxes”."""
        parts, boxes = len(self.tables.parts), len(self.tables.editions)
        return (
            f"{parts} {'part' if parts == 1 else 'parts'} in "
            f"{boxes} {'box' if boxes == 1 else 'boxes'}"
        )

    def says(self) -> tuple[str, ...]:
        """The guess in plain sentences: the sheet, its columns, then what to check."""
        first = (
            f"{self.file}, sheet “{self.sheet}”: row {self.header_row} names the columns; "
            f"{self.counted()}{_prices_said(self.tables)}."
        )
        return (first, *(column.says() for column in self.columns), *self.remarks)


def guess_parts(  # noqa: PLR0913  each is an option of the command
    file: Path,
    columns: Mapping[str, str],
    *,
    currency: str | None = None,
    kind: str | None = None,
    kinds: Mapping[str, str] | None = None,
    sheet: str | None = None,
    hidden: bool = False,
) -> Guess:
    """What the spreadsheet says, and why it is read so.

    Parameters
    ----------
    file
        An XLSX or a CSV with one row a part.
    columns
        Column name to meaning, where the producer says it (`importer.words.MEANINGS`).
    currency
        The line's, where the sheet does not show it; in capitals or not.
    kind
        For parts whose kind nothing states.
    kinds
        Word of a kind cell, a name or a heading to kind, where the producer says it.
    sheet
        The sheet's name, where it is not the one that looks most like a parts list.
    hidden
        Whether hidden rows and columns are read as well.

    Raises
    ------
    FolderError
        If the file cannot be read or no sheet lists parts.
    """
    laid = _laid_out(file, columns, sheet, hidden=hidden)
    chosen, header = laid.sheet, laid.header
    told = {" ".join(word.casefold().split()): meant for word, meant in (kinds or {}).items()}
    found = Kinds(told, kind, kinds_abroad(plain(text) for text in chosen.rows[header]))
    titles = read_titles(chosen, header)
    given = {currency.strip().upper()} if currency else set()
    read = guess_columns(
        chosen,
        header,
        columns,
        file.name,
        kinds={**found.abroad, **told},
        title=titles.currency,
        known={*titles.currencies, *given},
    )
    money = line_money(chosen, header, read, titles, currency)
    paid = SheetCurrencies(money.currency, frozenset({*money.stated, *given}), chosen.formats)
    reader = Reader(chosen, header, read, kinds=found, money=paid)
    tables = reader.read()
    remarks = [*laid.remarks, *titles.says(), *money.says(), *tables.remarks]
    return Guess(
        file.name,
        chosen.name,
        header + 1,
        read.guesses,
        money.currency,
        tables,
        titles.name,
        (*remarks, *_more_remarks(read, tables)),
        tuple(_problems(file.name, laid, read, found, money)),
        chosen,
        laid.names,
        _rows(reader),
        (tuple(found.words), tuple(name for _, name in found.silent)),
        laid.conceals,
    )


class _LaidOut(NamedTuple):
    """The sheet that is read, as one table, and what was done to make it one.

    `header` is the row of the columns' names, from 0; `names` are those of the file's sheets.
    """

    sheet: Sheet
    header: int
    names: tuple[str, ...]
    remarks: tuple[str, ...]
    conceals: bool


def _laid_out(
    file: Path, columns: Mapping[str, str], wanted: str | None, *, hidden: bool
) -> _LaidOut:
    """The sheet with the parts, the sheets beside it joined, what is hidden left out."""
    sheets = read_sheets(file)
    first = _choose(sheets, wanted, file.name)
    header = header_row(first)
    if header is None:
        raise unreadable(file.name, Problem(file.name, "a row that names the columns", "none"))
    chosen, beside = joined(sheets, first, header)
    said = _chosen_said(sheets, first, beside, because=wanted is not None)
    unseen: tuple[str, ...] = ()
    if not hidden:
        chosen, unseen = without_hidden(chosen, header, columns)
    chosen, long = widened(chosen, header)
    names = tuple(sheet.name for sheet in sheets)
    return _LaidOut(chosen, header, names, (*said, *long, *unseen), bool(unseen))


def _problems(
    file: str, laid: _LaidOut, read: SheetColumns, found: Kinds, money: LineMoney
) -> Iterator[Problem]:
    """What must be said before a line can be made."""
    place = file if len(laid.names) == 1 else f"{file}, sheet “{laid.sheet.name}”"
    yield from money.refusals(file)
    yield from found.refusals(file, _texts(laid.sheet, laid.header))
    yield from read.problems
    yield from _unnamed(place, read)
    yield from found.questions(place)
    yield from money.questions(place)


def _more_remarks(read: SheetColumns, tables: LineRows) -> Iterator[str]:
    """What a producer would want to know of the numbers, and of the boxes."""
    if read.mark == ",":
        yield COMMA
    if not tables.editions:
        yield "No column is read as pieces in a box; say --column NAME=box for each that is."


def _rows(reader: Reader) -> dict[int, str]:
    """What each row is read as: parts by their kind, as they stand in the tables."""
    parts = zip(reader.sorted.parts, reader.tables.parts, strict=True)
    return reader.sorted.others | {row.number: part["kind"] or "part" for row, part in parts}


def _prices_said(tables: LineRows) -> str:
    """How many of the parts have a price; that none has is what a producer must know first."""
    priced = len({row["way"] for row in tables.prices})
    if not priced:
        return "; no prices were found, so nothing can be said of money yet"
    all_ = priced == len(tables.parts)
    return ", each with a price" if all_ else f"; {priced} of the parts have a price"


def _texts(sheet: Sheet, header: int) -> list[str]:
    """Every text below the column names, once."""
    return list(dict.fromkeys(text for _, row in data_rows(sheet, header) for text in row if text))


def _unnamed(place: str, read: SheetColumns) -> list[Problem]:
    if read.of("name") or read.of("id"):
        return []
    turned = (
        "none; where the parts stand side by side in a row, turn rows into columns in your "
        "spreadsheet program first"
    )
    return [Problem(place, "a column that names the parts (--column NAME=name)", turned)]


def _choose(sheets: tuple[Sheet, ...], wanted: str | None, file: str) -> Sheet:
    names = ", ".join(f"“{sheet.name}”" for sheet in sheets)
    if wanted is not None:
        chosen = next((sheet for sheet in sheets if sheet.name == wanted), None)
        if chosen is None:
            raise unreadable(file, Problem(file, f"one of the sheets {names}", f"“{wanted}”"))
    else:
        chosen = parts_sheet(sheets)
    if chosen is None:
        raise unreadable(file, Problem(file, "a sheet with one row a part", f"the sheets {names}"))
    return chosen


def _chosen_said(
    sheets: tuple[Sheet, ...], chosen: Sheet, beside: Mapping[str, str], *, because: bool
) -> list[str]:
    """Which sheet is read and why, which are joined to it, and which are left out."""
    others = [
        f"“{sheet.name}”{' (hidden)' if sheet.hidden else ''}"
        for sheet in sheets
        if sheet is not chosen and sheet.name not in beside
    ]
    if len(sheets) == 1:
        return []
    why = "you say so" if because else "it looks most like a list of parts"
    left = f"; left out: {', '.join(others)}" if others else ""
    said = [f"Sheet “{chosen.name}” is read, because {why}{left}."]
    return said + [
        f"The columns of sheet “{name}” are read beside it, by the names of the parts, and rows "
        f"are counted as in “{chosen.name}”{left}."
        for name, left in beside.items()
    ]
