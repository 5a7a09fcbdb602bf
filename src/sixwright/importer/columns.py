"""What each column of a producer's spreadsheet is read as, and why."""

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches

from sixwright.importer.column_contents import box_name, by_content
from sixwright.importer.column_guess import ColumnGuess, SheetColumns
from sixwright.importer.grid import column_names, data_rows, heading_above, is_total
from sixwright.importer.money_columns import MONEY, with_currency
from sixwright.importer.numbers import UNITS, commonest, currency_in, decimal_mark, unit_in
from sixwright.importer.words import (
    ABOVE,
    BREAK,
    MEANINGS,
    QUANTITY_WORDS,
    kind_by,
    meaning_of,
    plain,
)
from sixwright.kernel.currency import CURRENCIES
from sixwright.kernel.errors import Problem
from sixwright.storage.workbooks.sheet import Sheet

_MANY = {"box", "note", "keep", "ignore"}
_MEASURES = {"mass": "g", "size": "mm", "length": "mm", "width": "mm", "height": "mm"}


def guess_columns(  # noqa: PLR0913  what the sheet holds, and what the producer says of it
    sheet: Sheet,
    header: int,
    given: Mapping[str, str],
    file: str,
    *,
    kinds: Mapping[str, str],
    title: str | None,
    known: Collection[str],
) -> SheetColumns:
    """Read every column that has a name or a value.

    Parameters
    ----------
    given
        What the producer says columns mean; it goes before any guess.
    kinds
        What the producer says words of kinds mean.
    title
        The currency that a title states, for money that states none.
    known
        Currencies that titles and the producer state.
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
        held = [text for _, text in column]
        guesses.append(
            told.get(at)
            or _by_name(names[at], at, held, kinds, says=sheet.rows[header][at])
            or _by_heading(names[at], at, heading_above(sheet, header, at), held, mark)
            or by_content(names[at], at, held, mark)
        )
    guesses = _with_a_name(_each_once(guesses, set(told)), cells)
    own = any(guess.meaning == "currency" for guess in guesses)
    stated = {*known, *_currencies(guesses, cells)}
    guesses = [
        with_currency(guess, cells[guess.at], sheet, title=None if own else title, known=stated)
        for guess in guesses
    ]
    return SheetColumns(
        tuple(_single_box(guesses, sheet.name)), tuple(names), mark, tuple(problems)
    )


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
            problems.append(_refusal(file, expected, f"“{name}”", near))
        elif guess is None:
            expected = f"a meaning for “{name}”: " + ", ".join(MEANINGS)
            near = get_close_matches(meaning, list(MEANINGS), 1)
            problems.append(_refusal(file, expected, f"“{meaning}”", near))
        else:
            told[at] = guess
    return told, problems


def _refusal(file: str, expected: str, found: str, near: Sequence[str]) -> Problem:
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
    if rest and (base not in MONEY or rest not in CURRENCIES):
        return None
    start = int(found["start"]) if found["start"] else None
    return replace(made, currency=rest or None, start=start)


def _by_name(
    name: str, at: int, texts: Sequence[str], kinds: Mapping[str, str], *, says: str
) -> ColumnGuess | None:
    """What a column's name says; of two columns of one name, what is before our number."""
    words = plain(says if says.strip() else name)
    known = meaning_of(words)
    if known is None and (found := BREAK.fullmatch(words)):
        start = _quantity(found)
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
    numbers = [text.lstrip("0") for text in texts if text.isdecimal()]
    counted = [str(number) for number in range(1, len(numbers) + 1)]
    if known == "id" and numbers and numbers == counted:
        return ColumnGuess(name, at, "keep", "it counts the rows")
    why = "a line has no place of that name" if known == "keep" else "its name says so"
    return ColumnGuess(name, at, known, why)


def _quantity(found: re.Match[str]) -> int:
    return int(re.sub(r"\D", "", next(text for text in found.groups() if text)))


def _by_heading(
    name: str, at: int, heading: str, texts: Sequence[str], mark: str
) -> ColumnGuess | None:
    """A column that a heading above it and its neighbours tells: a price break, or a box."""
    words = plain(heading)
    if ABOVE["price"].fullmatch(words) and (found := BREAK.fullmatch(f"price {plain(name)}")):
        why = f"“{heading}” stands above it, and its name is a quantity"
        return ColumnGuess(name, at, "price", why, start=_quantity(found))
    if ABOVE["box"].fullmatch(words) and by_content(name, at, texts, mark).meaning == "box":
        why = f"“{heading}” stands above it"
        return ColumnGuess(name, at, "box", why, box=box_name(name))
    return None


def _currencies(
    guesses: Sequence[ColumnGuess], cells: Mapping[int, Sequence[tuple[int, str]]]
) -> Iterator[str]:
    """The currencies that columns of currencies, and the names of columns of money, state."""
    for guess in guesses:
        texts = [text.upper() for _, text in cells[guess.at]] if guess.meaning == "currency" else []
        yield from filter(None, map(currency_in, texts))
        if guess.meaning in MONEY and (code := guess.currency or currency_in(guess.name)):
            yield code


# What a span of time is counted in, by the words that say it.
_SPANS = {
    "lead_days": r"days?|tagen?|tage|jours?|días?|giorni",
    "lead_weeks": r"weeks?|wochen?|semaines?|semanas?|settimane",
    "minutes": r"min(utes?|s)?|minuten|minutos|minuti",
}


def _with_unit(name: str, at: int, known: str, texts: Sequence[str]) -> ColumnGuess:
    """A measure, where the column's name or every cell states its unit; else the user's own."""
    if known in {"lead", "time"}:
        meaning = next(
            (span for span, words in _SPANS.items()
             if re.search(rf"\b({words})\b", name.casefold())),
            None,
        )  # fmt: skip
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
