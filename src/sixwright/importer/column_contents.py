"""What the cells of a column are, where its name says nothing: pieces in a box, lengths, prices."""

import re
from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from sixwright.importer.column_guess import ColumnGuess
from sixwright.importer.numbers import number_in
from sixwright.importer.words import NO_BOX, QUANTITY_WORDS, plain
from sixwright.kernel.currency import CURRENCIES
from sixwright.line.boxes import KINDS

FEW = 4  # pieces; of most parts a box holds no more (own choice: hands, pegs, keys)
MARKS = {"x", "✓", "✔", "yes", "y"}
NOTHING = {"", "-", "–", "—", "none", "n/a"}
UNKNOWN = {"?", "tbc", "tbd", "tba", "k.a.", "k. a.", "offen", "n.c."}
MOST = 99  # pieces of one part in a box (own choice: a box holds dozens of keys or magnets)
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


def by_content(name: str, at: int, texts: Sequence[str], mark: str) -> ColumnGuess:
    """A column whose name says nothing: of a known shape, pieces in a box, or the user's own."""
    for meaning, pattern, why in _SHAPES:
        fitting = sum(bool(pattern.fullmatch(text)) for text in texts)
        if texts and fitting * 5 >= len(texts) * 4:
            return ColumnGuess(name, at, meaning, why)
    if found := NO_BOX.search(plain(name)):
        why = f"a column of the name “{found[0]}” is no box, and its cells say nothing else"
        return ColumnGuess(name, at, "keep", why)
    counts = [piece_count(text, mark) for text in texts]
    whole = [count for count in counts if count is not None]
    if not whole or len(whole) * 10 < len(counts) * 9:
        return ColumnGuess(name, at, "keep", "neither its name nor its cells say what it is")
    counted = sorted(filter(None, whole))
    if not counted or counted[len(counted) // 2] > FEW or counted[-1] > MOST:
        why = f"its numbers are not mostly from 1 to {FEW} and never above {MOST}, as pieces are"
        return ColumnGuess(name, at, "keep", why)
    if len(whole) > 3 and all(b - a == 1 for a, b in pairwise(whole)):
        return ColumnGuess(name, at, "keep", "it counts the rows")
    marked = all(text.casefold() in MARKS | NOTHING for text in texts)
    why = "its cells are marks such as x" if marked else _counts_said(whole)
    return ColumnGuess(name, at, "box", why, box=box_name(name))


def _counts_said(counts: Sequence[int]) -> str:
    """What the cells of a box hold, in words."""
    least, most = min(filter(None, counts)), max(counts)
    if least == most:
        return f"its cells say {most} or nothing"
    return f"its cells are whole numbers from {min(counts)} to {most}"


def piece_count(text: str, mark: str) -> int | None:
    """Pieces that a cell states, where it can be one of a box; a dash is none of it."""
    lower = text.casefold()
    if lower in NOTHING | UNKNOWN:
        return 0
    if lower in MARKS:
        return 1
    number = number_in(re.sub(r"\(?\bopt(ional)?\b\.?\)?", "", lower), mark)
    return int(number) if number is not None and number.denominator == 1 and number >= 0 else None


def box_name(name: str) -> str:
    """The column's name without the words for pieces; all of it where nothing else is left."""
    rest = re.sub(r"\s+", " ", re.sub(QUANTITY_WORDS.pattern, " ", name, flags=re.IGNORECASE))
    return rest.strip(" -:/,()[]") or name


def pieces(text: str, mark: str) -> tuple[int | None, bool] | str:
    """Pieces of a cell (None: unknown) and whether they are optional; else why it is not read."""
    lower = text.strip().casefold()
    if lower in UNKNOWN:
        return None, False
    optional = bool(re.search(r"\bopt(ional)?\b", lower))
    number = piece_count(lower, mark)
    if number is not None:
        return number, optional
    exact: Fraction | None = number_in(lower, mark)
    return "not a whole number of pieces" if exact is not None else "no number of pieces"
