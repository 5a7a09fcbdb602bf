"""Money is exact, refuses to mix, and its stated parts add up."""

from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.kernel.currency import Money, decimal_text, stated_parts
from sixwright.kernel.errors import InputError

amounts = st.fractions(min_value=-(10**6), max_value=10**6, max_denominator=10**4)


@given(st.decimals(min_value=-(10**8), max_value=10**8, places=5))
def test_rounding_is_the_decimal_module_s_half_even(amount: Decimal) -> None:
    stated = Decimal(Money(Fraction(amount), "USD").minor).scaleb(-2)
    assert stated == amount.quantize(Decimal("0.01"), rounding=ROUND_HALF_EVEN)


@pytest.mark.parametrize(
    ("amount", "cents"), [("0.005", 0), ("0.015", 2), ("-0.005", 0), ("2.675", 268)]
)
def test_a_half_cent_goes_to_the_even_one(amount: str, cents: int) -> None:
    assert Money(Fraction(amount), "USD").minor == cents


def test_two_currencies_do_not_add() -> None:
    with pytest.raises(InputError, match="must be USD"):
        Money(Fraction(1), "USD") + Money(Fraction(1), "EUR")


def test_a_float_is_no_factor() -> None:
    with pytest.raises(InputError, match="exact"):
        Money(Fraction(1), "USD") * 0.1  # type: ignore[operator]


@given(st.lists(amounts, max_size=12), st.integers(0, 4))
def test_stated_parts_add_up_to_the_stated_sum(parts: list[Fraction], places: int) -> None:
    stated = stated_parts(parts, places=places)
    total = Decimal(sum(parts, Fraction(0)).numerator) / Decimal(
        sum(parts, Fraction(0)).denominator
    )
    assert abs(sum(stated, Fraction(0)) - Fraction(total)) <= Fraction(51, 100) / 10**places
    assert sum(stated, Fraction(0)) * 10**places == round(sum(parts, Fraction(0)) * 10**places)


@given(st.lists(amounts, max_size=12), st.integers(0, 4))
def test_each_stated_part_is_within_a_unit_of_its_own(parts: list[Fraction], places: int) -> None:
    for part, stated in zip(parts, stated_parts(parts, places=places), strict=True):
        assert abs(part - stated) <= Fraction(1, 10**places)


@given(st.decimals(min_value=-(10**6), max_value=10**6, places=9))
def test_decimal_text_is_read_back_as_the_same_number(value: Decimal) -> None:
    assert Decimal(decimal_text(Fraction(value))) == value


def test_decimal_text_of_a_third_ends_and_is_not_cut_below_six_places() -> None:
    assert decimal_text(Fraction(1, 3)) == "0.333333333333"
    assert decimal_text(Fraction(-2, 3), 6) == "-0.666667"
    assert decimal_text(Fraction(0)) == "0"
