"""Strengths behind rankings (Plackett-Luce), their spread over those who ranked, and pairs.

n people rank k options, some of them only a few; a ranking lists columns, best first. What a
person does not rank says nothing: it is not taken as last.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sixwright.kernel.errors import InputError
from sixwright.kernel.intervals import Interval

Floats = NDArray[np.float64]
Ranking = tuple[int, ...]

ALPHA = 0.01  # voices.md: as if each option had beaten each other a hundredth of a time
DRAWS = 1000
LEVEL = 0.95
SETTLED = 1e-8  # of the natural logarithm, per option: as choix stops
MOST_STEPS = 10_000
MOST_STEPS_OF_A_DRAW = 1000


def strengths(rankings: Sequence[Ranking], options: int) -> Floats:
    """(options,): natural logarithm of each option's strength, their mean zero.

    Among any options, the chance of one to be ranked first is its strength over their sum.

    Parameters
    ----------
    rankings
        Columns, best first; each at most once in a ranking.
    options
        How many there are, 1 or more.

    Raises
    ------
    InputError
        If a ranking names a column twice or one that is not there.

    Source
    ------
    plackett-1975, by choix (iterative Luce spectral ranking, maystre-grossglauser-2015) with
    alpha 0.01, which keeps what never won or never lost finite.
    """
    _check(rankings, options)
    from choix import ilsr_rankings

    told = [ranking for ranking in rankings if len(ranking) > 1]
    found = ilsr_rankings(options, told, alpha=ALPHA, max_iter=MOST_STEPS, tol=SETTLED)
    return np.asarray(found, dtype=np.float64)


def strength_intervals(
    rankings: Sequence[Ranking], options: int, *, seed: int, draws: int = DRAWS
) -> tuple[Interval, ...]:
    """Each option's strength with the spread that other voters of the same kind would make.

    Parameters
    ----------
    rankings, options
        As in `strengths`; one ranking a person.
    seed
        Of the draws.
    draws
        How often as many people are drawn anew from those who ranked, 100 or more.

    Raises
    ------
    InputError
        If a ranking cannot be used, or `draws` is below 100.

    Source
    ------
    efron-tibshirani-1993, section 13.3: percentiles of the draws. With few people or an option
    that never lost, alpha decides how far the interval reaches.
    """
    if draws < 100:
        raise InputError(f"draws must be 100 or more; received {draws!r}.")
    values = strengths(rankings, options)
    told = [ranking for ranking in rankings if len(ranking) > 1]
    drawn = np.tile(values, (draws, 1))
    if told:
        counted = Counter(told)
        table = _tabulated(list(counted), options)
        chances = np.array(list(counted.values()), dtype=np.float64) / len(told)
        for block in range(draws):
            rng = np.random.Generator(np.random.Philox(key=seed, counter=block << 128))
            drawn[block] = _settled(table, rng.multinomial(len(told), chances), values)
    low, high = np.quantile(drawn, [(1 - LEVEL) / 2, (1 + LEVEL) / 2], axis=0)
    return tuple(
        Interval(float(v), float(min(a, v)), float(max(b, v)), LEVEL)
        for v, a, b in zip(values, low, high, strict=True)
    )


def pairwise_counts(rankings: Sequence[Ranking], options: int) -> NDArray[np.int64]:
    """(options, options): how many people put the row before the column, of those who rank both.

    Parameters
    ----------
    rankings, options
        As in `strengths`.

    Raises
    ------
    InputError
        If a ranking cannot be used.

    Source
    ------
    A count.
    """
    _check(rankings, options)
    before = np.zeros((options, options), dtype=np.int64)
    for ranking, count in Counter(rankings).items():
        for at, one in enumerate(ranking):
            before[one, list(ranking[at + 1 :])] += count
    return before


def _check(rankings: Sequence[Ranking], options: int) -> None:
    for ranking in rankings:
        if len(set(ranking)) != len(ranking):
            raise InputError(f"a ranking must name an option once; received {ranking!r}.")
        if not all(0 <= i < options for i in ranking):
            raise InputError(
                f"a ranking must name columns 0 to {options - 1}; received {ranking!r}."
            )


@dataclass(frozen=True, slots=True)
class _Stages:
    """Distinct rankings, cut into stages: one option is taken before all that follow it.

    Attributes
    ----------
    order
        (m, longest): columns, padded with `options`.
    stage
        Of each pair: where its stage lies in the flattened (m, longest).
    pair
        Of each pair: loser × options + winner.
    """

    options: int
    order: NDArray[np.int64]
    stage: NDArray[np.int64]
    pair: NDArray[np.int64]


def _tabulated(rankings: Sequence[Ranking], options: int) -> _Stages:
    longest = max(len(ranking) for ranking in rankings)
    order = np.full((len(rankings), longest), options, dtype=np.int64)
    for row, ranking in enumerate(rankings):
        order[row, : len(ranking)] = ranking
    first, later = np.triu_indices(longest, 1)
    winner, loser = order[:, first], order[:, later]
    stage = np.arange(len(rankings))[:, None] * longest + first[None, :]
    there = loser < options
    return _Stages(options, order, stage[there], (loser * options + winner)[there])


def _settled(table: _Stages, people: NDArray[np.int64], begin: Floats) -> Floats:
    """The strengths of so many people of each ranking, as choix would have them."""
    found = begin
    for _ in range(MOST_STEPS_OF_A_DRAW):
        before, found = found, _stepped(table, people, found)
        if float(np.abs(found - before).sum()) <= SETTLED * table.options:
            break
    return found


def _stepped(table: _Stages, people: NDArray[np.int64], logs: Floats) -> Floats:
    """One step: stationary shares of the chain that goes from losers to winners."""
    k = table.options
    weights = np.append(np.exp(logs - logs.max()), 0.0)
    weights *= k / weights.sum()
    tails = np.cumsum(weights[table.order][:, ::-1], axis=1)[:, ::-1]
    rates: Floats = people.astype(np.float64)[:, None] / np.maximum(tails, 1e-300)
    flows = np.bincount(table.pair, weights=rates.ravel()[table.stage], minlength=k * k)
    chain = np.asarray(flows, dtype=np.float64).reshape(k, k) + ALPHA
    chain -= np.diag(chain.sum(axis=1))
    system = chain.T.copy()
    system[0] = 1.0
    shares = np.linalg.solve(system, np.append(1.0, np.zeros(k - 1)))
    stepped: Floats = np.log(np.maximum(shares, 1e-300), dtype=np.float64)
    stepped -= stepped.mean()
    return stepped
