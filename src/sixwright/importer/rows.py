"""The tables of a new line, made of the rows of a producer's spreadsheet."""

import re
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from sixwright.importer.cells import PartRow, SortedRows, sort_rows
from sixwright.importer.column_contents import NOTHING, pieces
from sixwright.importer.column_guess import ColumnGuess, SheetColumns
from sixwright.importer.kinds import Kinds
from sixwright.importer.numbers import measure_in, number_in
from sixwright.importer.odd_prices import odd_prices
from sixwright.importer.quotes import NO_CURRENCY, SheetCurrencies, Unread, amount, quote_of
from sixwright.importer.sums import figures, figures_said, open_cells, optional_pieces, totals
from sixwright.kernel.ids import slug
from sixwright.line.boxes import HAZARDS, NO_HAZARD
from sixwright.project.tables import BY_NAME
from sixwright.storage.workbooks.sheet import Sheet

RowTexts = dict[str, str]
_STANDARD = {column.name for column in BY_NAME["parts"].columns}
_PLAIN = ("group", "fits", "takes", "grips", "held")


@dataclass(slots=True)
class LineRows:
    """The rows of each table of the new line, and what is to be said about them.

    Attributes
    ----------
    figures
        Box to its figures, where they could be counted.
    own
        The user's own columns of parts.csv, in the sheet's order.
    remarks, doubts
        All that is to be said of how the rows were read, and what of it asks to be looked at.
    kinds
        How the kind of each part was found, and of which it was not.
    """

    parts: list[RowTexts] = field(default_factory=list)
    contents: list[RowTexts] = field(default_factory=list)
    ways: list[RowTexts] = field(default_factory=list)
    prices: list[RowTexts] = field(default_factory=list)
    looks: dict[str, str] = field(default_factory=dict)
    editions: dict[str, str] = field(default_factory=dict)
    figures: dict[str, str] = field(default_factory=dict)
    own: list[str] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    kinds: Kinds = field(default_factory=Kinds)


