"""Many rows at once: to one value, or by one factor, in exact numbers."""

from dataclasses import replace
from decimal import ROUND_FLOOR, ROUND_HALF_UP, Decimal

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from architecture.reading import ROOT
from sixwright.kernel.errors import ChangeError, InputError, QuantityError
from sixwright.project.apply import apply
from sixwright.project.many import MOST_AT_ONCE, makers_of, scale_many, set_many
from sixwright.project.records import Change
from sixwright.project.scaled import factor_of, scaled
from sixwright.storage.folder import read


@pytest.fixture(scope="module")
def line():
    return read(ROOT / "examples/sluice-keeper").project


def text_of(text, factor, *, whole=False, comma=False):
    times = factor_of(factor, comma=comma)
    return scaled(text, times, whole=whole, comma=comma).text


counts = st.integers(0, 10**9)
factors = st.decimals("0.001", "1000", places=3)


@given(counts, factors)
@example(5, Decimal("0.5"))
@example(150, Decimal("0.07"))
@example(45, Decimal("0.7"))
def test_a_whole_number_stays_whole_and_a_half_goes_up(count, factor):
    """Python's decimal module rounds half up by itself: the outside authority."""
    expected = (Decimal(count) * factor).to_integral_value(ROUND_HALF_UP)
    assert text_of(str(count), str(factor), whole=True) == str(expected)


@given(st.decimals("-100000", "100000", places=5), factors)
def test_other_numbers_keep_six_places_and_a_half_goes_up(value, factor):
    product = value * factor
    expected = (product * 10**6 + Decimal("0.5")).to_integral_value(ROUND_FLOOR) / 10**6
    if product and not expected:
        with pytest.raises(QuantityError):
            text_of(str(value), str(factor))
        return
    assert Decimal(text_of(str(value), str(factor))) == expected


@pytest.mark.parametrize(
    ("text", "factor", "expected"),
    [
        ("289 USD", "0.93", "268.77 USD"),
        ("0.1", "3", "0.3"),  # a float makes it 0.30000000000000004
        ("~3.50 USD", "2", "~7 USD"),
        ("3 to 4 USD", "1.5", "4.5 to 6 USD"),
        ("84 CNY/h", "110 %", "92.4 CNY/h"),
        ("11 1/2 in", "2", "23 in"),
        ("8 %", "0.5", "4 %"),
        ("\N{MINUS SIGN}2.5", "2", "-5"),
        ("1", "1/3", "0.333333"),
    ],
)
def test_a_number_keeps_its_unit_and_a_guess_both_its_ends(text, factor, expected):
    assert text_of(text, factor) == expected


def test_a_decimal_comma_is_read_and_written_where_the_line_has_one():
    assert text_of("1,5 EUR", "0,7", comma=True) == "1,05 EUR"


@pytest.mark.parametrize("factor", ["0", "-1", "half", "", "0,7", "1e99", "7 USD"])
def test_what_is_no_factor_is_refused(factor):
    with pytest.raises(QuantityError):
        factor_of(factor, comma=False)


def test_the_minimum_of_all_of_a_maker(line):
    """FB has the quotes of the cloth; what they are is read from the file by eye."""
    ids = makers_of(line.records, "ways")["FB"]
    made = set_many(line, ("ways", "minimum"), ids, "800")
    after = apply(line, made.changes)
    assert {after.ways[id_].minimum for id_ in ids} == {800}
    others = set(line.ways) - set(ids)
    assert {id_: after.ways[id_] for id_ in others} == {id_: line.ways[id_] for id_ in others}
    assert {"suit-m-fb", "cape-wool"} <= set(ids)


def test_the_prices_of_a_maker_are_those_of_its_quotes(line):
    of = makers_of(line.records, "prices")
    assert {line.ways[id_.split("/")[0]].maker for id_ in of["MC"]} == {"MC"}
    assert sum(map(len, of.values())) == len(line.prices)


def test_orders_by_a_factor(line):
    """By hand: 180, 150, 140, 160 and 70 by 0.7 are 126, 105, 98, 112 and 49."""
    made = scale_many(line, ("orders", "quantity"), tuple(line.records["orders"]), "0.7")
    assert [change.value for change in made.changes] == ["126", "105", "98", "112", "49"]
    assert made.rounded == 0
    rounded = scale_many(line, ("orders", "quantity"), tuple(line.records["orders"]), "0.75")
    assert [change.value for change in rounded.changes] == ["135", "113", "105", "120", "53"]
    assert rounded.rounded == 2


def test_a_bare_number_keeps_the_currency(line):
    ids = tuple(line.records["editions"])
    made = set_many(line, ("editions", "price"), ids, "300")
    assert {change.value for change in made.changes} == {"300 USD"}


def test_what_is_unknown_stays_so_and_is_counted(line):
    unknown = [Change("ways", id_, "minimum", None, "") for id_ in ("cape-wool", "peg-fa")]
    tried = apply(line, [*unknown, Change("ways", "boot-fa", "minimum", None, "0")])
    made = scale_many(tried, ("ways", "minimum"), tuple(tried.ways), "2")
    assert (made.unknown, made.same) == (2, 1)
    assert len(made.changes) == len(line.ways) - 3
    after = apply(tried, made.changes)
    assert [after.ways[id_].minimum for id_ in ("cape-wool", "peg-fa", "boot-fa")] == [
        None,
        None,
        0,
    ]


@pytest.mark.parametrize(
    ("at", "ids", "words"),
    [
        (("orders", "quantity"), (), "Tick the rows"),
        (("orders", "quantity"), ("nothing",), "a row that is there"),
        (("orders", "sells"), ("muster-watch",), "a column that can be changed"),
        (("ways", "id"), ("cape-wool",), "a column that can be changed"),
        (("prices", "from_quantity"), ("cape-wool/600",), "a column that can be changed"),
        (("nowhere", "quantity"), ("x",), "a table of a line"),
        (("line", "currency"), ("line",), "a column that can be changed"),
    ],
    ids=str,
)  # fmt: skip
def test_what_cannot_be_changed_at_once_is_refused(line, at, ids, words):
    for change in (set_many, scale_many):
        with pytest.raises((InputError, ChangeError)) as refused:
            change(line, at, ids, "1")
        told = str(refused.value) + str(getattr(refused.value, "problems", ""))
        assert words in told


def test_words_have_no_factor(line):
    with pytest.raises(InputError, match="holds no numbers"):
        scale_many(line, ("ways", "process"), ("cape-wool",), "2")


def test_what_is_so_already_is_no_change(line):
    with pytest.raises(InputError, match="already"):
        set_many(line, ("ways", "maker"), makers_of(line.records, "ways")["FB"], "FB")
    with pytest.raises(InputError, match="would change"):
        scale_many(line, ("orders", "quantity"), tuple(line.records["orders"]), "1")


def test_more_rows_than_are_changed_at_once_are_said(line):
    ids = tuple(line.records["parts"])
    many = {f"x-{at}": line.records["parts"][ids[0]] for at in range(MOST_AT_ONCE + 1)}
    crowded = replace(line, records={**line.records, "parts": many})
    with pytest.raises(InputError, match=f"At most 500 rows .* you picked {MOST_AT_ONCE + 1}"):
        set_many(crowded, ("parts", "note"), tuple(many), "x")
