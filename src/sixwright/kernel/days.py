"""A cell's text as a calendar date."""

import re
from datetime import date

ISO_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")
_TURNED = re.compile(r"(\d{1,2})([./-])(\d{1,2})\2(\d{4})")
_LAST_MONTH = 12


def day(text: str) -> date | None:
    """A calendar date of ISO 8601-1:2019, or one that a spreadsheet turned and has one reading.

    With points the day is first in every locale of CLDR that ends in the year. With other marks
    there is one reading where only one of the two numbers can be a month, or both are the same.

    Returns
    -------
    date or None
        None where the text is no date, or one of two readings.
    """
    if ISO_DATE.fullmatch(text):
        return _there_is(text)
    found = _TURNED.fullmatch(text)
    if found is None:
        return None
    first, second = int(found[1]), int(found[3])
    if found[2] == "." or first > _LAST_MONTH or first == second:
        return _there_is(f"{found[4]}-{second:02}-{first:02}")
    return _there_is(f"{found[4]}-{first:02}-{second:02}") if second > _LAST_MONTH else None


def _there_is(iso: str) -> date | None:
    try:
        return date.fromisoformat(iso)
    except ValueError:  # a day that no calendar has
        return None