class Reader:
    """Makes the tables of one sheet; holds what its rows share while they are read."""

    def __init__(
        self,
        sheet: Sheet,
        header: int,
        columns: SheetColumns,
        *,
        kinds: Kinds,
        money: SheetCurrencies,
    ) -> None:
        self.sheet, self.columns, self.money = sheet, columns, money
        self.sorted: SortedRows = sort_rows(sheet, header, columns, kinds)
        self.tables = LineRows(kinds=kinds)
        self.unread: dict[tuple[str, str], list[int]] = defaultdict(list)
        self.ids: set[str] = set()
        self.boxes = _ids({guess.at: guess.box for guess in columns.of("box")})
        self.own = dict(self._own_columns())

    def read(self) -> LineRows:
        """All rows, in the sheet's order."""
        tables = self.tables
        for guess in self.columns.of("box"):
            tables.editions[self.boxes[guess.at]] = guess.box
        tables.own = list(self.own.values())
        for row in self.sorted.parts:
            self._part(row)
        tables.remarks += [*self.sorted.remarks, *tables.kinds.says()]
        names = {part["way"]: part["name"] for part in tables.parts if part.get("way")}
        tables.figures = figures(tables.parts, tables.contents, list(tables.editions))
        tables.doubts = [
            *self._unread_said(),
            *self._sums_said(),
            *odd_prices(tables.prices, names),
        ]
        tables.remarks += [*tables.doubts, *figures_said(tables.figures, tables.editions)]
        if self.sheet.typed:
            tables.remarks += _no_formulas(tables)
        return tables

    def _own_columns(self) -> Iterator[tuple[int, str]]:
        """Columns that are kept; a code that an id cannot hold as it stands is kept beside it."""
        for guess in self.columns.guesses:
            texts = [row.cells[guess.at] for row in self.sorted.parts]
            code = guess.meaning == "id" and any(
                slug(text, otherwise="") != text.strip().casefold() for text in texts if text
            )
            if code or guess.meaning == "keep":
                clash = guess.name in _STANDARD
                yield guess.at, f"{guess.name} (sheet)" if clash else guess.name

    def _text(self, row: PartRow, meaning: str) -> str:
        texts = [row.cells[guess.at].strip() for guess in self.columns.of(meaning)]
        return "\n".join(text for text in texts if text)

    def _mark(self, number: int, at: int) -> str:
        return "." if (number, at) in self.sheet.numeric else self.columns.mark

    def _part(self, row: PartRow) -> None:
        name = self._text(row, "name") or self._text(row, "id")
        code = self._text(row, "id") or name
        part = {"id": self._id(code, row), "name": name}
        named = (row.number + 1, name)
        part["kind"] = self.tables.kinds.of(named, self._text(row, "kind"), row.heading)
        part["look"] = self._look_of(row)
        notes = [self._text(row, "note")]
        for meaning in _PLAIN:
            text = self._text(row, meaning)
            slugs = (slug(word, otherwise="") for word in text.replace(",", " ").split())
            # A mark by itself, as the dot of “• Boots”, leaves no word.
            words = [word for word in slugs if word]
            part[meaning] = ("-" if meaning == "group" else " ").join(words)
        unread_cells = [
            *self._measures(row, part), *self._hazards(row, part), *self._quote(row, part)
        ]  # fmt: skip
        for guess, unread in unread_cells:
            self.unread[guess.name, f"kept in the note, because {unread.why}"].append(row.number)
            notes.append(f"{guess.name}: {unread.text}")
        self._contents(row, part["id"], notes)
        for at, why in row.unread.items():
            self.unread[self.columns.names[at], f"unknown, because it is {why}"].append(row.number)
        part["note"] = "\n".join(filter(None, notes))
        part.update({own: row.cells[at] for at, own in self.own.items()})
        self.tables.parts.append(part)

    def _id(self, code: str, row: PartRow) -> str:
        wanted = slug(code, otherwise=f"row-{row.number + 1}")
        made, count = wanted, 1
        while made in self.ids:
            count += 1
            made = f"{wanted}-{count}"
        if made != wanted:
            said = f"“{code}” stands again in row {row.number + 1}; the id of that part is {made}."
            self.tables.remarks.append(said)
        self.ids.add(made)
        return made

    def _look_of(self, row: PartRow) -> str:
        text = self._text(row, "look")
        if not text or text.casefold() in NOTHING:
            return ""
        if text.casefold() in {"all", "both", "shared", "any"}:
            return "all"
        id_ = slug(text, otherwise=f"look-{len(self.tables.looks) + 1}")
        id_ = next((known for known, name in self.tables.looks.items() if name == text), id_)
        self.tables.looks.setdefault(id_, text)
        return id_

    def _measures(self, row: PartRow, part: RowTexts) -> Iterator[tuple[ColumnGuess, Unread]]:
        """Fill mass and lengths; give back the cells that cannot be read."""
        for guess in self.columns.guesses:
            what, _, unit = guess.meaning.rpartition("_")
            text = row.cells[guess.at].strip()
            if what not in {"mass", "size", "length", "width", "height"} or (
                text.casefold() in NOTHING
            ):
                continue
            made = self._measured(what, unit, text, self._mark(row.number, guess.at))
            if made is None:
                what = "three lengths" if what == "size" else f"a {what} in a unit that we know"
                yield guess, Unread(text, f"it is not {what}")
            else:
                part.update(made)

    def _hazards(self, row: PartRow, part: RowTexts) -> Iterator[tuple[ColumnGuess, Unread]]:
        """Fill what can hurt; give back a cell that says it in words that are not ours."""
        for guess in self.columns.of("hazards"):
            text = row.cells[guess.at].strip()
            made = hazards_in(text)
            if made is None:
                yield guess, Unread(text, f"it is not {', '.join(HAZARDS)} or {NO_HAZARD}")
            elif made:
                part["hazards"] = " ".join(made)

    @staticmethod
    def _measured(what: str, unit: str, text: str, mark: str) -> RowTexts | None:
        if what != "size":
            value = amount(measure_in(text, unit, mark))
            return None if value is None else {f"{what}_{'g' if what == 'mass' else 'mm'}": value}
        sides = text.casefold().replace("×", "x").replace("*", "x").split("x")
        own = "".join(sign for sign in sides[-1] if sign.isalpha()) or unit
        lengths = [amount(measure_in(side, own, mark)) if own in {"mm", "cm", "in"} else None
                   for side in sides]  # fmt: skip
        if len(lengths) != 3 or None in lengths:
            return None
        names = ("length_mm", "width_mm", "height_mm")
        return {name: side or "" for name, side in zip(names, lengths, strict=True)}

    def _quote(self, row: PartRow, part: RowTexts) -> Iterator[tuple[ColumnGuess, Unread]]:
        """Fill the part's way and prices; give back the cells that cannot be read."""
        quote = quote_of(row, self.columns, part=part["id"], money=self.money,
                         numeric=lambda *at: at in self.sheet.numeric)  # fmt: skip
        if quote is None:
            return
        part["way"] = quote.way["id"]
        self.tables.ways.append(dict(quote.way))
        self.tables.prices += [dict(price) for price in quote.prices]
        yield from quote.unread.items()

    def _contents(self, row: PartRow, part: str, notes: list[str]) -> None:
        for guess in self.columns.of("box"):
            text, box = row.cells[guess.at], self.boxes[guess.at]
            made = pieces(text, self._mark(row.number, guess.at))
            if guess.at in row.unread:
                made = (None, False)
            if isinstance(made, str):
                self.unread[guess.name, f"unknown, because it is {made}"].append(row.number)
                notes.append(f"{guess.name}: {text.strip()}")
                made = (None, False)
            quantity, optional = made
            if quantity != 0:
                shown = "" if quantity is None else str(quantity)
                self.tables.contents.append({"sells": box, "part": part, "quantity": shown,
                                             "optional": "yes" if optional else ""})  # fmt: skip

    def _unread_said(self) -> Iterator[str]:
        for (column, why), numbers in self.unread.items():
            if self.money.line is None and why.endswith(NO_CURRENCY):
                continue  # the line's is asked for, and that is all there is to say
            listed = ", ".join(str(number + 1) for number in numbers[:12])
            more = f" and {len(numbers) - 12} more" if len(numbers) > 12 else ""
            rows = "row" if len(numbers) == 1 else "rows"
            yield f"Column “{column}”, {rows} {listed}{more}: {why}."

    def _sums_said(self) -> Iterator[str]:
        """Cells that say that they are open, and totals that differ."""
        tables, rows = self.tables, self.sorted.parts
        boxes = [(guess, self.boxes[guess.at]) for guess in self.columns.of("box")]
        yield from open_cells(rows, self.columns.guesses)
        yield from optional_pieces(rows, [guess for guess, _ in boxes], self.columns.mark)
        yield from totals(rows, self.sorted.totals, boxes, tables.contents, mark=self.columns.mark)


