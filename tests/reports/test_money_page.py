"""What the page of money says first, and how it shows what is missing and what is guessed."""

from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest

from sixwright.kernel.currency import Money
from sixwright.kernel.intervals import Verdict
from sixwright.kernel.sentences import Sentence
from sixwright.reports.document import Answer, Paragraph, Table
from sixwright.reports.pages.money import page
from sixwright.reports.prompt.text import review_text
from sixwright.reports.wording.words import say, text_of
from sixwright.topics.money.break_even import whole_losses
from sixwright.topics.money.model import BreakEven
from sixwright.workflows.review import review
from topics.builders import TODAY, bolts, part, price, project, sold, usd, way
from topics.money.test_compute import full, with_quote
from topics.money.test_unknowns import two_of_three_known


def shown(line):
    return page(review(line, today=TODAY))


def lead(line):
    (answer,) = [block for block in shown(line).blocks if isinstance(block, Answer)]
    return answer.verdict, [say(s, "en-GB").replace("\N{NO-BREAK SPACE}", " ")
                            for s in answer.sentences]  # fmt: skip


def bill_of(line):
    table = next(b for b in shown(line).blocks if isinstance(b, Table) and "box" in b.name)
    return {row.cells[0].value: _text(row.cells[1].value) for row in table.rows}


def _text(value):
    if value is None:
        return None
    return say(value, "en-GB") if isinstance(value, Sentence) else text_of(value, "en-GB")


def test_where_something_fails_the_lead_names_it_and_praises_nothing():
    line = full()
    line = replace(line, money=replace(line.money, surplus_most=usd(50)))
    verdict, said = lead(with_quote(line, minimum=210))
    assert verdict is Verdict.FAILS
    assert said[0].startswith("One thing fails")
    assert "sells no less than 210" in said[1]
    assert not [sentence for sentence in said if "or more" in sentence]


def test_where_nothing_is_amiss_the_lead_says_that_prices_do():
    verdict, said = lead(full())
    assert verdict is Verdict.HOLDS
    assert "The box sells for what it must, or more." in said


def test_what_is_known_is_shown_as_at_least_and_what_is_left_as_at_most():
    found = bill_of(two_of_three_known())
    assert found["Parts"] == "at least 20.00"
    assert found["Landed"] == "at least 23.00"
    assert found["Freight"] == "3.00"
    assert found["Margin"] == "at most 77.00"
    assert found["Margin, share of the price"] == "at most 77.0\N{NO-BREAK SPACE}%"
    _, said = lead(two_of_three_known())
    assert "Every" not in " ".join(said)
    assert any("at most" in sentence for sentence in said)


def test_what_rests_on_a_guess_is_marked_and_nothing_else():
    guess = Money(Fraction(10), "USD", (Fraction(8), Fraction(12)))
    line = with_quote(bolts(freight_each=usd(3)), replace(price(), unit_price=guess))
    found = bill_of(line)
    marked = {name for name, text in found.items() if text and text.startswith("~")}
    assert marked == {
        "Parts", "Overhead", "Ex-works", "Duty", "Landed", "Margin", "Margin, share of the price",
        "Margin after the fixed share", "Least it must sell for",
    }  # fmt: skip
    parts = next(b for b in shown(line).blocks if isinstance(b, Table) and "each part" in b.name)
    assert [_text(cell.value) for cell in parts.rows[0].cells[5:7]] == ["~10.00", "~2,000.00"]
    assert "~2,000.00" in review_text(review(line, today=TODAY), ("money",), styled=False)


@pytest.mark.parametrize(
    ("start", "end", "said"),
    [
        pytest.param("1151.2", "1151.9", (), id="less than a box"),
        pytest.param("1151", "1152", (), id="between two boxes"),
        pytest.param("1151.5", "1152.5", ((1152, 1152),), id="one box"),
        pytest.param("1151.5", "1160", ((1152, 1159),), id="several"),
        pytest.param("1151", None, ((1152, None),), id="for good"),
    ],
)
def test_a_loss_that_returns_is_told_in_whole_boxes(start, end, said):
    stretch = (Fraction(start), None if end is None else Fraction(end))
    assert whole_losses(BreakEven(Fraction(900), known=True, losses_after=(stretch,))) == said


def test_no_loss_returns_from_a_number_of_boxes_to_the_same():
    line = bolts(development=usd(800))
    paragraphs = [b for b in shown(line).blocks if isinstance(b, Paragraph)]
    words = " ".join(say(s, "en-GB") for block in paragraphs for s in block.sentences)
    assert "A loss returns" not in words


def thirds(count=7):
    """So many parts at a third and more, each with a tool at a third; no cent comes out even."""
    parts = [part(f"p{i}") for i in range(count)]
    return project(
        parts=parts,
        sells=[sold()],
        held={"box": {each.id: 1 for each in parts}},
        orders={"box": 101},
        ways=[way(each.id, tooling=usd(Fraction(100, 3) + i), minimum=103 - i % 2)
              for i, each in enumerate(parts)],
        prices=[price(f"p{i}-way", amount=Fraction(1, 3) + i) for i in range(count)],
        rules=replace(bolts().money, development=usd(Fraction(1000, 3))),
    )  # fmt: skip


def amounts(table, column):
    cells = [(row.kind, row.cells[column]) for row in table.rows]
    found = [(kind, "0" if c.nothing else _text(c.value).replace(",", "")) for kind, c in cells]
    return [(kind, Fraction(text)) for kind, text in found]


