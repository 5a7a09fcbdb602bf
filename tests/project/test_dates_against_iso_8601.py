"""Dates against ISO 8601-1:2019, section 5.2.2.1: the calendar date in its extended format.

The standard's own example of a complete calendar date is 1985-04-12 (from memory: M). Leap years
follow the Gregorian rule that the standard states in 4.2.1; the days of each month are checked
against Python's calendar module, which shares nothing with the cell that is read.
"""

import calendar
from datetime import date

import pytest

from sixwright.kernel.errors import QuantityError
from sixwright.project.check_cells import Notation, typed
from sixwright.project.columns import CellType, ColumnSchema

DAY = ColumnSchema("valid_until", CellType.DATE)


def read(text):
    return typed(text, DAY, Notation("USD"))


def test_the_standards_example_is_read():
    assert read("1985-04-12") == date(1985, 4, 12)


@pytest.mark.parametrize("year", [1900, 2000, 2023, 2024, 2100])
def test_every_day_of_the_calendar_and_no_other_is_read(year):
    for month in range(1, 13):
        last = calendar.monthrange(year, month)[1]
        for number in range(1, 32):
            text = f"{year}-{month:02d}-{number:02d}"
            if number <= last:
                assert read(text) == date(year, month, number)
            else:
                with pytest.raises(QuantityError, match="a day that the calendar has"):
                    read(text)


@pytest.mark.parametrize(
    "text",
    ["19850412", "1985-102", "1985-W15-5", "1985-04", "85-04-12", "1985/04/12", "04/12/1985",
     "1985-4-12", "1985-04-12T00:00", "1985‐04‐12", "1985-13-01", "1985-00-10", "1985-04-00"],
)  # fmt: skip
def test_other_formats_of_the_standard_and_of_spreadsheets_are_refused(text):
    """Basic, ordinal and week dates are ISO 8601 too, but one way to write a day is enough."""
    with pytest.raises(QuantityError):
        read(text)
