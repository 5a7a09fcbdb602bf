"""Amounts as cells state them: guesses, currencies that stay, and refusals that agree."""

from fractions import Fraction

import pytest

from sixwright.kernel.currency import Money
from sixwright.kernel.errors import QuantityError
from sixwright.project.check_cells import Notation, allowed_value
from sixwright.project.columns import NUMERIC
from sixwright.project.records import Change, FileLocation, Record
from sixwright.project.rows import edit
from sixwright.project.tables import TABLES

LINE = {"line": {"line": Record("line", "line", {"currency": "USD"}, FileLocation("line.toml"))}}
PRICED = LINE | {
    "editions": {"box": Record("editions", "box", {"price": "289 USD"}, FileLocation("line.toml"))}
}


def price(text, *, comma=False, currency="USD"):
    return allowed_value("prices", "unit_price", text, Notation(currency, comma))


@pytest.mark.parametrize(
    ("text", "likely", "low", "high", "currency"),
    [
        ("~3.50 USD", "3.5", "2.625", "4.375", "USD"),
        ("~ 84 CNY", "84", "63", "105", "CNY"),
        ("3 to 4 USD", "3.5", "3", "4", "USD"),
        ("3 EUR to 4 EUR", "3.5", "3", "4", "EUR"),
        ("3 to 4", "3.5", "3", "4", "USD"),
    ],
)
def test_a_guess_is_what_is_likely_and_from_what_to_what(text, likely, low, high, currency):
    found = price(text)
    assert found == Money(Fraction(likely), currency, (Fraction(low), Fraction(high)))


def test_a_guess_follows_the_decimal_comma():
    assert price("~3,50 EUR", comma=True).amount == Fraction(7, 2)
    assert price("2,5 to 3,5", comma=True).guess == (Fraction(5, 2), Fraction(7, 2))


@pytest.mark.parametrize(
    "text", ["4 to 3 USD", "3 EUR to 4 USD", "~", "~~3", "-3 to 4", "3 to", "~-2"]
)
def test_what_is_no_guess_is_refused(text):
    with pytest.raises(QuantityError):
        price(text)


def test_a_price_that_the_producer_sets_is_no_guess():
    with pytest.raises(QuantityError, match="an amount that you settle, not a guess"):
        allowed_value("editions", "price", "~289 USD", Notation("USD"))


@pytest.mark.parametrize("written", ["300", "1e9", "1.5E3", "~300", "280 to 300"])
def test_a_bare_number_over_an_amount_keeps_its_currency(written):
    change = edit(PRICED, Change("editions", "box", "price", "289 USD", written))
    assert change.value == f"{written} USD"


COUNTED = [(t.name, c) for t in TABLES for c in t.columns if c.cell in NUMERIC]


@pytest.mark.parametrize(("table", "column"), COUNTED, ids=lambda c: getattr(c, "name", c))
@pytest.mark.parametrize("text", ["abc", "-1", "0", "1.5", "9"])
def test_no_refusal_contradicts_itself(table, column, text):
    try:
        allowed_value(table, column.name, text, Notation("USD"))
    except QuantityError as error:
        said = error.expected
        assert not ("zero or more" in said and ("above" in said or "from 1" in said)), said
        assert said.count("0 or more") + said.count("zero or more") <= 1


def test_no_figure_is_allowed_and_a_part_of_one_is_not():
    assert allowed_value("editions", "figures", "0", Notation("USD")) == 0
    with pytest.raises(QuantityError, match="a whole number, zero or more"):
        allowed_value("editions", "figures", "1.5", Notation("USD"))


@pytest.mark.parametrize("text", ["0.8", "1.5 0.8", "1.2 1.5", "0.8 1.5 2", "x y"])
def test_factors_of_a_quote_past_its_date_are_two_with_one_between(text):
    with pytest.raises(QuantityError):
        allowed_value("line", "money.expired", text, Notation("USD"))
    found = allowed_value("line", "money.expired", "0.8 1.5", Notation("USD"))
    assert found == (Fraction(4, 5), Fraction(3, 2))
