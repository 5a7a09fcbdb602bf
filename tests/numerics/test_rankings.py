"""Strengths behind rankings, against a general-purpose library's own fit of public data."""

import choix
import numpy as np
import pytest

from sixwright.kernel.errors import InputError
from sixwright.numerics.rankings import (
    ALPHA,
    pairwise_counts,
    strength_intervals,
    strengths,
)


def travellers():
    """Public data: statsmodels' `modechoice` (Greene), 210 travellers and four ways to travel.

    Each traveller's ways, cheapest first by the data's generalised cost; of two that cost the
    same, neither counts.
    """
    from statsmodels.datasets import modechoice

    data = modechoice.load_pandas().data
    found = []
    for _, rows in data.groupby("individual"):
        cost = dict(zip(rows["mode"].astype(int) - 1, rows["gc"], strict=True))
        single = [mode for mode in cost if list(cost.values()).count(cost[mode]) == 1]
        found.append(tuple(sorted(single, key=cost.get)))
    return found


def exploded_logit(rankings, options):
    """The same model by statsmodels' conditional logit: each stage of a ranking is a choice."""
    from statsmodels.discrete.conditional_models import ConditionalLogit

    chosen, rows, groups = [], [], []
    group = 0
    for ranking in rankings:
        for at in range(len(ranking) - 1):
            for option in ranking[at:]:
                chosen.append(int(option == ranking[at]))
                rows.append([float(option == other) for other in range(1, options)])
                groups.append(group)
            group += 1
    fit = ConditionalLogit(np.array(chosen), np.array(rows), groups=np.array(groups)).fit(disp=0)
    logs = np.append(0.0, fit.params)
    covariance = np.zeros((options, options))
    covariance[1:, 1:] = fit.cov_params()
    centred = np.eye(options) - 1 / options
    spread = np.sqrt(np.diag(centred @ covariance @ centred.T))
    return logs - logs.mean(), spread


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_public_rankings_have_the_strengths_that_another_library_fits():
    rankings = travellers()
    assert len(rankings) == 210
    theirs, spread = exploded_logit(rankings, 4)
    mine = strengths(rankings, 4)
    # alpha pulls all strengths together by a hair: about ALPHA / people of their size.
    assert mine == pytest.approx(theirs, abs=0.002)
    # The model's own spread is not the voters' (who may not be alike), but of its size.
    for found, sd in zip(strength_intervals(rankings, 4, seed=1840), spread, strict=True):
        assert 0.6 < (found.high - found.low) / (2 * 1.96 * sd) < 1.6


def drawn(people, logs, rng, *, partly=False):
    """Rankings of the model itself: the largest of strength plus Gumbel noise first."""
    order = np.argsort(-(logs + rng.gumbel(size=(people, len(logs)))), axis=1)
    kept = rng.integers(1, len(logs) + 1, people) if partly else [len(logs)] * people
    return [tuple(row[:most].tolist()) for row, most in zip(order, kept, strict=True)]


@pytest.mark.parametrize("partly", [False, True], ids=["all ranked", "some ranked"])
def test_the_draws_use_what_choix_computes(partly):
    """Every person weighted once must be the library's own answer."""
    from sixwright.numerics import rankings as module

    logs = np.linspace(-1.5, 1.5, 6)
    told = drawn(300, logs, np.random.Generator(np.random.Philox(3)), partly=partly)
    told = [ranking for ranking in told if len(ranking) > 1]
    table = module._tabulated(told, 6)
    mine = module._settled(table, np.ones(len(told), dtype=np.int64), np.zeros(6))
    assert mine == pytest.approx(choix.ilsr_rankings(6, told, alpha=ALPHA), abs=1e-6)


def test_the_intervals_hold_the_truth_about_as_often_as_they_say():
    """40 polls of 150 voters of known strengths: 160 intervals of 95 %."""
    logs = np.array([-0.9, -0.2, 0.3, 0.8])
    rng = np.random.Generator(np.random.Philox(4))
    held = [
        found.low <= truth <= found.high
        for poll in range(40)
        for truth, found in zip(
            logs, strength_intervals(drawn(150, logs, rng), 4, seed=poll, draws=200), strict=True
        )
    ]
    assert 0.90 <= np.mean(held) <= 0.985


def test_renaming_the_options_renames_the_strengths():
    told = drawn(80, np.array([0.0, 0.5, -0.5]), np.random.Generator(np.random.Philox(5)))
    swapped = [tuple({0: 2, 1: 0, 2: 1}[i] for i in ranking) for ranking in told]
    assert strengths(swapped, 3)[[2, 0, 1]] == pytest.approx(strengths(told, 3), abs=1e-6)


def test_an_option_that_never_lost_stays_finite():
    found = strength_intervals([(0, 1, 2)] * 20, 3, seed=1)
    assert found[0].value > found[1].value > found[2].value
    assert all(np.isfinite([f.low, f.high]).all() for f in found)


def test_the_same_seed_draws_the_same_voters():
    told = drawn(40, np.zeros(3), np.random.Generator(np.random.Philox(6)))
    one, again, other = (strength_intervals(told, 3, seed=s, draws=100) for s in (9, 9, 10))
    assert one == again
    assert one != other


def test_pairs_are_counted_among_those_who_rank_both():
    before = pairwise_counts([(0, 1, 2), (1, 0), (2,), (0, 2)], 3)
    assert before.tolist() == [[0, 1, 2], [1, 0, 1], [0, 0, 0]]


@pytest.mark.parametrize("ranking", [(0, 0), (0, 3), (-1, 0)])
def test_what_is_no_ranking_is_refused(ranking):
    with pytest.raises(InputError, match="a ranking must name"):
        strengths([ranking], 3)


def test_too_few_draws_are_refused():
    with pytest.raises(InputError, match="100 or more"):
        strength_intervals([(0, 1)], 2, seed=1, draws=10)
