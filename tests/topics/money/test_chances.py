"""What could be saved is told apart, above a stated least, and is no fault."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from sixwright.kernel.intervals import Verdict
from sixwright.reports.wording.words import say
from sixwright.topics.money.chances import chances
from sixwright.topics.money.compute import answer
from sixwright.workflows.review import review
from topics.builders import TODAY, bolts, money_of, part, price, project, sold, usd, way
from topics.money.test_compute import with_quote


def found(line):
    inputs = money_of(line)
    return {chance.id: chance for chance in chances(inputs, answer(inputs))}


@pytest.mark.parametrize(
    ("at", "amount", "saving"),
    [
        pytest.param(210, "9", 110, id="ten more cost less"),
        pytest.param(210, "9.4", 26, id="just above the least"),
        pytest.param(210, "9.5", None, id="5 is not worth a mention"),
        pytest.param(250, "8", None, id="the same"),
        pytest.param(250, "8.1", None, id="more pieces cost more"),
    ],
)
def test_a_cheaper_break_above_is_a_chance_with_its_saving(at, amount, saving):
    chance = found(with_quote(bolts(), price(), price(amount=amount, at=at))).get(
        "money.break:part/bolt"
    )
    assert (chance and chance.saving.value) == saving


def test_the_least_saving_worth_a_mention_is_the_producer_s():
    line = with_quote(bolts(), price(), price(amount="9.5", at=210))
    assert found(line) == {}
    line = replace(line, money=replace(line.money, chance_least=usd(5)))
    assert found(line)["money.break:part/bolt"].saving.value == 5


def test_a_chance_says_what_to_order_and_what_that_saves():
    (chance,) = found(with_quote(bolts(), price(), price(amount=9, at=210))).values()
    assert say(chance.message, "en-GB").replace("\N{NO-BREAK SPACE}", " ") == (
        "bolt: order 210 instead of 200; that saves 110 USD (1,890 USD instead of 2,000 USD)."
    )


def test_below_the_first_break_the_next_can_still_be_cheaper():
    line = with_quote(bolts(), price(at=201), price(amount=5, at=202))
    assert found(line)["money.break:part/bolt"].saving.value == 2000 - 1010


def test_the_best_of_several_breaks_is_named():
    line = with_quote(bolts(), price(), price(amount=9, at=220), price(amount=2, at=300))
    assert found(line)["money.break:part/bolt"].saving.value == 2000 - 600


def test_the_greatest_saving_comes_first():
    line = project(
        parts=[part("bolt"), part("nut")],
        sells=[sold()],
        held={"box": {"bolt": 1, "nut": 1}},
        orders={"box": 100},
        ways=[way("bolt"), way("nut")],
        prices=[
            price("bolt-way", 10),
            price("bolt-way", 8, at=110),
            price("nut-way", 10),
            price("nut-way", 5, at=110),
        ],
    )
    savings = [(id_, chance.saving.value) for id_, chance in found(line).items()]
    assert savings == [("money.break:part/nut", 450), ("money.break:part/bolt", 120)]


def test_a_chance_is_no_finding_and_changes_no_verdict():
    plain = review(bolts(), today=TODAY)
    with_chance = review(with_quote(bolts(), price(), price(amount=9, at=210)), today=TODAY)
    for verdict in (Verdict.FAILS, Verdict.DOUBTFUL, Verdict.UNCHECKED):
        assert with_chance.counts[verdict] == plain.counts[verdict]
    assert [chance.id for chance in with_chance.chances] == ["money.break:part/bolt"]


def test_a_chance_on_a_quote_past_its_date_says_so_and_has_its_interval():
    line = with_quote(bolts(), price(), price(amount=9, at=210), valid_until=date(2026, 9, 1))
    (chance,) = found(line).values()
    assert (chance.saving.low, chance.saving.high) == (110 * Fraction(4, 5), 165)
    assert "ran out" in chance.message.template


def test_what_is_paid_and_saved_add_up_to_the_cost_as_stated():
    # 159.44 now, 104.46 at the break, 54.98 saved: 159, 104 and 55.
    line = with_quote(bolts(), price(amount="0.7972"), price(amount="0.4792", at=218))
    (chance,) = found(line).values()
    cost, whole, saving = (
        round(chance.message.values[name].money.amount) for name in ("cost", "whole", "saving")
    )
    assert cost == whole + saving
