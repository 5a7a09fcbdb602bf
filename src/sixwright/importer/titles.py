"""What stands above the row of column names: the line's name, and the currency of its prices."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from sixwright.importer.grid import heading_above
from sixwright.importer.numbers import currency_in, date_in
from sixwright.kernel.currency import CURRENCIES
from sixwright.storage.workbooks.sheet import Sheet

_LONGEST_NAME = 80  # characters; a longer text is a remark
_MOST_OTHERS = 5  # rows above the table that are told one by one
# Codes of ISO 4217 that are words of a title too.
WORDS = frozenset("ALL ANG BAM COP CUP GEL LAK MAD MOP PEN RON SOS TOP TRY".split())
_MONEY = r"\b(?:all\s+)?(?:prices?|costs?|quotes?|amounts?|figures|money|currency)\b"
_CLAUSE = re.compile(
    rf"[\s,;:|/–—(-]*{_MONEY}[\s:(]*(?:are\s+)?(?:in\s+)?([A-Z]{{3}})\b[\s).]*", re.IGNORECASE
)
# Words that a title is made of which names no line.
_NO_NAME = frozenset(
    "a all and as at bill bom by cost costs currency date dated draft excel figures for from in is "
    "list materials no of on part parts price prices quotation quote quotes rev revision sheet "
    "spreadsheet status table the to updated v version january february march april may june july "
    "august september october november december jan feb mar apr jun jul aug sep sept oct nov "
    "dec".split()
)


@dataclass(frozen=True, slots=True)
class Titles:
    """What the rows above the column names say.

    Attributes
    ----------
    name
        The line's name; empty where no title is one.
    name_row
        Its row, as the spreadsheet counts.
    currencies
        Each currency that is stated, with the row and the text that state it.
    others
        Rows, and the texts in them that nothing is taken from.
    """

    name: str = ""
    name_row: int = 0
    currencies: dict[str, tuple[int, str]] = field(default_factory=dict)
    others: tuple[tuple[int, tuple[str, ...]], ...] = ()

    @property
    def currency(self) -> str | None:
        """The one currency that the titles state."""
        return next(iter(self.currencies)) if len(self.currencies) == 1 else None

    def says(self) -> Iterator[str]:
        """What was taken from the titles."""
        if self.name:
            yield f"The line is named “{self.name}”, as row {self.name_row} says."
        for row, texts in self.others[:_MOST_OTHERS]:
            said = ", ".join(f"“{text}”" for text in texts)
            yield f"Row {row} says {said}, above the table: a note, left out."
        left = len(self.others) - _MOST_OTHERS
        if left > 0:
            rows = "1 more row" if left == 1 else f"{left} more rows"
            yield f"{rows} above the table: left out too."


def read_titles(sheet: Sheet, header: int) -> Titles:
    """The titles of a sheet whose columns are named in this row (from 0)."""
    name, name_row = "", 0
    currencies: dict[str, tuple[int, str]] = {}
    others: list[tuple[int, tuple[str, ...]]] = []
    heads = {heading_above(sheet, header, at) for at in range(len(sheet.rows[header]))}
    for number, row in enumerate(sheet.rows[:header], 1):
        held = [" ".join(text.split()) for text in row if text.strip()]
        for text in held:
            for code in sorted(_currencies(text)):
                currencies.setdefault(code, (number, text))
        if len(held) == 1 and not name:
            name, name_row = _name(held[0]), number
            held = [] if name else held
        if left := tuple(text for text in held if text not in heads and not _currencies(text)):
            others.append((number, left))
    return Titles(name, name_row, currencies, tuple(others))


def _currencies(text: str) -> set[str]:
    """The currencies that a title states: by code, or by a mark that stands for one alone."""
    stated = {code.upper() for code in _CLAUSE.findall(text)}
    codes = set(re.findall(r"\b[A-Z]{3}\b", text))
    spoken = stated & codes  # a code that is a word counts where the title speaks of money
    found = ((stated | codes) - WORDS | spoken) & CURRENCIES
    mark = currency_in(text)
    return found | ({mark} - WORDS if mark and not found else set())


def _name(text: str) -> str:
    """The line's name that a title states; empty where it states a date, a currency, a remark."""
    name = _CLAUSE.sub(" ", text).strip(" ,;:|/–—-")
    words = re.findall(r"[^\W\d_]+", name)
    telling = [
        word for word in words if word.casefold() not in _NO_NAME and word not in CURRENCIES - WORDS
    ]
    told = any(len(word) > 1 for word in telling)
    contact = re.search(r"@|www\.|https?:|\+\d", name)
    if not told or contact or date_in(name) or text.endswith(":") or len(name) > _LONGEST_NAME:
        return ""
    return name
