"""Best subsets by reach, against the worked example and a search that shares no code."""

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from sixwright.kernel.errors import InputError
from sixwright.numerics.reach import MOST_SUBSETS, best_subsets, subsets_to_try

# facts.md, section 9: A liked by 1 to 5, B by 1 to 4 and 6, C by 7, 8 and 9, D by 5, 6 and 10.
WORKED = {"A": {1, 2, 3, 4, 5}, "B": {1, 2, 3, 4, 6}, "C": {7, 8, 9}, "D": {5, 6, 10}}
LIKES = np.array([[person in fans for fans in WORKED.values()] for person in range(1, 11)])
A, B, C, D = range(4)


def test_the_worked_example():
    reach = {found.members: found.reach for found in best_subsets(LIKES, 2)}
    assert reach[A, B] == 6
    assert reach[A, C] == reach[B, C] == 8 == max(reach.values())
    (first, *_rest) = best_subsets(LIKES, 2)
    assert (first.members, first.frequency) == ((A, C), 8)
    assert best_subsets(LIKES, 3)[0].members == (A, C, D)
    assert best_subsets(LIKES, 3)[0].reach == 10


def test_taking_the_best_first_is_not_always_best():
    """Six people: the favourite of four leaves one out that two others reach together."""
    fans = [{0, 1, 2, 3}, {0, 1, 4}, {2, 3, 5}]
    likes = np.array([[person in liked for liked in fans] for person in range(6)])
    greedy = [best_subsets(likes, 1)[0].members[0]]
    greedy.append(max(range(1, 3), key=lambda i: likes[:, [*greedy, i]].any(axis=1).sum()))
    assert likes[:, greedy].any(axis=1).sum() == 5
    best = best_subsets(likes, 2)[0]
    assert (best.members, best.reach) == ((1, 2), 6)


def by_search(likes, size, always):
    """Every subset by numpy's own any and sum, sorted by the definition's three keys."""
    found = [
        (-int(likes[:, list(c)].any(axis=1).sum()), -int(likes[:, list(c)].sum()), c)
        for c in combinations(range(likes.shape[1]), size)
        if set(always) <= set(c)
    ]
    return [(c, -reach, -often) for reach, often, c in sorted(found)]


@settings(deadline=None)
@given(
    arrays(bool, st.tuples(st.integers(0, 140), st.integers(1, 7))),
    st.integers(1, 7),
    st.sets(st.integers(0, 6), max_size=3),
)
def test_it_finds_what_a_plain_search_finds(likes, size, always):
    always = {i for i in always if i < likes.shape[1]}
    found = best_subsets(likes, size, always=tuple(always))
    plain = by_search(likes, size, always)[:10]
    assert [(s.members, s.reach, s.frequency) for s in found] == plain


@given(arrays(bool, st.tuples(st.integers(1, 80), st.integers(2, 6))))
def test_one_more_option_never_loses_reach(likes):
    reach = [best_subsets(likes, size)[0].reach for size in range(1, likes.shape[1] + 1)]
    assert reach == sorted(reach)
    assert reach[-1] == likes.any(axis=1).sum()


def test_musts_that_do_not_fit_leave_nothing():
    assert best_subsets(LIKES, 1, always=(A, B)) == ()
    assert best_subsets(LIKES, 5) == ()
    assert subsets_to_try(4, 1, 2) == subsets_to_try(4, 5, 0) == 0


def test_more_than_anybody_would_wait_for_is_refused():
    with pytest.raises(InputError, match=str(MOST_SUBSETS)):
        best_subsets(np.ones((3, 60), dtype=bool), 20)
    with pytest.raises(InputError, match="1 or more"):
        best_subsets(LIKES, 0)
