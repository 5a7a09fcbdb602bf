"""What is not certain moves the interval, and the verdict follows it.

The truth is the plain profit of `lines.plain_profit`, or typed by hand from docs/topics/money.md.
"""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sixwright.kernel.currency import Money
from sixwright.kernel.intervals import Verdict
from sixwright.reports.wording.words import say
from sixwright.topics.money.checks import findings
from sixwright.topics.money.compute import answer, even_with_curve
from sixwright.topics.money.line_sums import sheet
from sixwright.topics.money.sensitivities import interval, moved, of_profit, sensitivities
from topics.builders import bolts, by_id, money_of, part, price, project, sold, usd, way
from topics.money.lines import lines, plain_profit
from topics.money.test_compute import full, with_quote

PAST = date(2026, 9, 1)
TO = Fraction(1, 10**9)


def judged(line):
    inputs = money_of(line)
    return by_id(findings(inputs, answer(inputs)))


def words(finding):
    return say(finding.message, "en-GB").replace("\N{NO-BREAK SPACE}", " ")


def past(amount, **rules):
    """100 boxes at 100 USD, two bolts in each at `amount` on a quote that ran out."""
    return with_quote(bolts(**rules), price(amount=amount), valid_until=PAST)


@pytest.mark.parametrize(
    ("amount", "verdict"),
    [
        pytest.param(10, Verdict.HOLDS, id="2 x 15 at most, of 100"),
        pytest.param(33, Verdict.HOLDS, id="2 x 49.5 at most"),
        pytest.param(34, Verdict.DOUBTFUL, id="2 x 51 at most"),
        pytest.param(62, Verdict.DOUBTFUL, id="2 x 49.6 at least"),
        pytest.param(63, Verdict.FAILS, id="2 x 50.4 at least"),
    ],
)
def test_a_quote_past_its_date_is_0_8_to_1_5_of_its_price(amount, verdict):
    found = judged(past(amount))
    assert found["money.margin:sells/box"].verdict is verdict
    measured = found["money.margin:sells/box"].measured
    share = Fraction(2 * amount, 100)
    assert (measured.low, measured.high) == (1 - share * Fraction(3, 2), 1 - share * Fraction(4, 5))
    assert found["money.quote-date:maker/mill"].verdict is Verdict.DOUBTFUL


def test_the_producer_s_own_factors_count():
    own = (Fraction(9, 10), Fraction(11, 10))
    measured = judged(past(50, expired=own))["money.margin:sells/box"].measured
    assert (measured.low, measured.high) == (Fraction(-1, 10), Fraction(1, 10))


def test_a_box_that_loses_at_any_price_fails_with_the_amount_first():
    inputs = money_of(past(70, surplus_most=usd(1)))
    inputs = replace(inputs, ways={"bolt-way": replace(inputs.ways["bolt-way"], minimum=10_000)})
    failing = [f for f in findings(inputs, answer(inputs)) if f.verdict is Verdict.FAILS]
    first = max(failing, key=lambda finding: finding.weight)
    assert first.id == "money.margin:sells/box"


def test_a_sure_loss_is_told_with_its_amount_and_its_best():
    text = words(judged(past(70))["money.margin:sells/box"])
    assert text == (
        "box loses 40.00 USD each, 4,000 USD on 100 boxes, its share of the fixed costs counted. "
        "At best it still loses 12.00 USD, though 1 quote ran out; it is counted at 0.8 to 1.5 "
        "of its price."
    )


def test_a_margin_no_renewed_quote_can_eat_holds_with_the_remark():
    text = words(judged(past(10))["money.margin:sells/box"])
    assert (
        "(from 70.00 USD to 84.00 USD, because 1 quote ran out; it is counted at 0.8 to 1.5 of its "
        "price)" in text
    )