def test_each_column_of_money_adds_up_to_its_total_to_the_cent():
    tables = {b.name: b for b in shown(thirds()).blocks if isinstance(b, Table)}
    for column in (6, 7, 8):
        *parts, (_, total) = amounts(tables["What each part costs"], column)
        assert sum(amount for _, amount in parts) == total
    tooling, development, fixed, orders, cash = (
        amount for _, amount in amounts(tables["Fixed costs and cash"], 1)
    )
    assert fixed == tooling + development
    assert cash == fixed + orders


def _boxes(*prices, unknown=(), orders=100):
    """Boxes of one bolt at 10 each, sold at these prices; some hold a nut without a price too."""
    ids = [f"box{i}" for i in range(len(prices))]
    sold_at = {id_: usd(amount) for id_, amount in zip(ids, prices, strict=True)}
    return project(
        parts=[part("bolt"), part("nut")],
        sells=[replace(sold(id_), price=amount) for id_, amount in sold_at.items()],
        held={id_: {"bolt": 1, **({"nut": 1} if id_ in unknown else {})} for id_ in ids},
        orders=dict.fromkeys(ids, orders),
        ways=[way("bolt"), way("nut", tooling=usd(500))],
        prices=[price("bolt-way"), price("nut-way", amount=None)],
        rules=bolts().money,
    )


def test_no_box_is_said_to_keep_the_least_while_another_may_keep_less():
    _, all_known = lead(_boxes(100, 200))
    assert [said for said in all_known if said.startswith("box0 keeps the least of its price: ")]
    _, said = lead(_boxes(100, 200, 5, unknown={"box2"}))
    assert not [each for each in said if each.startswith("box0 keeps the least")]
    assert [
        each
        for each in said
        if each.startswith("Of the 2 boxes that are known in full, box0 keeps the least of its")
    ]
    _, one = lead(_boxes(100, 5, unknown={"box1"}))
    assert [each for each in one if each.startswith("box0 keeps ")]
    assert "the least" not in " ".join(one)


def test_a_margin_after_the_fixed_share_is_not_set_beside_one_before_it():
    line = _boxes(100, 200)
    line = replace(line, money=replace(line.money, development=usd(1_000)))
    open_ = replace(line.sells["box1"], figures=None)
    line = replace(line, sells=line.sells | {"box1": open_})
    line = replace(line, orders=line.orders | {"box1": replace(line.orders["box1"], quantity=0)})
    _, said = lead(line)
    assert [each for each in said if each.startswith("box0 keeps ")]
    assert "the least" not in " ".join(said)


def test_several_boxes_below_what_they_must_are_told_as_several():
    line = _boxes(1, 2, 3, 4, 5)
    line = replace(line, money=replace(line.money, margin_least=Fraction("0.1")))
    _, said = lead(line)
    assert not [each for each in said if "below what it must" in each]
    assert "2 more boxes sell below what they must." in said


def test_no_share_of_what_is_unknown_is_nothing():
    line = two_of_three_known()
    line = replace(line, money=replace(line.money, duty=Fraction(0), overhead=Fraction(0)))
    found = bill_of(line)
    assert (found["Duty"], found["Overhead"]) == ("0.00", "0.00")


def test_each_line_of_a_bill_that_is_known_in_part_is_a_bound():
    line = two_of_three_known()
    rules = replace(line.money, development=usd(1_000), margin_least=Fraction("0.1"))
    sells = {id_: replace(each, assembly_minutes=Fraction(25)) for id_, each in line.sells.items()}
    cups = [replace(each, minutes=None) for each in line.ways.values()]
    line = replace(line, money=rules, sells=sells, ways={each.id: each for each in cups})
    line = replace(line, ways={id_: replace(each, tooling=None) for id_, each in line.ways.items()})
    found = bill_of(line)
    # 1,000 of development on 100 figures; the tools come on top of it.
    assert found["Share of the fixed costs"] == "at least 10.00"
    assert found["Minutes of work"] == "at least 25"
    # 20 of parts, 3 of freight and 10 of the fixed costs, of which a tenth more is to be left.
    assert found["Least it must sell for"] == "at least 36.67"


def test_what_a_line_earns_at_most_is_told_as_it_is_quoted_and_at_best():
    line = _boxes(20, 15, unknown={"box1"})
    past = {id_: replace(each, valid_until=date(2026, 9, 1)) for id_, each in line.ways.items()}
    line = replace(line, ways=past)
    # 100 at 20 - 10, 100 at 15 - 10 and a tool of 500; at best the bolts come at 8: 400 more.
    _, said = lead(line)
    why = [each for each in said if " ran out" in each]
    told = "As it is quoted now, at the orders assumed the line earns at most 1,000 USD (at best "
    assert said[-1].startswith(f"{told}1,400 USD")
    assert len(why) == 1
    cheap = replace(
        line, sells={id_: replace(each, price=usd(6)) for id_, each in line.sells.items()}
    )
    _, said = lead(cheap)
    # 200 at 6 - 10 and the tool; at best at 6 - 8. Why is said of the box that is told first.
    assert " ran out" in said[1]
    assert said[-1] == (
        "As it is quoted now, at the orders assumed the line loses at least 1,300 USD (at best "
        "900 USD)."
    )
