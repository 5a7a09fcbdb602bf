"""What sentences of money say is missing, counted and needed: each number by hand."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

from sixwright.kernel.currency import Money
from sixwright.line.making import PriceBreak, Rate
from sixwright.project.tables import BY_NAME
from sixwright.reports.wording.words import say
from sixwright.topics.money import said
from sixwright.topics.money.checks import findings
from sixwright.topics.money.compute import answer
from topics.builders import bolts, by_id, money_of, part, price, project, sold, usd, way
from topics.money.test_compute import full, with_quote

PAST = date(2026, 9, 1)


def told(line, id_):
    inputs = money_of(line)
    found = by_id(findings(inputs, answer(inputs)))
    return say(found[id_].message, "en-GB").replace("\N{NO-BREAK SPACE}", " ")


def in_yuan(rate=None):
    quoted = PriceBreak("bolt-way", 1, Money(Fraction(10), "CNY"))
    line = with_quote(bolts(), quoted, currency="CNY")
    return replace(line, rates={} if rate is None else {"CNY": Rate("CNY", rate)})


def test_where_a_rate_alone_is_missing_the_rate_is_named_and_no_price():
    assert told(in_yuan(), "money.price-known:part/bolt") == (
        "What bolt costs in USD is not known yet: the rate of CNY is missing."
    )
    assert "is missing" not in told(in_yuan(Fraction(5)), "money.price-known:part/bolt")


def test_what_else_is_missing_is_named_beside_the_price():
    line = with_quote(bolts(spares=None), price(amount=None))
    assert told(line, "money.price-known:part/bolt") == (
        "What bolt costs is not known yet; 1 price missing: bolt; 1 rule of the house missing: "
        "spares."
    )


def test_the_pieces_needed_are_said_to_be_with_spares_where_there_are_spares():
    least = with_quote(bolts(spares=Fraction("0.03")), minimum=300)
    assert told(least, "money.minimum:part/bolt").startswith(
        "bolt: mill sells no less than 300 and you need 206 with spares, so 940 USD would sit"
    )
    enough = with_quote(bolts(spares=Fraction("0.03")), minimum=200)
    assert told(enough, "money.minimum:part/bolt") == (
        "bolt: you need 206 with spares, no fewer than the minimum of 200."
    )
    assert "spares" not in told(with_quote(bolts(), minimum=200), "money.minimum:part/bolt")


def two_old():
    return project(
        parts=[part("bolt"), part("nut")],
        sells=[sold()],
        held={"box": {"bolt": 1, "nut": 1}},
        orders={"box": 100},
        ways=[way(each, valid_until=PAST, maker="Arden") for each in ("bolt", "nut")],
        prices=[price(f"{each}-way") for each in ("bolt", "nut")],
        rules=bolts().money,
    )


def test_several_quotes_past_their_date_are_said_to_be_counted_each_for_itself():
    # 10 + 10 a box, each renewed at 0.8 to 1.5: √(2² + 2²) up, √(5² + 5²) down about 80.
    span = (
        "(from 72.93 USD to 82.83 USD, because 2 quotes ran out; each is counted for itself, "
        "at 0.8 to 1.5 of its price)"
    )
    assert span in told(two_old(), "money.margin:sells/box")
    other = replace(two_old(), money=replace(two_old().money, expired=(Fraction(1), Fraction(2))))
    assert "at 1 to 2 of its price" in told(other, "money.margin:sells/box")


def test_break_even_is_said_to_count_on_old_quotes_only_where_it_can_be_said():
    assert told(two_old(), "money.quote-date:maker/Arden").endswith(
        "; box counts on them, and so does break-even."
    )
    open_ = replace(two_old(), money=replace(two_old().money, development=None))
    assert told(open_, "money.quote-date:maker/Arden").endswith("; box counts on them.")


def test_a_sentence_states_what_the_table_states_while_something_is_missing():
    whole = with_quote(full(), valid_until=PAST)
    line = replace(whole, sells={"box": replace(whole.sells["box"], box_mm=None)})
    inputs = money_of(line)
    box = answer(inputs).sells["box"]
    assert box.margin_most < box.margin_interval.high
    stated = f"{float(box.at_least.landed):.2f} USD"
    assert told(line, "money.margin:sells/box").startswith(
        f"As it is quoted now, box costs at least {stated} and so leaves at most "
        f"{float(box.margin_most):.2f} USD of 100.00 USD (at best "
        f"{float(box.margin_interval.high):.2f} USD, because 1 quote ran out"
    )


def without_tooling(amount, **quote):
    """The bolt's box at 100, its fixed costs known but for the tool: 80 leaves 20 before them."""
    return with_quote(bolts(development=usd(9_000)), price(amount=amount), tooling=None, **quote)


def test_a_margin_is_told_with_the_most_that_fixed_costs_leave_of_it():
    # 100 less 2 bolts at 4 is 92; 9,000 of development on 100 figures is 90 a box.
    assert told(without_tooling(4), "money.margin:sells/box") == (
        "box leaves 92.00 USD of 100.00 USD, and at most 2.00 USD after its share of the fixed "
        "costs; 1 tooling cost missing: bolt."
    )
    old = told(without_tooling(4, valid_until=PAST), "money.margin:sells/box")
    # At 0.8 of their price two bolts cost 6.40, so that 3.60 are left.
    assert old.startswith("As it is quoted now, box leaves 92.00 USD")
    assert "at most 2.00 USD after its share of the fixed costs (at best 3.60 USD, because" in old


def test_a_sure_loss_with_a_cost_missing_is_told_as_the_table_has_it():
    # 100 less 2 bolts at 20 is 60, less 90 is -30; at 0.8 of their price -22.
    assert told(without_tooling(20, valid_until=PAST), "money.margin:sells/box") == (
        "As it is quoted now, box loses at least 30.00 USD each, 3,000 USD on 100 boxes, its "
        "share of the fixed costs counted; 1 tooling cost missing: bolt. At best it still loses "
        "22.00 USD, though 1 quote ran out; it is counted at 0.8 to 1.5 of its price."
    )


def test_of_many_sorts_of_missing_values_three_are_named_and_the_rest_counted():
    line = with_quote(bolts(spares=None, overhead=None, duty=None), price(amount=None),
                      minutes=None, minimum=None)  # fmt: skip
    line = replace(line, orders={}, sells={"box": replace(line.sells["box"], price=usd(100))})
    text = told(line, "money.margin:sells/box")
    assert text.count(" missing: ") == said.SORTS
    assert text.endswith(" missing too.")


def test_rules_of_the_house_are_named_as_their_table_names_them():
    labels = {column.name: column.label.lower() for column in BY_NAME["line"].columns}
    for key, name in said._RULES.items():
        assert labels[key].startswith(name)
