"""Money against worked examples from outside the project.

Break-even F ÷ (P − V): 18,000 ÷ (150 − 90) = 300, the textbook formula of cost accounting, here
as a worked figure (computed). Fee gross-up: to net 200 after 2.9 % and 0.30, charge 206.28.
Bundling: W. J. Adams and J. L. Yellen, “Commodity bundling and the burden of monopoly”, Quarterly
Journal of Economics 90 (1976), 475-498; the buyers and costs are an example in that paper's
manner, recomputed (they are not copied from a table of it).
"""

from dataclasses import replace
from fractions import Fraction

import pytest

from sixwright.topics.money.compute import answer
from topics.builders import bolts, money_of, part, price, project, sold, usd, way

PRINTED_TO = Fraction(5, 1000)


@pytest.mark.parametrize(
    ("fixed", "charged", "variable", "boxes"), [pytest.param(18_000, 150, 90, 300, id="18,000")]
)
def test_break_even_is_fixed_cost_over_what_a_box_leaves(fixed, charged, variable, boxes):
    line = project(
        parts=[part()],
        sells=[sold(amount=charged)],
        held={"box": {"bolt": 1}},
        orders={"box": 100},
        ways=[way(tooling=usd(fixed))],
        prices=[price(amount=variable)],
    )
    assert answer(money_of(line)).break_even.quantity == boxes


def fees_at(charged):
    line = bolts(fee_share=Fraction("0.029"), fee_each=usd("0.30"))
    line = replace(line, sells={"box": sold(amount=charged)})
    return answer(money_of(line)).sells["box"]


def test_two_hundred_less_fees_is_193_90():
    assert 200 - fees_at(200).fees == Fraction("193.90")


def test_the_price_that_nets_two_hundred_is_206_28():
    line = bolts(fee_share=Fraction("0.029"), fee_each=usd("0.30"))
    line = replace(line, prices=(price(amount=100),))  # two bolts: 200
    least = answer(money_of(line)).sells["box"].least_price
    assert abs(least - Fraction("206.28")) <= PRINTED_TO
    assert abs(least - fees_at(least).fees - 200) == 0


# Two buyers; each pays at most so much for the figure and for the base.
VALUES = ((180, 40), (150, 70))
COSTS = (100, 20)


def earns(sells, held, orders):
    """Profit of a line of figures and bases at these prices and orders."""
    line = project(
        parts=[part("figure"), part("base")],
        sells=[sold(name, amount) for name, amount in sells.items()],
        held=held,
        orders=orders,
        ways=[way("figure"), way("base")],
        prices=[price("figure-way", COSTS[0]), price("base-way", COSTS[1])],
    )
    return answer(money_of(line)).profit


def test_sold_apart_the_best_profit_is_150():
    best = [
        max(
            earns({name: ask}, {name: {name: 1}}, {name: sum(v[i] >= ask for v in VALUES)})
            for ask in {v[i] for v in VALUES}
        )
        for i, name in enumerate(("figure", "base"))
    ]
    assert best == [100, 50]


def test_as_a_bundle_at_220_the_profit_is_200():
    takers = sum(sum(values) >= 220 for values in VALUES)
    both = {"both": {"figure": 1, "base": 1}}
    assert earns({"both": 220}, both, {"both": takers}) == 200
