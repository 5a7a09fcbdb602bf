"""Who counts, and what is said of each option: by hand, and by laws."""

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from sixwright.line.voices import Vote
from sixwright.numerics.shares import sequence_interval, wilson_interval
from sixwright.topics.voices.model import Held, Word
from sixwright.topics.voices.sets_model import NoSets
from topics.voices.builders import TODAY, ask, options, poll, tallies, votes

AB = options("a", "b")


def test_in_an_approval_a_missing_row_is_a_no():
    said = ask(poll(), AB, votes({"ann": {"a": 1}, "bob": {"b": 1}, "cy": {"a": 0}}))
    assert said.n == 3
    assert said.options["a"].everyone.share == wilson_interval(1, 3)
    assert said.options["b"].everyone.share == wilson_interval(1, 3)


def test_a_rating_counts_those_who_rated_the_option():
    said = ask(poll("rate", least=1, most=5), AB, votes({"ann": {"a": 5, "b": 2}, "bob": {"a": 4}}))
    assert (said.n, said.options["a"].everyone.n, said.options["b"].everyone.n) == (2, 2, 1)
    mean = said.options["a"].everyone.mean
    low, high = stats.t.interval(0.95, 1, loc=4.5, scale=stats.sem([5, 4]))
    assert (mean.value, mean.low, mean.high) == pytest.approx((4.5, low, high))
    alone = said.options["b"].everyone
    assert (alone.mean, alone.mean_value) == (None, 2)


def test_top_and_bottom_are_two_levels_each():
    ten = {f"v{i}": {"a": level} for i, level in enumerate([1, 1, 2, 3, 3, 4, 4, 4, 5, 5])}
    found = ask(poll("rate", least=1, most=5), AB, votes(ten)).options["a"].everyone
    assert (found.top, found.bottom) == (0.5, 0.3)
    assert found.counts == (2, 1, 2, 3, 2)


@pytest.mark.parametrize(
    ("counts", "word"),
    [
        pytest.param([56, 22, 9, 31, 96], Word.DIVIDED, id="loved and hated"),
        pytest.param([7, 17, 61, 88, 41], Word.AGREED, id="mildly liked"),
        pytest.param([20, 20, 20, 20, 20], Word.MIXED, id="spread evenly: A is 0, not below"),
        pytest.param([0, 0, 10, 0, 0], Word.AGREED, id="one level"),
        pytest.param([20, 20, 30, 20, 20], Word.MIXED, id="a low hill"),
    ],
)
def test_the_word_follows_the_agreement(counts, word):
    rated = (level for level, count in enumerate(counts, 1) for _ in range(count))
    said = ask(poll("rate", least=1, most=5), AB,
               votes({f"v{i}": {"a": level} for i, level in enumerate(rated)}))  # fmt: skip
    assert said.options["a"].everyone.word is word


@pytest.mark.parametrize(
    ("yes", "of", "torn"),
    [(15, 30, True), (14, 29, False), (35, 100, True), (34, 100, False), (65, 100, True),
     (66, 100, False)],
)  # fmt: skip
def test_an_approval_is_divided_from_35_to_65_percent_of_30_or_more(yes, of, torn):
    said = ask(poll(), AB, votes({f"v{i}": {"a": int(i < yes)} for i in range(of)}))
    assert (said.options["a"].everyone.word is Word.DIVIDED) == torn


@pytest.mark.parametrize("kind", ["choice", "rank"])
def test_choices_and_ranks_have_no_such_word(kind):
    said = ask(poll(kind), AB, votes({f"v{i}": {"a": 1, "b": 2 - i % 2} for i in range(40)}))
    assert {found.everyone.word for found in said.options.values()} == {None}


def test_of_two_answers_the_latest_counts_then_the_later_row():
    def vote(number, answer, day=None):
        date = day and dt.date(2026, 8, day)
        return Vote(f"v{number}", "heads", "ann", "a", answer, date=date)

    def mean(*rows):
        said = ask(poll("rate", least=1, most=5), AB, rows)
        assert said.twice == len(rows) - 1
        return said.options["a"].everyone.mean_value

    assert mean(vote(1, 2), vote(2, 5)) == 5
    assert mean(vote(1, 2, 9), vote(2, 5, 3)) == 2
    assert mean(vote(1, 2, 9), vote(2, 5)) == 2, "no date is older than any"
    assert mean(vote(1, 2, 9), vote(2, 5, 9), vote(3, 4, 1)) == 5


def test_a_changed_mind_about_having_paid_follows_the_same_rule():
    rows = (Vote("1", "heads", "ann", "a", 1, False, dt.date(2026, 8, 1)),
            Vote("2", "heads", "ann", "b", 1, True, dt.date(2026, 8, 2)))  # fmt: skip
    said = ask(poll(), AB, rows)
    assert (said.options["a"].backers.n, said.options["a"].others.n) == (1, 0)


def test_what_was_not_offered_is_a_write_in_and_its_voter_counts():
    told = {"ann": {"a": 1}, "bob": {"asleep": 1, "odd": 0}, "cy": {"asleep": 1}}
    said = ask(poll(), AB, votes(told))
    assert said.write_ins == {"asleep": 2}
    assert said.n == 3
    assert said.options["a"].everyone.share.value == pytest.approx(1 / 3)
    assert set(said.options) == {"a", "b"}


