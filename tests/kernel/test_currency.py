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
def test_every_stated_part_but_the_largest_is_its_own_rounding(
    parts: list[Fraction], places: int
) -> None:
    largest = max((abs(part) for part in parts), default=Fraction(0))
    moved = [
        part
        for part, stated in zip(parts, stated_parts(parts, places=places), strict=True)
        if stated * 10**places != round(part * 10**places)
    ]
    assert len(moved) <= 1
    assert all(abs(part) == largest for part in moved)


def test_what_rounding_leaves_never_goes_to_a_small_part() -> None:
    """8.004, 1.004 and 1.004 come to 10.012: the cent is the large one's, the small stay alike."""
    stated = stated_parts([Fraction(1004, 1000), Fraction(8004, 1000), Fraction(1004, 1000)],
                          places=2)  # fmt: skip
    assert stated == (1, Fraction(801, 100), 1)


@given(st.decimals(min_value=-(10**6), max_value=10**6, places=9))
def test_decimal_text_is_read_back_as_the_same_number(value: Decimal) -> None:
    assert Decimal(decimal_text(Fraction(value))) == value


def test_decimal_text_of_a_third_ends_and_is_not_cut_below_six_places() -> None:
    assert decimal_text(Fraction(1, 3)) == "0.333333333333"
    assert decimal_text(Fraction(-2, 3), 6) == "-0.666667"
    assert decimal_text(Fraction(0)) == "0"
