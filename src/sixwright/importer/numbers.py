"""Numbers, currencies and dates as people type them into a spreadsheet."""

import re
from collections import Counter
from collections.abc import Iterable
from datetime import date, datetime
from fractions import Fraction

from sixwright.kernel.currency import CURRENCIES, SEVERAL, SIGNS

_SPACES = re.compile("[\\s\u00a0\u2009\u202f'’]+")
# How spreadsheets write which country's $ or ¥ a number format means (LCID, MS-LCID).
_FORMATS = {"$$-409": "USD", "$$-en-US": "USD", "$¥-804": "CNY", "$¥-zh-CN": "CNY",
            "$¥-411": "JPY", "$¥-ja-JP": "JPY"}  # fmt: skip


def decimal_mark(texts: Iterable[str]) -> str:
    """The mark that these texts put before decimals: ``.``, ``,`` or empty where they disagree.

    Only a text that can mean one number votes: 1,234.5 or 0,35 do, 1,250 does not.
    """
    votes = {vote for text in texts for vote in _votes(text)}
    return votes.pop() if len(votes) == 1 else ("." if not votes else "")


def _votes(text: str) -> Iterable[str]:
    digits = _bare(text)
    if not re.fullmatch(r"-?[\d.,]*\d", digits):
        return
    marks = [mark for mark in digits if mark in ".,"]
    if len(set(marks)) == 2:
        yield marks[-1]
    elif len(marks) > 1:
        yield "." if marks[0] == "," else ","
    elif marks:
        before, after = digits.lstrip("-").split(marks[0])
        if len(after) != 3 or before in {"", "0"} or len(before) > 3:
            yield marks[0]


def _bare(text: str) -> str:
    """The text without currencies, units of count and the blanks within a number."""
    text = re.sub(r"[€£$¥]|\b[A-Z]{2,3}\b|\b(pcs?|pieces)\b\.?", " ", text)
    return _SPACES.sub("", text)


def number_in(text: str, mark: str) -> Fraction | None:
    """The number a text states, or None where it states none or may mean two.

    Parameters
    ----------
    text
        As typed, with a currency or marks between thousands.
    mark
        What stands before decimals; empty where the sheet is at odds with itself.
    """
    bare = _bare(text)
    if not mark:
        mark = next(iter(_votes(text)), "") or ("." if re.fullmatch(r"-?\d+", bare) else "")
    if not mark:
        return None
    thousands = re.escape("," if mark == "." else ".")
    whole = rf"-?(\d{{1,3}}({thousands}\d{{3}})+|\d+)?"
    if not re.fullmatch(rf"{whole}({re.escape(mark)}\d+)?", bare) or not re.search(r"\d", bare):
        return None
    return Fraction(re.sub(thousands, "", bare).replace(mark, "."))


# Exact, by definition: the inch of 1959.
UNITS = {
    "mm": ("mm", Fraction(1)), "cm": ("mm", Fraction(10)), "in": ("mm", Fraction("25.4")),
    "inch": ("mm", Fraction("25.4")), "inches": ("mm", Fraction("25.4")), "g": ("g", Fraction(1)),
    "gr": ("g", Fraction(1)), "gram": ("g", Fraction(1)), "grams": ("g", Fraction(1)),
    "kg": ("g", Fraction(1000)),
}  # fmt: skip


def unit_in(text: str) -> str | None:
    """The unit of length or mass that a column's name or a cell states, as the text has it."""
    words = re.findall(r"[a-z]+", text.casefold())
    found = {word for word in words if word in UNITS}
    return found.pop() if len(found) == 1 else None


def measure_in(text: str, unit: str, mark: str) -> Fraction | None:
    """A length in mm or a mass in g; a unit in the text itself goes before the column's."""
    found = re.fullmatch(r"\s*(?P<number>.*?\d)\s*(?P<unit>[A-Za-z]+)?\s*", text)
    if not found:
        return None
    own = (found["unit"] or unit).casefold()
    number = number_in(found["number"], mark)
    if number is None or own not in UNITS or UNITS[own][0] != UNITS[unit][0]:
        return None
    return number * UNITS[own][1]


def currency_in(text: str) -> str | None:
    """The one currency that a column's name or a cell states; None where none or several."""
    found = {sign for mark, sign in SIGNS.items() if mark in text}
    found |= {word for word in re.findall(r"\b[A-Za-z]{3}\b", text) if word in CURRENCIES}
    return found.pop() if len(found) == 1 else None


def mark_in(text: str) -> str:
    """A mark in the text that stands for several currencies, or nothing."""
    return next((mark for mark in SEVERAL if mark in text.replace("￥", "¥")), "")


def currency_of_format(number_format: str) -> str | None:
    """The one currency a spreadsheet's number format states."""
    named = {code for mark, code in _FORMATS.items() if mark in number_format}
    return named.pop() if len(named) == 1 else currency_in(number_format)


def commonest(found: Iterable[str | None]) -> str | None:
    """The one value among these; None where there is none or more than one."""
    counted = Counter(value for value in found if value)
    return next(iter(counted)) if len(counted) == 1 else None


def date_in(text: str) -> date | None:
    """The day a text names, or None where it names none or may mean two (03/04/2027)."""
    text = text.strip()
    for pattern in ("%Y-%m-%d", "%Y/%m/%d", "%d.%m.%Y", "%d %b %Y", "%d %B %Y", "%d-%b-%Y"):
        try:
            return datetime.strptime(text, pattern).date()  # noqa: DTZ007  a day, without a time
        except ValueError:
            continue
    found = re.fullmatch(r"(\d{1,2})[/-](\d{1,2})[/-](\d{4})", text)
    if not found:
        return None
    first, second, year = map(int, found.groups())
    if (first > 12) == (second > 12) and first != second:
        return None
    try:
        return date(year, min(first, second), max(first, second))
    except ValueError:
        return None
