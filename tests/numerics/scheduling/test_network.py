"""Networks against the worked example of the textbook, and against a general graph library."""

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sixwright.kernel.errors import InputError
from sixwright.numerics.durations import ThreePoints
from sixwright.numerics.scheduling.network import Precedence, circle, ordered, resting_on, timings

# The PERT example of the facts page, section 10 (there M-h, recomputed): low, likely, high, after.
WORKED = {
    "a": ((2, 4, 6), ""), "b": ((3, 5, 9), ""), "c": ((4, 5, 7), "a"), "d": ((4, 6, 10), "a"),
    "e": ((4, 5, 7), "b c"), "f": ((3, 4, 8), "d"), "g": ((3, 5, 8), "e"),
}  # fmt: skip
PRINTED_TO = 0.005


def worked():
    links = {
        each: tuple(Precedence(after) for after in of.split()) for each, (_, of) in WORKED.items()
    }
    return links, {each: ThreePoints(*points).mean for each, (points, _) in WORKED.items()}


def test_the_worked_network_ends_after_19_and_a_half_days():
    found = timings(*worked())
    assert max(timing.early_finish for timing in found.values()) == pytest.approx(19.50, abs=1e-9)


def test_the_worked_networks_critical_chain_and_slacks():
    found = timings(*worked())
    assert [each for each, timing in found.items() if timing.critical] == ["a", "c", "e", "g"]
    slack = {each: found[each].slack for each in "bdf"}
    assert slack == pytest.approx({"b": 3.83, "d": 4.67, "f": 4.67}, abs=PRINTED_TO)


def test_the_worked_networks_textbook_variance():
    # The textbook adds ((b - a)/6)² along the chain: 1.6389.
    chain = [((WORKED[each][0][2] - WORKED[each][0][0]) / 6) ** 2 for each in "aceg"]
    assert sum(chain) == pytest.approx(1.6389, abs=0.00005)


def test_lags_and_links_from_start_to_start():
    links = {
        "a": (),
        "b": (Precedence("a", 3),),
        "c": (Precedence("a", 2, from_start=True),),
        "d": (Precedence("b", -4), Precedence("c")),
    }
    found = timings(links, {"a": 10, "b": 5, "c": 6, "d": 1})
    assert {each: timing.early_start for each, timing in found.items()} == {
        "a": 0, "b": 13, "c": 2, "d": 14,
    }  # fmt: skip
    # The end is 18: b may finish then, so start at 13; d follows c and may start at 17.
    assert {each: timing.late_start for each, timing in found.items()} == {
        "a": 0, "b": 13, "c": 11, "d": 17,
    }  # fmt: skip
    assert found["c"].slack == 9


def test_nothing_starts_before_the_network_does():
    found = timings({"a": (), "b": (Precedence("a", -9),)}, {"a": 2, "b": 1})
    assert found["b"].early_start == 0


@st.composite
def networks(draw):
    count = draw(st.integers(1, 9))
    names = [f"t{i}" for i in range(count)]
    links = {
        name: tuple(Precedence(other) for other in names[:i] if draw(st.booleans()))
        for i, name in enumerate(names)
    }
    return links, {name: draw(st.integers(0, 9)) for name in names}


@given(networks())
def test_the_last_finish_is_the_longest_path_of_a_general_graph_library(network):
    links, durations = network
    graph = nx.DiGraph()
    for each, of in links.items():
        graph.add_edge((each, 0), (each, 1), weight=durations[each])
        graph.add_edges_from(((link.after, 1), (each, 0), {"weight": 0}) for link in of)
    found = timings(links, durations)
    longest = nx.dag_longest_path_length(graph)
    assert max(timing.early_finish for timing in found.values()) == longest


@given(networks(), st.integers(0, 8), st.integers(1, 5))
def test_only_a_task_longer_than_its_slack_moves_the_end(network, which, longer):
    links, durations = network
    each = list(links)[which % len(links)]
    before = timings(links, durations)
    after = timings(links, durations | {each: durations[each] + longer})
    ends = [max(timing.early_finish for timing in found.values()) for found in (before, after)]
    assert ends[1] - ends[0] == pytest.approx(max(0, longer - before[each].slack))


def test_of_those_that_may_come_the_least_rank_comes_first_and_then_the_id():
    links = {"c": (), "a": (Precedence("d"),), "b": (), "d": ()}
    assert ordered(links, {"a": 0, "b": 1, "c": 1, "d": 5}) == ("b", "c", "d", "a")


def test_a_circle_is_refused_by_name():
    links = {
        "x": (),
        "a": (Precedence("x"), Precedence("c")),
        "b": (Precedence("a"),),
        "c": (Precedence("b"),),
    }
    with pytest.raises(InputError, match="links must not go in a circle; received b → c → a → b"):
        ordered(links)


def test_a_network_without_a_circle_names_none():
    assert circle({"a": (Precedence("b"),), "b": (Precedence("c"),), "c": ()}) == ()


def test_one_that_waits_for_itself_is_a_circle():
    assert circle({"a": (Precedence("a"),)}) == ("a", "a")


def test_what_rests_on_something_rests_on_it_at_every_remove():
    links = {"a": (), "b": (Precedence("a"),), "c": (Precedence("b"),), "d": ()}
    assert resting_on(links, {"a"}) == {"a", "b", "c"}