def hazards_in(text: str) -> tuple[str, ...] | None:
    """The hazards that a cell names, in our order; None where it says anything else."""
    if not text or (text.casefold() in NOTHING and text.casefold() != NO_HAZARD):
        return ()
    known = {form: word for word in (*HAZARDS, NO_HAZARD) for form in (word, f"{word}s")}
    found: set[str | None] = set()
    for piece in re.split(r"[,;/+&\n]", text):
        words = [slug(piece, otherwise="")]
        if words[0] not in known:
            words = [slug(word, otherwise="") for word in piece.split()]
        found |= {known.get(word) for word in words}
    if None in found or (NO_HAZARD in found and len(found) > 1):
        return None
    return tuple(word for word in (*HAZARDS, NO_HAZARD) if word in found)


def _no_formulas(tables: LineRows) -> Iterator[str]:
    """Put ' before text that a spreadsheet, opening the CSV, would take for a formula."""
    count = 0
    for row in (*tables.parts, *tables.ways):
        for name, text in row.items():
            if len(text) > 1 and text[0] in "=+-@\t\r" and number_in(text, ".") is None:
                row[name] = f"'{text}"
                count += 1
    if count:
        cells, each = ("cell begins", "it") if count == 1 else ("cells begin", "each")
        yield f"{count} {cells} as a formula would: a ' is put before {each} in the CSV."


def _ids(names: Mapping[int, str]) -> dict[int, str]:
    """An id for each name, no two alike."""
    made: dict[int, str] = {}
    for at, name in names.items():
        wanted = slug(name, otherwise=f"box-{len(made) + 1}")
        id_, count = wanted, 1
        while id_ in made.values():
            count += 1
            id_ = f"{wanted}-{count}"
        made[at] = id_
    return made