def test_break_even_follows_the_same_interval():
    # 8,000 of development; a box leaves 80, or 70 to 84.
    found = judged(past(10, development=usd(8000)))["money.break-even:line/trial"]
    assert found.measured.value == 100
    assert (found.measured.low, found.measured.high) == (
        pytest.approx(8000 / 84, abs=0.6),
        pytest.approx(8000 / 70, abs=0.6),
    )
    assert found.verdict is Verdict.DOUBTFUL
    assert judged(past(10, development=usd(6900)))[found.id].verdict is Verdict.HOLDS
    assert judged(past(10, development=usd(8500)))[found.id].verdict is Verdict.FAILS


def test_a_line_that_may_never_earn_its_costs_back_has_no_upper_end():
    found = judged(past(40, development=usd(100)))["money.break-even:line/trial"]
    assert found.measured.high == float("inf")
    assert found.verdict is Verdict.DOUBTFUL


def test_money_tied_up_moves_with_the_quote():
    line = with_quote(bolts(), price(), valid_until=PAST, minimum=280)
    found = judged(line)["money.minimum:part/bolt"]
    assert (found.measured.low, found.measured.value, found.measured.high) == (640, 800, 1200)
    assert found.verdict is Verdict.DOUBTFUL
    found = judged(with_quote(bolts(), valid_until=PAST, minimum=250))[found.id]
    assert found.verdict is Verdict.HOLDS
    found = judged(with_quote(bolts(), valid_until=PAST, minimum=330))[found.id]
    assert found.verdict is Verdict.FAILS


def test_a_box_without_the_expired_part_has_no_interval():
    line = full()
    parts = line.parts | {"nut": replace(line.parts["bolt"], id="nut", way="nut-way")}
    line = replace(
        line,
        parts=parts,
        ways=line.ways | {"nut-way": way("nut", valid_until=PAST, maker="caster")},
        prices=(*line.prices, price("nut-way", 1)),
        sells=line.sells | {"other": replace(line.sells["box"], id="other")},
        contents=(*line.contents, replace(line.contents[0], sells="other", part="nut")),
        orders=line.orders | {"other": replace(line.orders["box"], sells="other")},
    )
    found = judged(line)
    other, box = (found[f"money.margin:sells/{id_}"].measured for id_ in ("other", "box"))
    assert other.low < other.high
    assert box.low == box.high


def two_quotes(first, second, **rules):
    """Two parts on quotes that ran out, one of each in a box."""
    return project(
        parts=[part("bolt"), part("nut")],
        sells=[sold()],
        held={"box": {"bolt": 1, "nut": 1}},
        orders={"box": 100},
        ways=[way("bolt", valid_until=PAST), way("nut", valid_until=PAST)],
        prices=[price("bolt-way", first), price("nut-way", second)],
        rules=replace(bolts().money, **rules),
    )


def test_independent_quotes_add_up_as_the_root_of_the_sum_of_squares_each_side_for_itself():
    measured = answer(money_of(two_quotes(30, 40))).sells["box"].margin_interval
    assert measured.value == 30
    assert float(measured.low) == pytest.approx(30 - sqrt(15**2 + 20**2))
    assert float(measured.high) == pytest.approx(30 + sqrt(6**2 + 8**2))


@settings(max_examples=60, deadline=None)
@given(lines(alike=True, pooled=False), st.data())
def test_one_quote_alone_moves_the_profit_as_its_price_does(line, data):
    """The interval's ends are the plain profits with that quote at 0.8 and at 1.5 of its price."""
    id_ = data.draw(st.sampled_from(sorted(line.ways)))
    late = replace(line, ways=line.ways | {id_: replace(line.ways[id_], valid_until=PAST)})
    found = answer(money_of(late)).profit_interval

    def at(factor):
        prices = tuple(
            replace(row, unit_price=Money(row.unit_price.amount * factor, row.unit_price.currency))
            if row.way == id_
            else row
            for row in line.prices
        )
        return plain_profit(replace(line, prices=prices), 1)

    assert abs(found.low - at(Fraction(3, 2))) < TO
    assert abs(found.high - at(Fraction(4, 5))) < TO


