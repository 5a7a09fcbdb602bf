"""Currency codes and minor units, held against ISO 4217 as py-moneyed 3 carries it.

py-moneyed's own table is made from the standard's list one; its `sub_unit` is ten to the power
of the minor unit.
"""

import moneyed
import pytest

from sixwright.kernel.currency import CURRENCIES, minor_units
from sixwright.kernel.errors import InputError

# Codes of the standard that are not money one can be quoted in (metals, funds, tests).
NOT_MONEY = {
    "XTS",
    "XXX",
    "XAG",
    "XAU",
    "XPD",
    "XPT",
    "XBA",
    "XBB",
    "XBC",
    "XBD",
    "XDR",
    "XSU",
    "XUA",
    "XFU",
    "XFO",
    "XYZ",
}

THEIRS = {
    str(code): currency
    for code, currency in moneyed.CURRENCIES.items()
    if str(code) not in NOT_MONEY
}
SHARED = sorted(CURRENCIES & THEIRS.keys())


def test_all_of_our_codes_are_in_the_library_too() -> None:
    assert not CURRENCIES - THEIRS.keys()
    assert len(SHARED) == len(CURRENCIES)


@pytest.mark.parametrize("code", SHARED)
def test_minor_units_are_the_library_s(code: str) -> None:
    assert 10 ** minor_units(code) == THEIRS[code].sub_unit


@pytest.mark.parametrize("code", ["", "usd", "US", "XXX", "USDX", "EURO"])
def test_what_is_no_currency_is_refused(code: str) -> None:
    with pytest.raises(InputError, match="ISO 4217"):
        minor_units(code)
