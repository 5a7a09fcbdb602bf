"""From where one way overtakes another, held against a walk over every single box."""

from fractions import Fraction
from math import ceil

from hypothesis import given, settings
from hypothesis import strategies as st

from workflows.open_lines import bolt_and_nut, compared

quotes = st.lists(
    st.tuples(st.integers(1, 90), st.integers(1, 12)), min_size=1, max_size=3,
    unique_by=lambda row: row[0],
)  # fmt: skip
BOXES = 100


def cost(quote, tooling, minimum, k):
    """By the definition alone: whole pieces, the minimum, the break at or below the order."""
    order = max(ceil(BOXES * k), minimum)
    reached = [price for at, price in sorted(quote) if at <= order]
    return order * (reached[-1] if reached else min(quote)[1]) + tooling


def as_rows(way, quote):
    return [{"way": way, "from_quantity": str(at), "unit_price": str(price)} for at, price in quote]


@settings(max_examples=60, deadline=None)
@given(quotes, quotes, st.integers(0, 300), st.integers(0, 120), st.data())
def test_a_way_is_ahead_just_where_it_earns_more(steel, brass, tooling, minimum, data):
    ways = [
        {"id": "steel", "part": "bolt"}, {"id": "hex", "part": "nut"},
        {"id": "wing", "part": "nut"},
        {"id": "brass", "part": "bolt", "tooling": str(tooling), "minimum": str(minimum)},
    ]  # fmt: skip
    prices = [*as_rows("steel", steel), *as_rows("brass", brass),
              *as_rows("hex", [(1, 1)]), *as_rows("wing", [(1, 1)])]  # fmt: skip
    project = bolt_and_nut(ways=ways, prices=prices)
    lead = compared(project).weighed["bolt"][1].lead
    assert lead.known
    k = data.draw(st.fractions(Fraction(1, 200), 3, max_denominator=400))
    gain = cost(steel, 0, 0, k) - cost(brass, tooling, minimum, k)
    boxes = k * BOXES
    inside = any(start < boxes and (end is None or boxes < end) for start, end in lead.ahead)
    on_edge = any(boxes in stretch for stretch in lead.ahead)
    assert on_edge or inside == (gain > 0)
    for at, height in lead.curve[:1]:
        assert at == 0
        assert height == cost(steel, 0, 0, Fraction(1, 10**9)) - cost(
            brass, tooling, minimum, Fraction(1, 10**9)
        )