@settings(max_examples=60, deadline=None)
@given(lines(alike=True, pooled=False), st.integers(-1, 1).filter(bool))
def test_the_line_at_the_end_of_its_interval_earns_just_that_end(line, side):
    late = {id_: replace(each, valid_until=PAST) for id_, each in line.ways.items()}
    inputs = money_of(replace(line, ways=late))
    stands = sheet(inputs)
    open_ = sensitivities(inputs, stands)
    whole = interval(stands.profit, open_, of_profit(inputs))
    end = sheet(moved(inputs, open_, of_profit(inputs), side=side)).profit
    # Each quote's share of the way is rounded to a millionth.
    wanted = whole.low if side < 0 else whole.high
    assert float(end) == pytest.approx(float(wanted), abs=1e-5 * float(abs(wanted - whole.value)))


def guessed(amount, low, high):
    return Money(Fraction(str(amount)), "USD", (Fraction(str(low)), Fraction(str(high))))


def test_a_guess_is_an_interval_and_is_marked():
    line = with_quote(bolts(), replace(price(), unit_price=guessed(10, "7.5", "12.5")))
    found = judged(line)
    margin = found["money.margin:sells/box"]
    assert (margin.measured.low, margin.measured.high) == (Fraction(3, 4), Fraction(17, 20))
    assert margin.verdict is Verdict.HOLDS
    assert "because 1 amount is guessed" in words(margin)
    known = found["money.price-known:part/bolt"]
    assert known.verdict is Verdict.DOUBTFUL
    assert words(known) == "bolt: 200 pieces are bought for 2,000.00 USD; the price is a guess."
    assert answer(money_of(line)).sells["box"].guesses == ("prices/bolt-way/1/unit_price",)


@pytest.mark.parametrize(
    ("amount", "low", "high", "verdict"),
    [(45, 40, 49, Verdict.HOLDS), (45, 40, 51, Verdict.DOUBTFUL), (60, 51, 70, Verdict.FAILS)],
)
def test_the_verdict_on_a_guess_follows_the_interval(amount, low, high, verdict):
    line = with_quote(bolts(), replace(price(), unit_price=guessed(amount, low, high)))
    assert judged(line)["money.margin:sells/box"].verdict is verdict


def test_a_guess_at_a_break_that_is_not_reached_moves_nothing():
    rows = (price(), replace(price(at=900), unit_price=guessed(9, 8, 10)))
    found = answer(money_of(with_quote(bolts(), *rows)))
    assert found.sells["box"].guesses == ()
    assert found.profit_interval.low == found.profit_interval.high


def test_a_guess_at_the_tooling_moves_the_fixed_share_alone():
    found = answer(money_of(with_quote(bolts(), tooling=guessed(1000, 800, 1200))))
    box = found.sells["box"]
    assert box.margin_interval.low == box.margin_interval.high == 80
    assert (box.after_interval.low, box.after_interval.high) == (68, 72)
    assert (found.profit_interval.low, found.profit_interval.high) == (6800, 7200)


def test_a_guess_at_a_rule_of_the_house_counts():
    line = bolts(freight_each=guessed(4, 3, 5), development=guessed(1000, 500, 1500))
    found = answer(money_of(line))
    assert (found.sells["box"].margin_interval.low, found.sells["box"].margin_interval.high) == (
        75,
        77,
    )
    low = float(found.profit_interval.low)
    assert low == pytest.approx(7600 - 1000 - sqrt(100**2 + 500**2))


def test_the_band_of_the_picture_is_the_profit_with_the_quote_at_its_ends():
    inputs = money_of(past(10, development=usd(8000)))
    drawn = even_with_curve(inputs, answer(inputs).break_even)
    at_orders = {boxes: (low, high) for boxes, low, high in drawn.band}
    far = max(at_orders)
    assert at_orders[far] == (far * 70 - 8000, far * 84 - 8000)
    sure = money_of(bolts(development=usd(8000)))
    assert even_with_curve(sure, answer(sure).break_even).band == ()
