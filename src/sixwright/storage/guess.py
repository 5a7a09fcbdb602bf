"""What a producer's own spreadsheet says, as data: each column's meaning and why, and the tables.

::

    guess           the guess as a whole, and the sentences that show it
    guess_rows      rows to tables      guess_quotes   the cells of a quote
    guess_cells     which rows are parts
    guess_columns   which column means what
    guess_grid      files to sheets, sheets to header and rows
    guess_words     the words            guess_numbers  numbers, currencies, dates
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from sixwright.kernel.currency import CURRENCIES
from sixwright.kernel.errors import FolderError, Problem
from sixwright.line.boxes import KINDS
from sixwright.storage.book import Sheet
from sixwright.storage.guess_columns import ColumnGuess, Columns, guess_columns, is_total
from sixwright.storage.guess_grid import data_rows, header_row, parts_sheet, read_sheets
from sixwright.storage.guess_numbers import SEVERAL, currency_in
from sixwright.storage.guess_rows import Reader, Tables


@dataclass(frozen=True, slots=True)
class Guess:
    """How a spreadsheet is read; nothing of it is written yet.

    Attributes
    ----------
    header_row
        The row that names the columns, as the spreadsheet counts, from 1.
    currency
        The line's; None where it must be asked for.
    remarks
        Sentences on rows, kinds and cells that a producer would want to check.
    problems
        What must be said before a line can be made; empty where it can.
    """

    file: str
    sheet: str
    header_row: int
    columns: tuple[ColumnGuess, ...]
    currency: str | None
    tables: Tables = field(default_factory=Tables)
    remarks: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()

    def says(self) -> tuple[str, ...]:
        """The guess in plain sentences: the sheet, its columns, then what to check."""
        parts, boxes = len(self.tables.parts), len(self.tables.editions)
        first = (
            f"{self.file}, sheet “{self.sheet}”: row {self.header_row} names the columns; "
            f"{parts} {'part' if parts == 1 else 'parts'} in "
            f"{boxes} {'box' if boxes == 1 else 'boxes'}."
        )
        return (first, *(column.says() for column in self.columns), *self.remarks)


def guess_parts(
    file: Path,
    columns: Mapping[str, str],
    *,
    currency: str | None = None,
    kind: str | None = None,
    sheet: str | None = None,
) -> Guess:
    """What the spreadsheet says, and why it is read so.

    Parameters
    ----------
    file
        An XLSX or a CSV with one row a part.
    columns
        Column name to meaning, where the producer says it (`guess_words.MEANINGS`).
    currency
        The line's, where the sheet does not show it.
    kind
        For parts whose kind nothing states.
    sheet
        The sheet's name, where it is not the one that looks most like a parts list.

    Raises
    ------
    FolderError
        If the file cannot be read or no sheet lists parts.
    """
    sheets = read_sheets(file)
    chosen, said = _choose(sheets, sheet, file.name)
    header = header_row(chosen)
    if header is None:
        raise FolderError((Problem(file.name, "a row that names the columns", "none"),))
    read = guess_columns(chosen, header, columns, file.name)
    problems = [*_checked(file.name, currency, kind), *read.problems]
    found = currency or _line_currency(read, chosen, header)
    reader = Reader(
        chosen,
        header,
        read,
        kind=kind if kind in KINDS else None,
        currency=found,
    )
    tables = reader.read()
    place = file.name if len(sheets) == 1 else f"{file.name}, sheet “{chosen.name}”"
    problems += _asked(place, read, tables, found)
    remarks = [*said, *_money_said(read, found, given=currency is not None), *tables.remarks]
    if not tables.editions:
        remarks.append("No column is read as pieces in a box; say “NAME=box” for each that is.")
    return Guess(
        file.name,
        chosen.name,
        header + 1,
        read.guesses,
        found,
        tables,
        tuple(remarks),
        tuple(problems),
    )


def _choose(sheets: tuple[Sheet, ...], wanted: str | None, file: str) -> tuple[Sheet, list[str]]:
    names = ", ".join(f"“{sheet.name}”" for sheet in sheets)
    if wanted is not None:
        chosen = next((sheet for sheet in sheets if sheet.name == wanted), None)
        if chosen is None:
            raise FolderError((Problem(file, f"one of the sheets {names}", f"“{wanted}”"),))
    else:
        chosen = parts_sheet(sheets)
    if chosen is None:
        raise FolderError((Problem(file, "a sheet with one row a part", f"the sheets {names}"),))
    others = [
        f"“{sheet.name}”{' (hidden)' if sheet.hidden else ''}"
        for sheet in sheets
        if sheet is not chosen
    ]
    why = "you say so" if wanted else "it looks most like a list of parts"
    if not others:
        return chosen, []
    return chosen, [f"Sheet “{chosen.name}” is read, because {why}; left out: {', '.join(others)}."]


def _checked(file: str, currency: str | None, kind: str | None) -> list[Problem]:
    problems = []
    if currency is not None and currency not in CURRENCIES:
        expected = "a currency code of ISO 4217, as in USD"
        problems.append(Problem(file, expected, f"“{currency}”", key="--currency"))
    if kind is not None and kind not in KINDS:
        problems.append(Problem(file, f"one of {', '.join(KINDS)}", f"“{kind}”", key="--kind"))
    return problems


def _stated(read: Columns, sheet: Sheet, header: int) -> set[str]:
    """Every currency that the sheet states."""
    found = {guess.currency for guess in read.guesses if guess.currency}
    for guess in read.of("currency"):
        texts = [row[guess.at] for _, row in data_rows(sheet, header) if not is_total(row)]
        found |= {code for text in texts if (code := currency_in(text.upper()))}
    return found


def _line_currency(read: Columns, sheet: Sheet, header: int) -> str | None:
    found = _stated(read, sheet, header)
    return found.pop() if len(found) == 1 else None


def _money_said(read: Columns, currency: str | None, *, given: bool) -> list[str]:
    said = []
    if currency and not given:
        said.append(
            f"The line’s currency is read as {currency}, the only one in the sheet; "
            "say --currency where you sell in another."
        )
    money = (*read.of("price"), *read.of("tooling"))
    bare = [
        f"“{guess.name}”"
        for guess in money
        if not guess.currency and currency in SEVERAL.get(guess.mark, {currency})
    ]
    if currency and bare and not read.of("currency"):
        said.append(
            f"{' and '.join(bare)} state no currency and are read in {currency}; "
            f"say “NAME=price CNY” where they are in another."
        )
    said += [
        f"“{guess.name}” states {guess.mark}, which stands for several currencies; "
        f"say “{guess.name}={guess.meaning} {min(SEVERAL[guess.mark])}” or the like."
        for guess in money
        if guess.mark and currency not in SEVERAL[guess.mark] and not read.of("currency")
    ]
    return said


def _asked(file: str, read: Columns, tables: Tables, currency: str | None) -> list[Problem]:
    """What only the producer can say, and how to say it."""
    problems: list[Problem] = []
    if not read.of("name") and not read.of("id"):
        problems.append(Problem(file, "a column that names the parts: NAME=name", "none"))
    if tables.kindless:
        count = len(tables.kindless)
        how = f"a column of kinds (NAME=kind), or --kind for all of them: {', '.join(KINDS)}"
        found = f"{count} {'part' if count == 1 else 'parts'} of no stated kind"
        problems += [
            Problem(file, "a word for its kind", f"“{name}”, which names none", row=row)
            for row, name in tables.kindless
        ]
        problems.append(Problem(file, how, found, key="--kind"))
    if currency is None:
        expected = "the currency you sell in, as in USD"
        problems.append(Problem(file, expected, "none, or several in the sheet", key="--currency"))
    return problems