def test_backers_and_others_are_told_apart_and_the_unknown_count_in_all_only():
    told = {f"b{i}": {"a": int(i < 56)} for i in range(70)}
    told |= {f"o{i}": {"a": int(i < 48)} for i in range(80)} | {"who": {"a": 1}}
    backers = [voter for voter in told if voter[0] == "b"]
    said = ask(poll(), AB, votes(told, backers=backers, others=[v for v in told if v[0] == "o"]))
    a = said.options["a"]
    assert (a.everyone.n, a.backers.n, a.others.n) == (151, 70, 80)
    # Newcombe 1998, table II, method 10.
    assert (a.difference.low, a.difference.high) == pytest.approx((0.0524, 0.3339), abs=5e-5)


def test_without_both_groups_there_is_no_difference():
    a = ask(poll(), AB, votes({"ann": {"a": 1}}, backers=["ann"])).options["a"]
    assert a.difference is None
    assert (a.others.n, a.others.share) == (0, None)


@pytest.mark.parametrize(
    ("closed", "held"),
    [(None, Held.SEQUENCE), (TODAY + dt.timedelta(1), Held.SEQUENCE), (TODAY, Held.WILSON)],
)
def test_a_poll_that_goes_on_has_limits_for_every_look(closed, held):
    said = ask(poll(closed=closed), AB, votes({f"v{i}": {"a": i % 2} for i in range(50)}))
    make = sequence_interval if held is Held.SEQUENCE else wilson_interval
    assert said.held is held
    assert said.options["a"].everyone.share == make(25, 50)


def test_tallies_are_the_votes_without_the_voters():
    counts = {5: 96, 4: 31, 3: 9, 2: 22, 1: 56}
    rated = [level for level, count in counts.items() for _ in range(count)]
    asked = poll("rate", least=1, most=5)
    by_votes = ask(asked, AB, votes({f"v{i}": {"a": level} for i, level in enumerate(rated)}))
    by_tally = ask(asked, AB, tallied=tallies(*(("a", level, n) for level, n in counts.items())))
    assert by_tally.options["a"].everyone == by_votes.options["a"].everyone
    assert (by_tally.sets, by_tally.no_sets) == ((), NoSets.TALLIES)


def test_a_tallied_choice_adds_up_to_its_voters_write_ins_too():
    said = ask(poll("choice"), AB, tallied=tallies(("a", 1, 30), ("b", 1, 60), ("asleep", 1, 10)))
    assert said.n == 100
    assert said.options["a"].everyone.share == wilson_interval(30, 100)
    assert said.write_ins == {"asleep": 10}


def test_a_tallied_yes_without_its_noes_has_no_share():
    said = ask(poll(), AB, tallied=tallies(("a", 1, 30), ("a", 0, 20), ("b", 1, 12)))
    assert said.options["a"].everyone.share == wilson_interval(30, 50)
    assert said.options["b"].everyone.share is None
    assert said.options["b"].everyone.n is None


def test_tallies_of_backers_count_apart():
    said = ask(poll(), AB, tallied=tallies(("a", 1, 56, True), ("a", 0, 14, True),
                                           ("a", 1, 48, False), ("a", 0, 32, False)))  # fmt: skip
    assert said.options["a"].everyone.share == wilson_interval(104, 150)
    assert said.options["a"].difference.low == pytest.approx(0.0524, abs=5e-5)


def test_who_chose_more_than_one_is_counted():
    said = ask(poll("choice"), AB, votes({"ann": {"a": 1, "b": 1}, "bob": {"a": 1}}))
    assert said.several == 1
    assert said.options["a"].everyone.share.value == 1


def test_a_ranking_has_strengths_and_pairs():
    told = {f"v{i}": {"a": 1, "b": 2, "c": 3} if i % 3 else {"b": 1, "a": 2} for i in range(60)}
    said = ask(poll("rank"), options("a", "b", "c"), votes(told))
    strength = {o: found.everyone.strength.value for o, found in said.options.items()}
    assert strength["a"] > strength["b"] > strength["c"]
    assert sum(strength.values()) == pytest.approx(0)
    pairs = {(pair.first, pair.second): pair.voters for pair in said.pairs}
    assert (pairs["a", "b"], pairs["b", "a"], pairs["a", "c"]) == (40, 20, 40)
    assert said.options["c"].everyone.n == 40


def test_an_option_that_nobody_ranked_has_no_strength():
    told = {f"v{i}": {"a": 1, "b": 2} for i in range(9)}
    said = ask(poll("rank"), options("a", "b", "c"), votes(told))
    assert said.options["c"].everyone.strength is None
    assert said.options["a"].everyone.strength is not None


def test_two_options_at_one_rank_say_nothing_of_each_other():
    said = ask(poll("rank"), options("a", "b", "c"), votes({"ann": {"a": 1, "b": 2, "c": 2}}))
    assert said.tied == 1
    assert said.options["a"].everyone.strength is None


def test_a_poll_without_answers_has_no_figures():
    for kind in ("choice", "approve", "rate", "rank"):
        said = ask(poll(kind, least=1, most=5), AB)
        a = said.options["a"].everyone
        assert (said.n, said.sets, a.share, a.mean, a.agreement, a.strength) == (
            0, (), None, None, None, None,
        )  # fmt: skip


ballots = st.dictionaries(
    st.text("xyz", min_size=1, max_size=3),
    st.dictionaries(st.sampled_from("ab"), st.integers(0, 1), min_size=1),
    min_size=1,
)


@given(ballots, st.randoms())
def test_the_order_of_the_rows_does_not_matter(told, chance):
    rows = list(votes(told))
    chance.shuffle(rows)
    assert ask(poll(), AB, tuple(rows)) == ask(poll(), AB, votes(told))


@given(ballots)
def test_backers_and_others_add_up(told):
    half = [voter for voter in told if voter[0] == "x"]
    said = ask(poll(), AB, votes(told, backers=half, others=[v for v in told if v not in half]))
    for found in said.options.values():
        assert found.everyone.n == found.backers.n + found.others.n
