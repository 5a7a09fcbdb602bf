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


@pytest.mark.parametrize(
    ("now", "kept"),
    [("289 USD", "300 USD"), ("EUR 289", "EUR 300"), ("€289", "€300"), ("289 eur", "300 eur")],
)
def test_a_bare_number_over_an_amount_keeps_its_currency_wherever_that_stands(now, kept):
    row = Record("editions", "box", {"price": now}, FileLocation("line.toml"))
    asked = Change("editions", "box", "price", was=now, value="300")
    assert edit(LINE | {"editions": {"box": row}}, asked).value == kept


@pytest.mark.parametrize("text", ["10 %", "0.1", "10%"])
def test_a_least_margin_is_a_share_as_every_other(text):
    point = Notation("USD")
    assert allowed_value("line", "money.margin_least", text, point) == Fraction(1, 10)
    assert allowed_value("line", "money.margin_least", f"-{text}", point) == Fraction(-1, 10)


@pytest.mark.parametrize("key", ["margin_least", "spares", "overhead", "reserve"])
def test_ten_is_no_share_and_not_a_thousand_per_cent(key):
    with pytest.raises(QuantityError, match="a share"):
        allowed_value("line", f"money.{key}", "10", Notation("USD"))


def test_a_box_and_an_hour_are_read_in_the_units_they_state():
    assert allowed_value("editions", "box_mm", "20 x 12 x 6 cm", Notation("USD")) == (200, 120, 60)
    hour = allowed_value("line", "money.labour.rate", "20", Notation("USD"))
    assert hour == Money(Fraction(20), "USD")
