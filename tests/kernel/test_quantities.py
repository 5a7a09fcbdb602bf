"""Cells as exact quantities, against the definitions of the units and a library of units."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.kernel.currency import Money
from sixwright.kernel.errors import QuantityError
from sixwright.kernel.quantities import lengths, money, money_per_hour, number, quantity, share


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0", Fraction(0)),
        ("0.1", Fraction(1, 10)),
        (" 12 ", Fraction(12)),
        ("-3.5", Fraction(-7, 2)),
        ("\N{MINUS SIGN}3.5", Fraction(-7, 2)),
        ("11 1/2", Fraction(23, 2)),
        ("3/4", Fraction(3, 4)),
        ("-1 1/4", Fraction(-5, 4)),
        ("1e3", Fraction(1000)),
        ("1.250", Fraction(5, 4)),
    ],
)
def test_a_number_is_exact(text, value):
    assert number(text) == value


@pytest.mark.parametrize(
    "text", ["", "x", "1,5", "1,250", "1 250", "1'250", "1/0", "--1", "1.", ".5", "1 2", "nan", "∞"]
)
def test_what_is_no_number_or_two_is_refused(text):
    with pytest.raises(QuantityError):
        number(text)


def test_a_decimal_comma_is_for_lines_that_write_one():
    assert number("1,5", comma=True) == Fraction(3, 2)
    assert number("1.5", comma=True) == Fraction(3, 2)
    assert number("1,250", comma=True) == Fraction(5, 4)
    with pytest.raises(QuantityError, match="no mark between thousands"):
        number("1.250", comma=True)
    with pytest.raises(QuantityError, match="no mark between thousands"):
        number("1,250")


@given(
    st.decimals(
        allow_nan=False, allow_infinity=False, places=6, min_value=-(10**9), max_value=10**15 - 1
    )
)
def test_every_decimal_is_read_as_the_decimal_it_is(value):
    assert number(format(value, "f")) == Fraction(value)
    assert number(format(value, "f").replace(".", ","), comma=True) == Fraction(value)


# International yard and pound agreement of 1959, as NIST SP 811 (2008), appendix B.8, lists it:
# inch 2.54 E-02 m, foot 3.048 E-01 m, pound 4.535 923 7 E-01 kg, ounce (avoirdupois)
# 2.834 952 E-02 kg, ounce (troy) 3.110 348 E-02 kg. Written from memory (M).
@pytest.mark.parametrize(
    ("text", "unit", "value", "places"),
    [
        ("1 in", "mm", "25.4", 6),
        ("11 1/2 in", "mm", "292.1", 6),
        ("1 ft", "mm", "304.8", 6),
        ("2 cm", "mm", "20", 6),
        ("0.3 m", "mm", "300", 6),
        ("1 lb", "g", "453.59237", 6),
        ("1 oz av", "g", "28.34952", 5),
        ("1 oz tr", "g", "31.10348", 5),
        ("1.5 kg", "g", "1500", 6),
        ("12 g", "g", "12", 6),
        ("2 h", "minutes", "120", 6),
        ("90 s", "minutes", "1.5", 6),
    ],
)
def test_a_unit_of_its_own_is_converted(text, unit, value, places):
    assert round(quantity(text, unit), places) == Fraction(Decimal(value))


@pytest.mark.parametrize(
    ("text", "unit", "why"),
    [
        ('11 1/2"', "mm", "inches written as in “11 1/2 in”"),
        ("5″", "mm", "the mark is also a quote"),
        ("4 oz", "g", "oz alone is either"),
        ("4 g", "mm", "a number in one of mm, cm, m, in, ft"),
        ("4 furlongs", "mm", "a number in one of"),
        ("4 mm", "", "a number alone"),
        ("mm", "mm", "a number"),
        ("1,5 mm", "mm", "decimal point"),
    ],
)
def test_a_unit_that_misleads_is_refused_with_the_reason(text, unit, why):
    with pytest.raises(QuantityError, match=why) as caught:
        quantity(text, unit)
    assert caught.value.found == text


def test_a_share_is_plain_or_per_cent():
    assert share("0.03") == share("3 %") == share("3%") == Fraction(3, 100)
    assert share("12,5 %", comma=True) == Fraction(1, 8)


def test_money_is_in_its_own_currency_or_the_columns():
    assert money("289 USD", "CNY") == Money(Fraction(289), "USD")
    assert money("0.30", "USD") == Money(Fraction(3, 10), "USD")
    assert money("289,50 EUR", None, comma=True) == Money(Fraction(579, 2), "EUR")
    assert money("289", None) is None
    for text in ("289 XQX", "USD", "289 US", "289 EUR USD", "EUR 289 USD", "289 each"):
        with pytest.raises(QuantityError):
            money(text, "USD")


@pytest.mark.parametrize(
    ("text", "usual", "named"),
    [
        ("289 usd", "CNY", "USD"),
        ("USD 289", "CNY", "USD"),
        ("usd289", None, "USD"),
        ("€289", "USD", "EUR"),
        ("289 €", "USD", "EUR"),
        ("£ 289", "USD", "GBP"),
        ("$289", "USD", "USD"),
        ("$289", "CAD", "CAD"),
        ("US$ 289", "CAD", "USD"),
        ("¥289", "CNY", "CNY"),
        ("289￥", "JPY", "JPY"),
        ("USD 289 USD", "CNY", "USD"),
    ],
)
def test_money_is_read_where_its_currency_can_be_only_one(text, usual, named):
    assert money(text, usual) == Money(Fraction(289), named)
    guess = money(f"~{text}", usual)
    assert (guess.amount, guess.currency) == (289, named)


@pytest.mark.parametrize(("text", "usual"), [("$289", "EUR"), ("$289", None), ("¥289", "USD")])
def test_a_sign_of_several_currencies_is_refused_where_the_usual_one_is_none_of_them(text, usual):
    with pytest.raises(QuantityError, match="ISO 4217"):
        money(text, usual)


@pytest.mark.parametrize(
    "text", ["84 CNY/h", "84 CNY / h", "84 CNY per hour", "84 CNY", "CNY 84/h"]
)
def test_an_hour_of_work_is_an_amount_with_or_without_the_hour(text):
    assert money_per_hour(text, "USD") == Money(Fraction(84), "CNY")


def test_an_hour_of_work_without_a_currency_is_in_the_usual_one():
    assert (
        money_per_hour("84/h", "USD") == money_per_hour("84", "USD") == Money(Fraction(84), "USD")
    )
    for text in ("84 CNY/min", "84/day", "/h", ""):
        with pytest.raises(QuantityError):
            money_per_hour(text, "USD")


@pytest.mark.parametrize(
    "text",
    ["200 120 60", "200 x 120 x 60", "200x120×60", "20 x 12 x 6 cm", "20x12x6cm",
     "20 cm x 12 cm x 6 cm", "20cm 12cm 6cm", "20 cm 12 cm 6 cm", "0.2 X 0.12 X 0.06 m"],
)  # fmt: skip
def test_lengths_in_a_row_are_read_however_they_are_written(text):
    assert lengths(text, "mm") == (200, 120, 60)


@pytest.mark.parametrize("text", ["20 cm x 12 x 6", "20 x 12 cm x 6", "20 x 12 x 6 g", "20 x x 6"])
def test_lengths_of_which_some_have_a_unit_are_refused(text):
    with pytest.raises(QuantityError):
        lengths(text, "mm")
