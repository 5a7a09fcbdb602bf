"""A stated bill adds up to the cent, whatever its exact amounts are."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.topics.money.bill import STATED, bill
from sixwright.topics.money.model import BoxMoney

ADD_UP = (
    (("parts", "labour", "overhead"), "unit_cost"),
    (("unit_cost", "duty", "freight", "fees", "reserve"), "landed"),
    (("landed", "margin"), "price"),
    (("fixed_share", "margin_after_fixed_share"), "margin"),
)
amounts = st.fractions(min_value=0, max_value=500, max_denominator=997)


def box(spent, price, fixed) -> BoxMoney:
    parts, labour, overhead, duty, freight, fees, reserve = spent
    landed = sum(spent)
    return BoxMoney(
        parts=parts, minutes=Fraction(1), labour=labour, overhead=overhead,
        unit_cost=parts + labour + overhead, duty=duty, freight=freight, fees=fees,
        reserve=reserve, landed=landed, price=price, margin=price - landed,
        margin_share=None, fixed_share=fixed, margin_after_fixed_share=price - landed - fixed,
        least_price=landed + fixed,
    )  # fmt: skip


@pytest.mark.parametrize("places", [0, 2, 3])
@given(
    spent=st.lists(amounts, min_size=7, max_size=7),
    cents=st.integers(0, 10**6),
    fixed=amounts,
)
def test_stated_lines_add_up_and_stay_near_the_exact_ones(places, spent, cents, fixed):
    unit = 10**places
    exact = box(spent, Fraction(cents, unit), fixed)
    lines = bill(exact, places=places)
    for parts, whole in ADD_UP:
        assert sum(lines[part] for part in parts) == lines[whole]
    for name in STATED:
        assert (lines[name] * unit).denominator == 1
        assert abs(lines[name] - getattr(exact, name)) <= Fraction(4, unit)
    for name in ("landed", "margin", "fixed_share"):
        assert abs(lines[name] - getattr(exact, name)) <= Fraction(1, 2 * unit)
    largest = max(spent)
    for name in ("parts", "labour", "overhead", "duty", "freight", "fees", "reserve"):
        if getattr(exact, name) < largest:
            assert lines[name] * unit == round(getattr(exact, name) * unit)


@given(
    freight=amounts,
    others=st.lists(st.lists(st.fractions(501, 900, max_denominator=997), min_size=6, max_size=6),
                    min_size=2, max_size=2),
)  # fmt: skip
def test_two_boxes_of_one_size_state_one_freight_and_one_fixed_share(freight, others):
    bills = [
        bill(box([*six[:4], freight, *six[4:]], Fraction(9000), Fraction(1000, 3)), places=2)
        for six in others
    ]
    assert bills[0]["freight"] == bills[1]["freight"]
    assert bills[0]["fixed_share"] == bills[1]["fixed_share"]


def test_three_thirds_are_one():
    """1/3 stated to the cent is 0.33; three of them must still be 1.00."""
    lines = bill(box([Fraction(1, 3)] * 3 + [Fraction(0)] * 4, Fraction(2), Fraction(0)), places=2)
    assert [lines[name] for name in ("parts", "labour", "overhead")] == [
        Fraction(34, 100), Fraction(33, 100), Fraction(33, 100),
    ]  # fmt: skip
    assert lines["unit_cost"] == lines["landed"] == lines["margin"] == 1


def test_what_is_unknown_stays_unknown():
    known = box([Fraction(1)] * 7, Fraction(9), Fraction(1))
    unknown = BoxMoney(
        **{
            name: None
            if name in {"parts", "unit_cost", "landed", "margin"}
            else getattr(known, name)
            for name in BoxMoney.__slots__
        }
    )
    lines = bill(unknown, places=2)
    assert {name for name in STATED if lines[name] is None} == {
        "parts", "unit_cost", "landed", "margin",
    }  # fmt: skip
