"""Numbers, money and dates by locale, against CLDR's published patterns as written out here.

Expected texts are taken by hand from the Unicode CLDR charts (release 47, “Number patterns” and
“Gregorian”), not from the library that produces them.
"""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.kernel.currency import Money
from sixwright.kernel.sentences import Count, Measure, Name, Names, Sentence, Share, Whole
from sixwright.reports.wording.words import number, plain, say, say_html, text_of, weekday

NB = "\N{NO-BREAK SPACE}"
NARROW = "\N{NARROW NO-BREAK SPACE}"


@pytest.mark.parametrize(
    ("locale", "expected"),
    [
        ("en-GB", "1,234,567.50"),
        ("en-US", "1,234,567.50"),
        ("de-DE", "1.234.567,50"),
        ("fr-FR", f"1{NARROW}234{NARROW}567,50"),
        ("de-CH", "1’234’567.50"),
        ("en-IN", "12,34,567.50"),
        ("nowhere", "1,234,567.50"),
    ],
)
def test_a_number_is_grouped_as_its_locale_groups(locale, expected):
    assert number(Fraction("1234567.5"), locale, digits=2) == expected


@pytest.mark.parametrize(
    ("locale", "expected"),
    [
        ("en-GB", "14 September 2026"),
        ("en-US", "September 14, 2026"),
        ("de-DE", "14. September 2026"),
        ("fr-FR", "14 septembre 2026"),
    ],
)
def test_a_date_has_its_month_in_letters(locale, expected):
    assert text_of(date(2026, 9, 14), locale) == expected


def test_home_is_headed_by_the_weekday():
    assert weekday(date(2026, 9, 14), "en-GB") == "Monday, 14 September"
    assert weekday(date(2026, 9, 14), "en-US") == "Monday, September 14"


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        (Money(Fraction("4455"), "USD"), f"4,455.00{NB}USD"),
        (Money(Fraction("-0.005"), "USD"), f"0.00{NB}USD"),
        (Money(Fraction("-0.015"), "USD"), f"−0.02{NB}USD"),
        (Money(Fraction("1234.5"), "JPY"), f"1,234{NB}JPY"),
        (Money(Fraction("1.2345"), "KWD"), f"1.234{NB}KWD"),
        (Whole(Money(Fraction("4454.51"), "USD")), f"4,455{NB}USD"),
        (Whole(Money(Fraction("-17600"), "USD")), f"−17,600{NB}USD"),
        (Share(Fraction("0.031")), f"3.1{NB}%"),
        (Share(0.145, 0), f"14{NB}%"),
        (Measure(8.35, "mm", 2), f"8.35{NB}mm"),
        (Measure(12, "°", 0), "12°"),
        (Count(1, "box", "boxes"), "1 box"),
        (Count(0, "box", "boxes"), "0 boxes"),
        (Count(1540), "1,540"),
        (Names(("A", "B", "C")), "A, B and C"),
        (Names(("A",)), "A"),
        (Names(("Head, calm", "Net")), "Head, calm; and Net"),
        (Names(("Head, calm", "Head, shouting", "Net")), "Head, calm; Head, shouting; and Net"),
        (Names(("1,240", "B")), "1,240 and B"),
        (Fraction(1, 3), "0.33"),
        (Fraction(5, 2), "2.5"),
    ],
)
def test_a_value_is_worded(value, expected):
    assert text_of(value, "en-GB") == expected


def test_a_value_of_no_known_type_is_refused():
    with pytest.raises(TypeError, match="received"):
        text_of(object(), "en-GB")


def test_names_are_bold_and_escaped_in_html():
    sentence = Sentence(
        "{a} & {b}: {n}", {"a": Name("<Cape>"), "b": Names(("x", "y")), "n": Count(2)}
    )
    assert say_html(sentence, "en-GB") == "<b>&lt;Cape&gt;</b> &amp; <b>x</b> and <b>y</b>: 2"
    assert say(sentence, "en-GB") == "<Cape> & x and y: 2"


@given(st.fractions(min_value=-(10**9), max_value=10**9), st.integers(0, 4))
def test_a_shown_number_is_within_half_a_unit_of_its_last_digit(value, digits):
    shown = number(value, "en-GB", digits=digits).replace(",", "").replace("−", "-")
    assert abs(Fraction(shown) - value) <= Fraction(1, 2 * 10**digits)


@given(st.fractions(max_denominator=99))
def test_a_plain_number_has_no_idle_zeros(value):
    _, point, digits = plain(value, "en-GB").partition(".")
    assert not point or len(digits) == 2 or not digits.endswith("0")
