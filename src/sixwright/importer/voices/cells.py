"""What a cell of an export says: a day, yes or no, a level, a rank, an option."""

import datetime as dt
import re
from collections.abc import Iterable, Mapping

from sixwright.topics.voices.comments import fold

_YES = frozenset(
    fold(word)
    for word in (
        "yes y true 1 x ja oui si sim tak да はい 是 네 نعم כן evet checked selected on wahr vrai "
        "verdadero vero"
    ).split()
)
_NO = frozenset(
    fold(word)
    for word in (
        "no n false 0 nein non não nie нет いいえ 否 아니요 لا לא hayır unchecked off falsch faux "
        "falso"
    ).split()
)
_CHECKED = frozenset("✓✔☑✅")
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:\D.*)?\Z")
_OTHER = re.compile(r"(\d{1,2})[-/.](\d{1,2})[-/.](\d{4}|\d{2})(?:\D.*)?\Z")
_EPOCH = re.compile(r"\d{10}(\d{3})?(\.\d+)?\Z")
_STARS = re.compile("[★⭐]+[☆✩]*\ufe0f*\\Z")
_LEADING = re.compile(r"(-?\d{1,9})(?:[.,]0+)?(?:\D.*)?\Z", re.DOTALL)


def is_day_first(texts: Iterable[str], *, otherwise: bool) -> bool:
    """Whether dates as 9/14/2026 put the day first: told by any that can be read in one way only.

    Texts that are no dates tell nothing.

    Parameters
    ----------
    texts
        Of the whole column.
    otherwise
        What the line's locale does, where no date tells.

    Source
    ------
    Own choice: no month is above 12.
    """
    for text in texts:
        found = _OTHER.match(text)
        if found and int(found[1]) > 12:
            return True
        if found and int(found[2]) > 12:
            return False
    return otherwise


def day_of(text: str, *, day_first: bool) -> dt.date | None:
    """The day that a text names, its time left out; None where it names none.

    What is no day is None.

    Parameters
    ----------
    text
        ISO 8601, day and month in either order before the year, or seconds (or milliseconds)
        since 1970.
    day_first
        As `is_day_first` found.

    Source
    ------
    ISO 8601; POSIX time, in UTC.
    """
    if found := _ISO.match(text):
        year, month, day = (int(part) for part in found.groups())
    elif found := _OTHER.match(text):
        one, two, year = (int(part) for part in found.groups())
        day, month = (one, two) if day_first else (two, one)
        year += 2000 if year < 100 else 0
    elif found := _EPOCH.match(text):
        seconds = float(text) / (1000 if found[1] else 1)
        return (dt.datetime(1970, 1, 1, tzinfo=dt.UTC) + dt.timedelta(seconds=seconds)).date()
    else:
        return None
    try:
        return dt.date(year, month, day)
    except ValueError:
        return None


def yes_or_no(text: str) -> bool | None:
    """Whether a text says yes or no, in the usual languages; None where it says neither.

    What says neither is None.

    Parameters
    ----------
    text
        Of a cell.

    Source
    ------
    Own choice of words.
    """
    if text and set(text) <= _CHECKED:
        return True
    plain = fold(text)
    return True if plain in _YES else False if plain in _NO else None


def whole_number(text: str) -> int | None:
    """The whole number that a text is or begins with, or its stars; None where there is none.

    What is no number is None.

    Parameters
    ----------
    text
        ``4``, ``4.0``, ``4 - like it``, ``3rd``, or four stars.

    Source
    ------
    Own choice of forms.
    """
    if _STARS.match(text):
        return sum(text.count(star) for star in "★⭐")
    found = _LEADING.match(text)
    return int(found[1]) if found else None


def option_of(text: str, options: Mapping[str, str]) -> str:
    """The option that a text names by its id or its name; what names none is itself (a write-in).

    A write-in is kept as it was written.

    Parameters
    ----------
    text
        Of a cell.
    options
        Folded id or name: the option's id.

    Source
    ------
    Own choice: case, accents and punctuation do not matter.
    """
    return options.get(fold(text), text)


def entries_of(text: str, options: Mapping[str, str]) -> list[str]:
    """The options in one cell: one, or several with semicolons, commas or lines between.

    An empty cell has none.

    Parameters
    ----------
    text
        Of a cell.
    options
        As in `option_of`.

    Source
    ------
    Own choice: a text that is an option as a whole is not taken apart, and commas take it apart
    only where one of the pieces is an option.
    """
    if not text.strip():
        return []
    if fold(text) in options:
        return [options[fold(text)]]
    pieces = re.split(r"\s*[;\n|]\s*", text)
    if len(pieces) == 1:
        commas = re.split(r"\s*,\s*", text)
        pieces = commas if any(fold(piece) in options for piece in commas) else pieces
    return [option_of(piece, options) for piece in pieces if piece.strip()]
