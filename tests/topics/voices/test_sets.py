"""Which options together reach most voters, as the definition orders them."""

import pytest

from sixwright.topics.voices.sets_model import NoSets
from topics.voices.builders import ask, options, poll, votes

# facts.md, section 9: who likes what, of ten.
FANS = {"a": {1, 2, 3, 4, 5}, "b": {1, 2, 3, 4, 6}, "c": {7, 8, 9}, "d": {5, 6, 10}}
TEN = {f"v{i}": {o: 1 for o, fans in FANS.items() if i in fans} for i in range(1, 11)}


def found(said, size):
    return [(s.options, s.reach, s.frequency) for s in said.sets if s.size == size]


def test_the_worked_example():
    said = ask(poll(seats=3), options(*"abcd"), votes(TEN))
    assert found(said, 2)[0] == (("a", "c"), 8, 8)
    assert (("a", "b"), 6, 10) in found(said, 2)
    assert found(said, 3)[0] == (("a", "c", "d"), 10, 11)
    assert [s.reach for s in said.sets if s.size == 1] == [5, 5, 3, 3]


def test_seats_are_three_where_nothing_is_said():
    assert {s.size for s in ask(poll(), options(*"abcd"), votes(TEN)).sets} == {1, 2, 3}


def test_what_must_be_in_is_in_every_set():
    said = ask(poll(), options(*"abcd", musts="d"), votes(TEN))
    assert all("d" in s.options for s in said.sets)
    assert found(said, 2)[0][1:] == (7, 8)
    two = ask(poll(), options(*"abcd", musts="cd"), votes(TEN))
    assert {s.size for s in two.sets} == {2, 3}


@pytest.mark.parametrize(
    ("kind", "answer", "likes"),
    [("choice", 1, True), ("approve", 1, True), ("approve", 0, False), ("rank", 1, True),
     ("rank", 2, False), ("rate", 5, True), ("rate", 4, True), ("rate", 3, False)],
)  # fmt: skip
def test_what_counts_as_liking(kind, answer, likes):
    said = ask(poll(kind, least=1, most=5, seats=1), options("a"), votes({"ann": {"a": answer}}))
    assert said.sets[0].reach == int(likes)


def test_a_set_with_a_divided_option_is_marked_and_the_best_without_is_there():
    """Twelve options that half love and half hate, and two that few like: ten sets are divided."""
    torn = [f"t{i:02d}" for i in range(12)]
    told = {f"v{i}": {o: 5 if (i + k) % 2 else 1 for k, o in enumerate(torn)} for i in range(40)}
    for i, answers in enumerate(told.values()):
        answers |= {"calm": 4 if i < 4 else 3, "mild": 4 if i < 3 else 3}
    said = ask(poll("rate", least=1, most=5, seats=2), options(*torn, "calm", "mild"), votes(told))
    pairs = [s for s in said.sets if s.size == 2]
    assert len(pairs) == 11
    assert [s.agreed for s in pairs] == [False] * 10 + [True]
    assert (pairs[-1].options, pairs[-1].reach) == (("calm", "mild"), 4)


def test_one_divided_option_is_enough_to_divide_a_set():
    told = {f"v{i}": {"torn": i % 2, "calm": int(i < 36)} for i in range(40)}
    said = ask(poll(seats=2), options("torn", "calm"), votes(told))
    agreed = {s.options: s.agreed for s in said.sets}
    assert agreed == {("calm",): True, ("torn",): False, ("calm", "torn"): False}


def test_equals_are_ordered_by_frequency_then_by_name():
    told = {"ann": {"b": 1, "a": 1, "c": 1}, "bob": {"c": 1}}
    said = ask(poll(seats=1), options("c", "b", "a"), votes(told))
    assert [s.options for s in said.sets] == [("c",), ("a",), ("b",)]


def test_more_sets_than_anybody_would_wait_for_are_not_computed_and_it_says_so():
    many = [f"o{i}" for i in range(60)]
    said = ask(poll(seats=12), options(*many), votes({"ann": dict.fromkeys(many, 1)}))
    assert said.no_sets is NoSets.MANY
    assert said.sets
