"""What is in each box, counted."""

from itertools import permutations

from sixwright.topics.lineup.model import as_json
from topics.builders import lineup_of, part, project, sold


def two_boxes(**rest):
    return project(
        parts=[part("head"), part("cape"), part("spare")],
        sells=[
            sold("small", figures=1),
            sold("large", figures=1),
            sold("pair", is_set=True, editions=("small", "large"), figures=2),
        ],
        held=rest.pop("held", {"small": {"head": 1}, "large": {"head": 2, "cape": 1}}),
        orders=rest.pop("orders", {"small": 10, "large": 20, "pair": 5}),
    )


def test_a_set_without_rows_holds_the_sum_of_its_editions():
    _, answer = lineup_of(two_boxes())
    assert answer.contents["pair"] == {"head": 3, "cape": 1}
    assert answer.summed == {"pair"}


def test_a_set_with_rows_of_its_own_holds_those():
    held = {"small": {"head": 1}, "large": {"head": 2, "cape": 1}, "pair": {"head": 2}}
    _, answer = lineup_of(two_boxes(held=held))
    assert answer.contents["pair"] == {"head": 2}
    assert answer.summed == frozenset()


def test_totals_are_pieces_times_orders():
    _, answer = lineup_of(two_boxes())
    assert answer.totals == {"head": 10 + 40 + 15, "cape": 20 + 5, "spare": 0}
    assert (answer.boxes, answer.figures) == (35, 40)


def test_what_is_unknown_stays_unknown_and_nothing_else_does():
    held = {"small": {"head": None}, "large": {"cape": 1}}
    _, answer = lineup_of(two_boxes(held=held))
    assert answer.totals == {"head": None, "cape": 25, "spare": 0}
    _, answer = lineup_of(two_boxes(orders={"small": 10, "large": None}))
    assert answer.totals == {"head": None, "cape": None, "spare": 0}
    assert (answer.boxes, answer.figures) == (None, None)


def test_nothing_of_an_unknown_count_is_nothing():
    held = {"small": {"head": None}, "large": {"cape": 1}, "pair": {"cape": 1}}
    _, answer = lineup_of(two_boxes(held=held, orders={"small": 0, "large": 1, "pair": 0}))
    assert answer.totals["head"] == 0


def test_shared_parts_are_those_that_both_boxes_hold():
    _, answer = lineup_of(two_boxes())
    assert answer.shared["small", "large"] == ("head",)
    assert answer.shared["large", "pair"] == ("head", "cape")
    assert answer.holders == {"head": ("small", "large", "pair"), "cape": ("large", "pair"),
                              "spare": ()}  # fmt: skip


def test_zero_pieces_are_not_held():
    held = {"small": {"head": 0}, "large": {"head": 1}}
    _, answer = lineup_of(two_boxes(held=held))
    assert answer.holders["head"] == ("large", "pair")


def test_the_order_of_rows_changes_no_count():
    rows = [("small", {"head": 1}), ("large", {"cape": 1, "head": 2}), ("pair", {"cape": 7})]
    answers = [as_json(lineup_of(two_boxes(held=dict(order)))[1]) for order in permutations(rows)]
    assert all(answer == answers[0] for answer in answers)


def test_the_json_is_plain_counts():
    _, answer = lineup_of(two_boxes(orders={"small": 10}))
    assert as_json(answer)["totals"] == {"head": None, "cape": None, "spare": 0}
    assert as_json(answer)["contents"]["small"] == {"head": 1}
