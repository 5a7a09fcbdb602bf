"""What each column of a producer's spreadsheet is read as, and why."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from fractions import Fraction
from itertools import pairwise

from sixwright.importer.grid import column_names, data_rows
from sixwright.importer.numbers import (
    SEVERAL,
    UNITS,
    commonest,
    currency_in,
    currency_of_format,
    decimal_mark,
    mark_in,
    number_in,
    unit_in,
)
from sixwright.importer.words import (
    BREAK,
    HEADERS,
    MEANINGS,
    QUANTITY_WORDS,
    TOTAL,
    kind_by,
    plain,
)
from sixwright.kernel.currency import CURRENCIES
from sixwright.kernel.errors import Problem
from sixwright.line.boxes import KINDS
from sixwright.storage.workbooks.book import Sheet

FEW = 4  # pieces; of most parts a box holds no more (own choice: hands, pegs, keys)
MARKS = {"x", "✓", "✔", "yes", "y"}
NOTHING = {"", "-", "–", "—", "none", "n/a"}
UNKNOWN = {"?", "tbc", "tbd", "tba"}
_MANY = {"box", "note", "keep", "ignore"}
_MEASURES = {"mass": "g", "size": "mm", "length": "mm", "width": "mm", "height": "mm"}
_MONEY = {"price", "tooling"}
# What at least four of five cells look like, where a column's name says nothing.
_SHAPES = tuple(
    (meaning, re.compile(pattern, re.IGNORECASE), why)
    for meaning, pattern, why in (
        ("kind", "|".join(KINDS), "its cells are kinds of part"),
        ("currency", "|".join(sorted(CURRENCIES)), "its cells are currencies"),
        ("price", r"([^@]*\d\s*@\s*\d[\d.,]*[\s/;|]*)+", "its cells are prices from a quantity on"),
        ("size_mm", r"[\d.,]+(\s*[x×*]\s*[\d.,]+){2}\s*mm", "its cells are three lengths in mm"),
        ("mass_g", r"[\d.,]+\s*g", "its cells are grams"),
        ("mass_kg", r"[\d.,]+\s*kg", "its cells are kilograms"),
    )
)


@dataclass(frozen=True, slots=True)
class ColumnGuess:
    """One column: what it is read as, in which currency or from what quantity, and why.

    Attributes
    ----------
    at
        Its place in the sheet, from 0.
    start
        For a price: the quantity its name states it from.
    box
        For a box: its name.
    mark
        For money: a mark that stands for several currencies, where no currency is stated.
    """

    name: str
    at: int
    meaning: str
    why: str
    currency: str | None = None
    start: int | None = None
    box: str = ""
    mark: str = ""

    def says(self) -> str:
        """The guess in one sentence."""
        words = MEANINGS[self.meaning]
        if self.box:
            words = f"the pieces of each part in the box “{self.box}”"
        if self.start is not None:
            words += f" from {self.start} pieces on"
        if self.currency:
            words += f", in {self.currency}"
        return f"Column “{self.name}” is read as {words}, because {self.why}."


@dataclass(frozen=True, slots=True)
class Columns:
    """All columns of a sheet, with the names they go by and the mark before decimals."""

    guesses: tuple[ColumnGuess, ...]
    names: tuple[str, ...]
    mark: str
    problems: tuple[Problem, ...]

    def of(self, meaning: str) -> tuple[ColumnGuess, ...]:
        """The columns read as this."""
        return tuple(guess for guess in self.guesses if guess.meaning == meaning)


def guess_columns(  # noqa: PLR0913  what the sheet holds, and what the producer says of it
    sheet: Sheet,
    header: int,
    given: Mapping[str, str],
    file: str,
    *,
    kinds: Mapping[str, str],
    currency: str | None,
) -> Columns:
    """Read every column that has a name or a value.

    Parameters
    ----------
    given
        What the producer says columns mean; it goes before any guess.
    kinds
        What the producer says words of kinds mean.
    currency
        Of money whose column and cells state none: the one that a title states.
    """
    names = column_names(sheet, header)
    rows = [(n, row) for n, row in data_rows(sheet, header) if not is_total(row)]
    cells = {
        at: [(number, row[at].strip()) for number, row in rows if row[at].strip()]
        for at, name in enumerate(names)
        if name
    }
    texts = (text for at in cells for n, text in cells[at] if (n, at) not in sheet.numeric)
    mark = decimal_mark(texts)
    told, problems = _told(names, given, file)
    guesses = []
    for at, column in cells.items():
        known = told.get(at) or _by_name(names[at], at, [text for _, text in column], kinds)
        guesses.append(known or _by_content(names[at], at, [text for _, text in column], mark))
    guesses = _with_a_name(_each_once(guesses, set(told)), cells)
    default = None if any(guess.meaning == "currency" for guess in guesses) else currency
    guesses = [_with_currency(guess, cells[guess.at], sheet, default) for guess in guesses]
    return Columns(tuple(_single_box(guesses, sheet.name)), tuple(names), mark, tuple(problems))


def _told(
    names: Sequence[str], given: Mapping[str, str], file: str
) -> tuple[dict[int, ColumnGuess], list[Problem]]:
    told: dict[int, ColumnGuess] = {}
    problems: list[Problem] = []
    lower = {" ".join(name.casefold().split()): at for at, name in enumerate(names) if name}
    for name, meaning in given.items():
        at = lower.get(" ".join(name.casefold().split()))
        guess = None if at is None else _meant(names[at], at, meaning)
        if at is None:
            expected = "a column named " + ", ".join(f"“{known}”" for known in names if known)
            near = get_close_matches(name, [known for known in names if known], 1)
            problems.append(_wrong(file, expected, f"“{name}”", near))
        elif guess is None:
            expected = f"a meaning for “{name}”: " + ", ".join(MEANINGS)
            near = get_close_matches(meaning, list(MEANINGS), 1)
            problems.append(_wrong(file, expected, f"“{meaning}”", near))
        else:
            told[at] = guess
    return told, problems


def _wrong(file: str, expected: str, found: str, near: Sequence[str]) -> Problem:
    return Problem(file, expected, found, key="--column", suggestion=near[0] if near else None)


def _meant(name: str, at: int, meaning: str) -> ColumnGuess | None:
    """A meaning as it is typed: `minimum`, `price@500 CNY`, `box Long Watch`."""
    found = re.fullmatch(r"(?P<base>[a-z_]+)(@(?P<start>\d+))?(\s+(?P<rest>.+))?", meaning.strip())
    if not found or found["base"] not in MEANINGS:
        return None
    base, rest = found["base"], (found["rest"] or "").strip()
    made = ColumnGuess(name, at, base, "you say so")
    if base == "box":
        return replace(made, box=rest or name)
    if found["start"] and base != "price":
        return None
    if rest and (base not in _MONEY or rest not in CURRENCIES):
        return None
    start = int(found["start"]) if found["start"] else None
    return replace(made, currency=rest or None, start=start)


def _by_name(
    name: str, at: int, texts: Sequence[str], kinds: Mapping[str, str]
) -> ColumnGuess | None:
    words = plain(name)
    known = next((meaning for meaning, pattern in HEADERS if pattern.fullmatch(words)), None)
    if known is None and (found := BREAK.fullmatch(words)):
        start = int(next(text for text in found.groups() if text).replace(",", ""))
        return ColumnGuess(name, at, "price", "its name states a quantity", start=start)
    if known is None:
        return None
    if known in {"lead", "time", *_MEASURES}:
        return _with_unit(name, at, known, texts)
    if known == "kind" and sum(bool(kind_by(text, kinds)) for text in texts) * 2 <= len(texts):
        why = (
            "its name may mean a kind, but most of its words name none of ours; say "
            f'--column "{name}=kind" where they are kinds, and --kind WORD=KIND for each word'
        )
        return ColumnGuess(name, at, "keep", why)
    if known == "id" and [text.lstrip("0") for text in texts] == [
        str(number) for number in range(1, len(texts) + 1)
    ]:
        return ColumnGuess(name, at, "keep", "it counts the rows")
    why = "a line has no place of that name" if known == "keep" else "its name says so"
    return ColumnGuess(name, at, known, why)


def _with_unit(name: str, at: int, known: str, texts: Sequence[str]) -> ColumnGuess:
    """A measure, where the column's name or every cell states its unit; else the user's own."""
    if known in {"lead", "time"}:
        found = re.search(r"\b(days?|weeks?|min(utes?|s)?)\b", name.casefold())
        word = found[0][:3] if found else ""
        meaning = {"day": "lead_days", "wee": "lead_weeks", "min": "minutes"}.get(word)
        if meaning is None or (known == "time") != (meaning == "minutes"):
            need = ("minutes",) if known == "time" else ("lead_days", "lead_weeks")
            return ColumnGuess(name, at, "keep", f"it states no unit; {_say(name, need)}")
        return ColumnGuess(name, at, meaning, "its name says so")
    unit = unit_in(name) or commonest(unit_in(text) for text in texts)
    where = "its name says so" if unit_in(name) else "its cells state the unit"
    if unit is None or UNITS[unit][0] != _MEASURES[known]:
        units = ("g", "kg") if known == "mass" else ("mm", "cm", "in")
        said = _say(name, [f"{known}_{each}" for each in units])
        why = f"it looks like a {known} and states no unit that we know; {said}"
        return ColumnGuess(name, at, "keep", why)
    short = {"grams": "g", "gram": "g", "gr": "g", "inch": "in", "inches": "in"}.get(unit, unit)
    return ColumnGuess(name, at, f"{known}_{short}", where)


def _say(name: str, meanings: Sequence[str]) -> str:
    """What to type for a column to be read as one of these."""
    return "say --column " + " or ".join(f'"{name}={meaning}"' for meaning in meanings)


def _by_content(name: str, at: int, texts: Sequence[str], mark: str) -> ColumnGuess:
    """A column whose name says nothing: of a known shape, pieces in a box, or the user's own."""
    for meaning, pattern, why in _SHAPES:
        fitting = sum(bool(pattern.fullmatch(text)) for text in texts)
        if texts and fitting * 5 >= len(texts) * 4:
            return ColumnGuess(name, at, meaning, why)
    counts = [_piece_count(text, mark) for text in texts]
    whole = [count for count in counts if count is not None]
    if not whole or len(whole) * 10 < len(counts) * 9:
        return ColumnGuess(name, at, "keep", "neither its name nor its cells say what it is")
    counted = sorted(filter(None, whole))
    if not counted or counted[len(counted) // 2] > FEW:
        why = f"its numbers are not mostly from 1 to {FEW}, as the pieces in a box are"
        return ColumnGuess(name, at, "keep", why)
    if len(whole) > 3 and all(b - a == 1 for a, b in pairwise(whole)):
        return ColumnGuess(name, at, "keep", "it counts the rows")
    marked = all(text.casefold() in MARKS | NOTHING for text in texts)
    why = "its cells are marks such as x" if marked else _counts_said(whole)
    return ColumnGuess(name, at, "box", why, box=_box_name(name))


def _counts_said(counts: Sequence[int]) -> str:
    """What the cells of a box hold, in words."""
    least, most = min(filter(None, counts)), max(counts)
    if least == most:
        return f"its cells say {most} or nothing"
    return f"its cells are whole numbers from {min(counts)} to {most}"


def _piece_count(text: str, mark: str) -> int | None:
    """Pieces that a cell states, where it can be one of a box; a dash is none of it."""
    lower = text.casefold()
    if lower in NOTHING | UNKNOWN:
        return 0
    if lower in MARKS:
        return 1
    number = number_in(re.sub(r"\(?\bopt(ional)?\b\.?\)?", "", lower), mark)
    return int(number) if number is not None and number.denominator == 1 and number >= 0 else None


def _box_name(name: str) -> str:
    """The column's name without the words for pieces; all of it where nothing else is left."""
    rest = re.sub(r"\s+", " ", re.sub(QUANTITY_WORDS.pattern, " ", name, flags=re.IGNORECASE))
    return rest.strip(" -:/,()[]") or name


def _each_once(guesses: Sequence[ColumnGuess], told: set[int]) -> list[ColumnGuess]:
    """Of two columns read as one thing the first stays, what the producer said first of all."""
    taken: dict[tuple[str, int | None], ColumnGuess] = {}
    for guess in sorted(guesses, key=lambda guess: (guess.at not in told, guess.at)):
        if guess.meaning not in _MANY:
            taken.setdefault((guess.meaning, guess.start), guess)
    made = []
    for guess in guesses:
        first = taken.get((guess.meaning, guess.start), guess)
        if first is not guess:
            why = f"“{first.name}” is read as {MEANINGS[guess.meaning]} already"
            made.append(ColumnGuess(guess.name, guess.at, "keep", why))
        else:
            made.append(guess)
    return made


def _with_a_name(
    guesses: list[ColumnGuess], cells: Mapping[int, Sequence[tuple[int, str]]]
) -> list[ColumnGuess]:
    """Where no column's name says that it names the parts, the first column of differing words."""
    if any(guess.meaning == "name" for guess in guesses):
        return guesses
    most = max((len(column) for column in cells.values()), default=0)
    for at, guess in enumerate(guesses):
        texts = [text for _, text in cells[guess.at]]
        words = [text for text in texts if re.search(r"[^\W\d]{2}", text)]
        if (
            guess.why.startswith("neither")
            and len(words) * 2 > most
            and len(set(words)) * 5 >= len(words) * 4
        ):
            why = "it is the first column of words that differ from row to row"
            guesses[at] = ColumnGuess(guess.name, guess.at, "name", why)
            break
    return guesses


def _with_currency(
    guess: ColumnGuess, cells: Sequence[tuple[int, str]], sheet: Sheet, default: str | None
) -> ColumnGuess:
    """A column of money with the currency that its name, cells, format or a title states."""
    if guess.meaning not in _MONEY or guess.currency:
        return guess
    formats = [sheet.formats.get((number, guess.at), "") for number, _ in cells]
    stated = currency_in(guess.name) or commonest(currency_in(text) for _, text in cells)
    found = stated or commonest(map(currency_of_format, formats))
    named = mark_in(guess.name)
    if named and found not in SEVERAL[named]:
        found = None
    shown = "" if found else " ".join([guess.name, *(text for _, text in cells), *formats])
    mark = mark_in(re.sub(r"\[\$-[^]]*\]", "", shown))
    several = any(map(currency_of_format, formats)) or any(currency_in(text) for _, text in cells)
    if not found and default and not several and default in SEVERAL.get(mark, {default}):
        return replace(guess, currency=default)
    return replace(guess, currency=found, mark=mark)


def _single_box(guesses: Sequence[ColumnGuess], name: str) -> list[ColumnGuess]:
    """Pieces without a box's name: of the one box where there is no other, else their total."""
    unnamed = [g for g in guesses if g.meaning == "box" and g.why != "you say so" and (
        not re.sub(QUANTITY_WORDS.pattern, "", plain(g.name)).strip())]  # fmt: skip
    others = [g for g in guesses if g.meaning == "box" and g not in unnamed]
    made = list(guesses)
    for guess in unnamed:
        at = made.index(guess)
        if others:
            why = "other columns state the pieces of each box"
            made[at] = ColumnGuess(guess.name, guess.at, "keep", why)
        elif guess is unnamed[0]:
            why = "it is the only column of pieces, and the sheet’s name is its box"
            made[at] = replace(guess, box=name, why=why)
    return made


def is_total(texts: Sequence[str]) -> bool:
    """Whether a row is a total: its first cell of words says so."""
    first = next((text.strip() for text in texts if re.search(r"[^\W\d]", text)), "")
    return bool(TOTAL.fullmatch(first.rstrip(" :")))


def pieces(text: str, mark: str) -> tuple[int | None, bool] | str:
    """Pieces of a cell (None: unknown) and whether they are optional; else why it is not read."""
    lower = text.strip().casefold()
    if lower in UNKNOWN:
        return None, False
    optional = bool(re.search(r"\bopt(ional)?\b", lower))
    number = _piece_count(lower, mark)
    if number is not None:
        return number, optional
    exact: Fraction | None = number_in(lower, mark)
    return "not a whole number of pieces" if exact is not None else "no number of pieces"
